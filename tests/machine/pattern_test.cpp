#include <cmath>
#include <stdexcept>

#include "catch.h"
#include "machine/pattern_curve.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

/// The pattern by its definition: the follower's centre at every u, its lowest (or, under a lifted
/// strip, highest) place over x.
double pattern_by_looking(const CutterCurve& cutter, double r, double k, double base, double x) {
  const auto rim = [&](double u) { return std::sqrt(std::max(0.0, r * r - (x - u) * (x - u))); };
  const auto edge = [&](double u) {
    const double offset = mm(cutter.height(at(u)));
    if (k > 0) return -(k * offset + r + base - rim(u));
    return k * offset - r + base + rim(u);
  };
  std::vector<double> ends{x - r};
  for (const Station c : cutter.corners()) {
    if (mm(c) > x - r && mm(c) < x + r) ends.push_back(mm(c));
  }
  ends.push_back(x + r);
  double best = -1e300;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    best = std::max(best, greatest_by_looking(edge, ends[i], ends[i + 1], 60));
  }
  return k > 0 ? -best : best;
}

}  // namespace

TEST_CASE("a follower like the cutter on an arm of 1 needs the strip itself as its pattern") {
  Random random(61);
  // Falling slopes only: no hollow corner for the cutter to be too large for.
  std::vector<double> us{0}, hs{1};
  double m = 0.006;
  for (int i = 0; i < 10; ++i) {
    const double span = random.between(60, 140);
    us.push_back(us.back() + span);
    hs.push_back(hs.back() + span * m);
    m -= random.between(0, 0.0008);
  }
  const Straight strip(us, hs);
  const CutterCurve cutter(strip, mm(38.1), at(-100), at(1600));
  const PatternCurve pattern(cutter, mm(38.1), 1, mm(12.7), at(-50), at(1500));
  for (double x = -50; x < 1500; x += 17.3) {
    CHECK(mm(pattern.height(at(x))) == Approx(mm(strip.height(at(x))) + 12.7).margin(1e-9));
  }
  CHECK(pattern.unreached(mm(1e-6)).empty());
}

TEST_CASE("a slope's pattern is k times as steep and lower by r's own share") {
  // Centre line of slope k m at k R (sqrt(1+m²) - 1) above k times the line; the follower under it
  // by r (sqrt(1+k²m²) - 1).
  const double m = 0.02, k = 2, R = 38.1, r = 19.05;
  const Straight line({0, 100}, {0, 100 * m});
  const CutterCurve cutter(line, mm(R), at(-200), at(300));
  const PatternCurve pattern(cutter, mm(r), k, mm(5), at(-50), at(200));
  const double lift = k * R * (std::sqrt(1 + m * m) - 1) - r * (std::sqrt(1 + k * k * m * m) - 1);
  CHECK(mm(pattern.height(at(70))) == Approx(5 + k * m * 70 + lift).margin(1e-11));
  CHECK(pattern.slope(at(70), Side::towards_butt) == Approx(k * m).margin(1e-10));
  SECTION("under a lifted strip it falls instead, and r's share is on the other side") {
    const PatternCurve under(cutter, mm(r), -k, mm(5), at(-50), at(200));
    CHECK(mm(under.height(at(70))) == Approx(5 - k * m * 70 - lift).margin(1e-11));
    CHECK(under.slope(at(70), Side::towards_butt) == Approx(-k * m).margin(1e-10));
  }
  SECTION("a level strip has a level pattern at base and k times its height") {
    const Straight level({0, 100}, {3, 3});
    const CutterCurve flat(level, mm(R), at(-200), at(300));
    CHECK(mm(PatternCurve(flat, mm(r), k, mm(5), at(0), at(100)).height(at(50))) == Approx(11));
    CHECK(mm(PatternCurve(flat, mm(r), -k, mm(5), at(0), at(100)).height(at(50))) == Approx(-1));
  }
  SECTION("a point for a follower draws the offset itself") {
    const PatternCurve point(cutter, mm(0), k, mm(5), at(-50), at(200));
    CHECK(mm(point.height(at(70))) == Approx(5 + k * mm(cutter.height(at(70)))).margin(1e-12));
  }
}

