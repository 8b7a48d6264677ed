#include "machine/groove.h"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "catch.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using profiles::mm;

namespace {

using Kind = GaugePoint::Kind;
const double kRoot3 = std::numbers::sqrt3;

Groove groove(double depth) { return {mm(depth), {}, Angle::degrees(60)}; }
Groove groove(double depth, double closed) { return {mm(depth), mm(closed), Angle::degrees(60)}; }
GaugePoint ball(double d) { return {Kind::ball, mm(d)}; }
GaugePoint flat(double d) { return {Kind::flat, mm(d)}; }
const GaugePoint kSharp{Kind::sharp, {}};

/// How low a point gets in a groove, by lowering it until one of its places touches: the groove
/// as the two bars' cross-section (top, bevels, slot), the point as its own cross-section.
double reading_by_lowering(const Groove& g, const GaugePoint& p) {
  const double a = g.included.in_radians() / 2, d = mm(g.depth);
  const double slot = g.closed_depth ? (d - mm(*g.closed_depth)) * std::tan(a) : 0;
  const double top = d * std::tan(a), r = mm(p.diameter) / 2;
  // How far below the top the bars' surface lies at a distance y from the middle.
  const auto bars = [&](double y) {
    if (y >= top) return 0.0;
    return y < slot ? 1e9 : d - y / std::tan(a);
  };
  // How far above its lowest place the point's surface lies there; no wider than the ball.
  const auto point = [&](double y) {
    if (p.kind == Kind::ball) return r - std::sqrt(std::max(0.0, r * r - y * y));
    return y <= r ? 0.0 : (y - r) / std::tan(a);
  };
  double lowest = 1e9;
  const double wide = p.kind == Kind::ball ? r : top * 1.2 + r;
  for (int i = 0; i <= 400000; ++i) {
    const double y = wide * i / 400000;
    lowest = std::min(lowest, bars(y) + point(y));
  }
  return lowest;
}

}  // namespace

// A 60° groove's top width is 2 d/√3: 3 -> 3.464101615, 2.5 -> 2.886751346 (elementary
// trigonometry).
TEST_CASE("a groove's width and the opening of the bars") {
  CHECK(mm(top_width(groove(3))) == Approx(3.464101615).margin(1e-9));
  CHECK(mm(top_width(groove(2.5))) == Approx(2.886751346).margin(1e-9));
  CHECK(mm(top_width(groove(-1))) == 0);
  CHECK(!opening(groove(3)));
  CHECK(mm(*opening(groove(3, 0.5))) == Approx(2.5 * 2 / kRoot3));
  CHECK(mm(*opening(groove(0.4, 0.5))) == Approx(-0.1 * 2 / kRoot3));
  CHECK(mm(opening_for(mm(1))) == Approx(1.1547).margin(5e-5));
}

// Screw leads: ISO 261/262 (M5 0.8 mm, M6 1, M8 1.25, M10 1.5), ASME B1.1 (1/4-20, 1/4-28, 5/16-18,
// 3/8-16).
TEST_CASE("turns of a screw") {
  struct Thread {
    Length lead;
    double degrees_for_a_hundredth;
  };
  for (const Thread& t :
       {Thread{mm(0.8), 4.5}, Thread{mm(1), 3.6}, Thread{mm(1.25), 2.88}, Thread{mm(1.5), 2.4},
        Thread{Length::inches(1.0 / 20), 2.834646}, Thread{Length::inches(1.0 / 28), 3.968504},
        Thread{Length::inches(1.0 / 18), 2.551181}, Thread{Length::inches(1.0 / 16), 2.267717}}) {
    CHECK(360 * turns_for(mm(0.01), t.lead) == Approx(t.degrees_for_a_hundredth).margin(5e-7));
  }
  CHECK_THROWS_AS(turns_for(mm(1), mm(0)), std::logic_error);
  CHECK_THROWS_AS(opening_for(mm(1), Angle()), std::logic_error);
  CHECK_THROWS_AS(opening_for(mm(1), Angle::degrees(180)), std::logic_error);
}

