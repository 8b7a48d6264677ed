#include "machine/bar_miss.h"

#include <cmath>
#include <stdexcept>

#include "catch.h"
#include "machine/cutter_curve.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

BarShape bar_on(const HeightCurve& target, double first, double pitch, int count) {
  std::vector<Support> s;
  for (int i = 0; i < count; ++i) {
    s.push_back({at(first + i * pitch), target.height(at(first + i * pitch))});
  }
  return BarShape::spring(s);
}

double by_looking(const HeightCurve& bar, const HeightCurve& target, double from, double to) {
  std::vector<double> ends{from, to};
  for (const auto* curve : {&bar, &target}) {
    for (const Station c : curve->corners()) {
      if (mm(c) > from && mm(c) < to) ends.push_back(mm(c));
    }
  }
  std::sort(ends.begin(), ends.end());
  double greatest = 0;
  const auto miss = [&](double x) {
    return std::fabs(mm(bar.height(at(x)) - target.height(at(x))));
  };
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    greatest = std::max(greatest, greatest_by_looking(miss, ends[i], ends[i + 1], 100));
  }
  return greatest;
}

}  // namespace

// Bar through (0,0), (1,1), (2,0): s'' = -3 in the middle, on the first span 1.5 t - 0.5 t³.
// Against the straight line t it stands above by t/2 - t³/2, most at t = 1/√3: 1/(3√3). By hand.
TEST_CASE("the greatest miss of a bar over a straight target, in closed form") {
  const auto bar = BarShape::spring({{at(0), mm(0)}, {at(1), mm(1)}, {at(2), mm(0)}});
  const Straight tent({0, 1, 2}, {0, 1, 0});
  const Miss miss = greatest_miss(bar, tent, at(0), at(2));
  CHECK(mm(miss.amount) == Approx(1 / (3 * std::sqrt(3.0))).margin(1e-14));
  CHECK(mm(miss.at) == Approx(1 / std::sqrt(3.0)).margin(1e-8));
  SECTION("below the target it is negative") {
    const auto under = BarShape::spring({{at(0), mm(0)}, {at(1), mm(-1)}, {at(2), mm(0)}});
    const Straight valley({0, 1, 2}, {0, -1, 0});
    CHECK(mm(greatest_miss(under, valley, at(0), at(2)).amount) ==
          Approx(-1 / (3 * std::sqrt(3.0))).margin(1e-14));
  }
  SECTION(
      "of the two places that are alike the one nearer the tip is told, in either half the own") {
    const auto spans = misses_by_span(bar, tent, at(-0.5), at(2));
    REQUIRE(spans.size() == 3);
    CHECK(mm(spans[0].greatest.amount) == Approx(-0.25).margin(1e-14));
    CHECK(mm(spans[0].greatest.at) == -0.5);
    CHECK(mm(spans[1].greatest.at) == Approx(1 / std::sqrt(3.0)).margin(1e-8));
    CHECK(mm(spans[2].greatest.at) == Approx(2 - 1 / std::sqrt(3.0)).margin(1e-8));
    CHECK(mm(spans[2].from) == 1);
    CHECK(mm(spans[2].to) == 2);
  }
  SECTION("an interval of one place has the miss of that place") {
    CHECK(mm(greatest_miss(bar, tent, at(0.5), at(0.5)).amount) == Approx(0.1875));
    CHECK(misses_by_span(bar, tent, at(0.5), at(0.5)).size() == 1);
  }
  SECTION("an interval that runs backwards is a caller's mistake") {
    CHECK_THROWS_AS(greatest_miss(bar, tent, at(2), at(0)), std::logic_error);
  }
}

TEST_CASE("a miss at a corner of the target between the supports is found") {
  const auto bar = BarShape::spring({{at(0), mm(0)}, {at(100), mm(0)}});
  const Straight kink({0, 40, 100}, {0, 0.2, 0});
  const Miss miss = greatest_miss(bar, kink, at(0), at(100));
  CHECK(mm(miss.amount) == Approx(-0.2));
  CHECK(mm(miss.at) == 40);
}

TEST_CASE("misses agree with plain looking: straight, smooth and cutter-offset targets") {
  Random random(3);
  for (int run = 0; run < 60; ++run) {
    INFO("run " << run);
    const Straight taper = random.taper();
    const auto bar = bar_on(taper, random.between(-50, 0), 127, 11);
    const double from = random.between(0, 100), to = random.between(800, 1200);
    CHECK(std::fabs(mm(greatest_miss(bar, taper, at(from), at(to)).amount)) ==
          Approx(by_looking(bar, taper, from, to)).margin(1e-10));
    const Cubics smooth = random.smooth(12, 60, 140, 0.01);
    const auto smooth_bar = bar_on(smooth, 0, 100, 12);
    CHECK(std::fabs(mm(greatest_miss(smooth_bar, smooth, at(from), at(to)).amount)) ==
          Approx(by_looking(smooth_bar, smooth, from, to)).margin(1e-10));
    if (run % 10 != 0) continue;
    const CutterCurve offset(taper, mm(38.1), at(-100), at(1400));
    CHECK(std::fabs(mm(greatest_miss(bar, offset, at(from), at(to)).amount)) ==
          Approx(by_looking(bar, offset, from, to)).margin(1e-9));
    const CutterCurve smooth_offset(smooth, mm(38.1), at(-100), at(1400));
    CHECK(std::fabs(mm(greatest_miss(smooth_bar, smooth_offset, at(from), at(to)).amount)) ==
          Approx(by_looking(smooth_bar, smooth_offset, from, to)).margin(1e-9));
  }
}