TEST_CASE("patterns of random strips are their definition's") {
  Random random(62);
  for (int run = 0; run < 12; ++run) {
    const bool curved = run % 4 == 3;
    const Straight taper = random.taper();
    const Straight rough = random.straight(40, 2, 20, 0.2);
    const Cubics smooth = random.smooth(12, 60, 140, 0.01);
    const HeightCurve& strip = curved    ? static_cast<const HeightCurve&>(smooth)
                               : run % 2 ? taper
                                         : rough;
    const CutterCurve cutter(strip, mm(38.1), at(-100), at(1400));
    const double k = (run % 3 == 0 ? -1 : 1) * random.between(0.5, 3), r = random.between(5, 50);
    const PatternCurve pattern(cutter, mm(r), k, mm(12.7), at(0), at(400));
    for (int i = 0; i < 6; ++i) {
      const double x = random.between(0, 400);
      INFO("run " << run << " k " << k << " r " << r << " x " << x);
      CHECK(mm(pattern.height(at(x))) ==
            Approx(pattern_by_looking(cutter, r, k, 12.7, x)).margin(1e-8));
    }
  }
}

// Over a corner that stands up the cutter's offset is an arc of radius R, k times as high an
// ellipse of half axes R and k R: its radius at the top is R²/(k R) = R/k. A larger follower cannot
// follow it.
TEST_CASE("a follower larger than R/k does not come over an upright corner") {
  const double R = 30, k = 2, m = 0.1;
  const Straight ridge({-200, 0, 200}, {-200 * m, 0, -200 * m});
  const CutterCurve cutter(ridge, mm(R), at(-150), at(150));
  SECTION("one that is smaller does") {
    const PatternCurve pattern(cutter, mm(14.9), k, mm(0), at(-100), at(100));
    CHECK(pattern.unreached(mm(1e-6)).empty());
  }
  SECTION("one of just that radius does, and its pattern is the definition's") {
    const PatternCurve pattern(cutter, mm(R / k), k, mm(0), at(-100), at(100));
    CHECK(pattern.unreached(mm(1e-6)).empty());
    for (const double x : {-20.0, -0.3, 0.0, 0.01, 0.7, 3.0}) {
      INFO("x " << x);
      CHECK(mm(pattern.height(at(x))) ==
            Approx(pattern_by_looking(cutter, R / k, k, 0, x)).margin(1e-9));
    }
  }
  SECTION("a larger one stays low, or the pattern is cut short of it") {
    const double r = 60;
    const PatternCurve pattern(cutter, mm(r), k, mm(0), at(-100), at(100));
    const auto places = pattern.unreached(mm(1e-6));
    REQUIRE(places.size() == 1);
    CHECK(mm(places[0].at) == Approx(0).margin(1e-6));
    CHECK(mm(places[0].at_follower) == Approx(k * mm(places[0].at_cutter)));
    // The follower rolled over its pattern at x = 0, by looking.
    const auto centre = [&](double u) {
      return mm(pattern.height(at(u))) + std::sqrt(std::max(0.0, r * r - u * u));
    };
    const double reached = greatest_by_looking(centre, -r, r, 2000) - r;
    CHECK(mm(places[0].at_follower) == Approx(k * mm(cutter.height(at(0))) - reached).margin(1e-8));
    SECTION("and under a lifted strip it is the same") {
      const PatternCurve under(cutter, mm(r), -k, mm(0), at(-100), at(100));
      const auto same = under.unreached(mm(1e-6));
      REQUIRE(same.size() == 1);
      CHECK(mm(same[0].at_follower) == Approx(mm(places[0].at_follower)).margin(1e-12));
    }
  }
}

TEST_CASE("an arm of ratio 0 is a caller's mistake") {
  const Straight line({0, 100}, {1, 2});
  const CutterCurve cutter(line, mm(10), at(0), at(100));
  CHECK_THROWS_AS(PatternCurve(cutter, mm(5), 0, mm(0), at(0), at(100)), std::logic_error);
}