// Best-wire size of a 60° thread, W = 0.5 P sec 30° = 0.57735 P (War Department manual Od1645,
// thread measurement by wires): it touches the flanks halfway up the sharp V of height P √3/2,
// which has the width P/2 there.
TEST_CASE(
    "a ball touches a 60° groove at three quarters of its diameter above the meeting of the "
    "flanks") {
  const double pitch = 1 / 8.0, wire = 0.57735 * pitch;
  CHECK(wire == Approx(0.072).margin(5e-4));
  const double half_up = pitch * kRoot3 / 4;
  // The groove that is just so deep as the wire's touch has the least ball that bears as its wire.
  const Groove g{mm(half_up), mm(0), Angle::degrees(60)};
  CHECK(mm(balls_that_bear(g).most) == Approx(wire).margin(1e-6));
  CHECK(mm(balls_that_bear(g).most) == Approx(4 * half_up / 3));
}

// Machinery's Handbook, 31st ed., p. 703, checking a V-shaped groove over pins:
// X = Z + 2R (csc((a+b)/2) cos((a-b)/2) + 1) with R 0.500, Z 1.824, a 45°, b 35° gives 4.374. Both
// flanks at 40° (the rule with a = b): the top of a pin stands R (csc a + 1) above the meeting of
// the flanks.
TEST_CASE("over a pin in a groove of any angle") {
  const double csc_rule = 0.5 * (1 / std::sin(40 * std::numbers::pi / 180) + 1);
  const Groove g{mm(2), {}, Angle::degrees(80)};
  const auto r = gauge_reading(g, ball(1));
  REQUIRE(r.on == Bearing::flanks);
  CHECK(2 - mm(*r.reading) + 1 == Approx(csc_rule).margin(1e-12));
  // The rule's own numbers, to show that it is the same rule.
  const double deg = std::numbers::pi / 180;
  CHECK(1.824 + (std::cos(5 * deg) / std::sin(40 * deg) + 1) == Approx(4.374).margin(5e-4));
}

// 60° V over balls and flats, heights above the meeting of the flanks; csc 30° = 2 in the rule
// above.
TEST_CASE("readings of balls and flats in a 60° groove") {
  for (const double d : {3.0, 4.0, 5.0}) {
    const auto r = gauge_reading(groove(6), ball(d));
    CHECK(r.on == Bearing::flanks);
    CHECK(6 - mm(*r.reading) == Approx(d / 2).margin(1e-14));
  }
  struct Flat {
    double width, lowest;
  };
  for (const Flat& f : {Flat{0.5, 0.4330127019}, Flat{1.0, 0.8660254038}, Flat{1.5, 1.299038106}}) {
    const auto r = gauge_reading(groove(6), flat(f.width));
    CHECK(r.on == Bearing::flanks);
    CHECK(6 - mm(*r.reading) == Approx(f.lowest).margin(1e-9));
  }
  CHECK(mm(*gauge_reading(groove(2.5), kSharp).reading) == 2.5);
  SECTION("with the angle off a little, r (1/sin(A/2) - 1) for r = 2") {
    struct Off {
      double degrees, lowest;
    };
    for (const Off& o : {Off{60.1, 1.993964646}, Off{60.25, 1.984951366}, Off{60.5, 1.970034363}}) {
      const auto r = gauge_reading({mm(6), {}, Angle::degrees(o.degrees)}, ball(4));
      CHECK(6 - mm(*r.reading) == Approx(o.lowest).margin(5e-10));
    }
  }
}

TEST_CASE("what a gauge's point rests on") {
  CHECK(gauge_reading(groove(2.25), ball(3)).on == Bearing::flanks);
  CHECK(gauge_reading(groove(2.2499), ball(3)).on == Bearing::edges);
  CHECK(gauge_reading(groove(4, 2), ball(2.5)).on == Bearing::slot);
  CHECK(!gauge_reading(groove(4, 2), ball(2.5)).reading);
  CHECK(gauge_reading(groove(4, 2), ball(2.7)).on == Bearing::flanks);
  CHECK(gauge_reading(groove(4), ball(0.1)).on == Bearing::flanks);
  CHECK(gauge_reading(groove(1), flat(1.16)).on == Bearing::none);
  CHECK(!gauge_reading(groove(1), flat(1.16)).reading);
  CHECK(gauge_reading(groove(1), flat(1.15)).on == Bearing::flanks);
  const auto just = gauge_reading(groove(1), {Kind::flat, top_width(groove(1)) + mm(5e-7)});
  CHECK(just.on == Bearing::flanks);
  CHECK(mm(*just.reading) == 0);
  CHECK(gauge_reading(groove(0), kSharp).on == Bearing::none);
  CHECK(gauge_reading(groove(-1), ball(2)).on == Bearing::none);
  SECTION("a ball on the flanks and one on the edges read alike where they meet") {
    const auto on_flanks = gauge_reading(groove(2.25), ball(3));
    const auto on_edges = gauge_reading(groove(2.25 - 1e-9), ball(3));
    CHECK(mm(*on_flanks.reading) == Approx(mm(*on_edges.reading)).margin(2e-9));
  }
  SECTION("the balls that would do") {
    const auto range = balls_that_bear(groove(4, 2.5));
    CHECK(mm(range.least) == Approx(2));
    CHECK(mm(range.most) == Approx(16.0 / 3));
    CHECK(mm(balls_that_bear(groove(4)).least) == 0);
    CHECK(mm(balls_that_bear(groove(1, 2)).least) == 0);
    CHECK(mm(balls_that_bear(groove(0)).most) == 0);
  }
}