TEST_CASE("a target whose corners are not told is still met to a nanometre") {
  const Curved hidden([](double x) { return std::fabs(x - 33.3) * 0.01; },
                      [](double x) { return x < 33.3 ? -0.01 : 0.01; }, {0});
  const auto bar = BarShape::spring({{at(0), mm(0.333)}, {at(100), mm(0.667)}});
  CHECK(mm(greatest_miss(bar, hidden, at(0), at(100)).amount) ==
        Approx(0.333 + 0.00334 * 33.3).margin(2e-9));
}

TEST_CASE("a wave of less than a tenth of a micrometre between two corners is not passed over") {
  const double k = 2 * 3.14159265358979323846 / 25;
  const Curved wave([=](double x) { return 5e-5 * std::cos(k * x); },
                    [=](double x) { return -5e-5 * k * std::sin(k * x); }, {-200, 200});
  const auto bar = BarShape::spring({{at(0), mm(5e-5)}, {at(100), mm(5e-5)}});
  CHECK(mm(greatest_miss(bar, wave, at(0), at(100)).amount) == Approx(1e-4).epsilon(1e-9));
}

// The bar of the first test upside down: 1 - (1.5 t - 0.5 t³) on its first span.
TEST_CASE("where a bar dips below a limit") {
  const auto bar = BarShape::spring({{at(0), mm(1)}, {at(1), mm(0)}, {at(2), mm(1)}});
  const auto limit = BarShape::straight_between({{at(0), mm(0.3125)}, {at(2), mm(0.3125)}});
  const auto dips = dips_below(bar, limit, at(-1), at(3));
  REQUIRE(dips.size() == 1);
  // 1 - 1.5 t + 0.5 t³ = 0.3125 at t = 0.5.
  CHECK(mm(dips[0].from) == Approx(0.5).margin(1e-9));
  CHECK(mm(dips[0].to) == Approx(1.5).margin(1e-9));
  CHECK(mm(dips[0].deepest.at) == Approx(1).margin(1e-9));
  CHECK(mm(dips[0].deepest.amount) == Approx(-0.3125).margin(1e-12));
  SECTION("cut off at the interval's ends") {
    const auto cut = dips_below(bar, limit, at(0.75), at(1.25));
    REQUIRE(cut.size() == 1);
    CHECK(mm(cut[0].from) == 0.75);
    CHECK(mm(cut[0].to) == 1.25);
  }
  SECTION("a bar that lies on its limit does not dip") {
    const auto touch = BarShape::straight_between({{at(0), mm(0)}, {at(2), mm(0)}});
    CHECK(dips_below(bar, touch, at(0), at(2)).empty());
    const auto same = BarShape::straight_between({{at(0), mm(0)}, {at(1), mm(0)}, {at(2), mm(0)}});
    CHECK(dips_below(touch, same, at(-1), at(3)).empty());
    const auto less = BarShape::straight_between({{at(0), mm(5e-7)}, {at(2), mm(5e-7)}});
    CHECK(dips_below(touch, less, at(0), at(2)).empty());
    const auto more = BarShape::straight_between({{at(0), mm(2e-6)}, {at(2), mm(2e-6)}});
    CHECK(dips_below(touch, more, at(0), at(2)).size() == 1);
  }
  SECTION("two dips are two") {
    const auto wave = BarShape::spring(
        {{at(0), mm(1)}, {at(1), mm(0)}, {at(2), mm(1)}, {at(3), mm(0)}, {at(4), mm(1)}});
    CHECK(dips_below(wave, limit, at(0), at(4)).size() == 2);
  }
}

TEST_CASE("dips agree with plain looking") {
  Random random(8);
  for (int run = 0; run < 100; ++run) {
    std::vector<Support> s;
    for (int i = 0; i < 8; ++i) s.push_back({at(i * 100), mm(random.between(0, 1))});
    const auto bar = BarShape::spring(s);
    const auto limit = BarShape::straight_between({{at(0), mm(0.3)}, {at(700), mm(0.6)}});
    const auto dips = dips_below(bar, limit, at(-50), at(750));
    for (double x = -50; x < 750; x += 0.7) {
      const double over = mm(bar.height(at(x)) - limit.height(at(x)));
      if (std::fabs(over) < 1e-6) continue;
      bool inside = false;
      for (const Dip& d : dips) {
        if (at(x) < d.from || at(x) > d.to) continue;
        inside = true;
        CHECK(over >= mm(d.deepest.amount) - 1e-12);
      }
      INFO("run " << run << " x " << x << " over " << over);
      REQUIRE(inside == (over < 0));
    }
  }
}