TEST_CASE("gauges lowered into a drawn groove come to rest where the formulas say") {
  profiles::Random random(6);
  int seen[4] = {0, 0, 0, 0};
  for (int run = 0; run < 60; ++run) {
    Groove g{mm(random.between(0.5, 5)), {}, Angle::degrees(random.between(40, 90))};
    if (run % 2) g.closed_depth = g.depth * random.between(0.3, 1);
    const GaugePoint p{run % 3 ? Kind::ball : Kind::flat, mm(random.between(0.1, 6))};
    const auto r = gauge_reading(g, p);
    ++seen[static_cast<int>(r.on)];
    const double lowered = reading_by_lowering(g, p);
    INFO("run " << run << " on " << static_cast<int>(r.on) << " lowered " << lowered);
    if (r.on == Bearing::flanks || r.on == Bearing::edges) {
      CHECK(mm(*r.reading) == Approx(lowered).margin(1e-4));
    } else if (r.on == Bearing::none) {
      CHECK(lowered == Approx(0).margin(1e-9));
    } else {
      // In the slot it gets lower than flanks that went on would let it.
      Groove whole = g;
      whole.closed_depth.reset();
      CHECK(lowered > mm(*gauge_reading(whole, p).reading));
    }
  }
  for (const int n : seen) CHECK(n > 0);
}

// A ball of 10 in a groove 6 wide: half of that, the height of the centre over the edges and the
// radius are 3, 4 and 5.
TEST_CASE("how much more a gauge reads for more depth") {
  CHECK(reading_per_depth(groove(3 * kRoot3), ball(10)) == Approx(3.0 / 4 / kRoot3));
  CHECK(reading_per_depth(groove(2.25 - 1e-9), ball(3)) == Approx(1));
  for (auto const& point : {kSharp, flat(0.5), ball(1)})
    CHECK(reading_per_depth(groove(3, 2.5), point) == 1);

  const auto g = groove(2);
  const double deeper = reading_by_lowering(groove(2.02), ball(4));
  const double shallower = reading_by_lowering(groove(1.98), ball(4));
  CHECK(reading_per_depth(g, ball(4)) == Approx((deeper - shallower) / 0.04).epsilon(1e-3));
  // No reading, and nothing to tell of it.
  CHECK(reading_per_depth(groove(4, 1), ball(1)) == 1);
  CHECK(reading_per_depth(groove(-1), ball(1)) == 1);
}

TEST_CASE("a reading tells the depth again") {
  profiles::Random random(7);
  for (int run = 0; run < 500; ++run) {
    Groove g{mm(random.between(0.2, 5)), {}, Angle::degrees(random.between(40, 90))};
    if (run % 2) g.closed_depth = g.depth * random.between(0.3, 1);
    const auto kind = run % 3 == 0 ? Kind::ball : run % 3 == 1 ? Kind::flat : Kind::sharp;
    const GaugePoint p{kind, mm(random.between(0.1, 4))};
    const auto r = gauge_reading(g, p);
    if (!r.reading) continue;
    const auto back = depth_from_reading(g, p, *r.reading);
    INFO("run " << run);
    CHECK(back.on == r.on);
    REQUIRE(back.depth);
    CHECK(mm(*back.depth) == Approx(mm(g.depth)).epsilon(1e-9));
  }
  CHECK(!depth_from_reading(groove(1), kSharp, mm(-0.1)).depth);
  CHECK(!depth_from_reading(groove(1), flat(1), mm(0)).depth);
  const auto slot = depth_from_reading(groove(0, 1), ball(1), mm(3));
  CHECK(slot.on == Bearing::slot);
  CHECK(!slot.depth);
}
