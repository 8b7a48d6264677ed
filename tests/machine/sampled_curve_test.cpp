#include "machine/sampled_curve.h"

#include <stdexcept>

#include "catch.h"
#include "machine/cutter_curve.h"
#include "profiles.h"
#include "thinned.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

TEST_CASE("a sampled curve is the curve within 1e-10 mm, and the curve itself beyond") {
  Random random(83);
  // Gentle stretches, and hollows too tight for the cutter.
  const bool tight = GENERATE(false, true);
  const auto strip = tight ? random.smooth(40, 2, 10, 0.05) : random.smooth(8, 20, 60, 0.03);
  const CutterCurve cutter(strip, mm(tight ? 60 : 12.9), at(-40), at(400));
  const SampledCurve sampled(cutter, at(-20), at(300));
  CHECK(sampled.corners().data() == cutter.corners().data());
  double worst = 0, worst_slope = 0;
  for (double x = -40; x < 330; x += thinned(0.1113)) {
    worst = std::max(worst, std::fabs(mm(sampled.height(at(x))) - mm(cutter.height(at(x)))));
    for (const Side side : {Side::towards_tip, Side::towards_butt})
      worst_slope =
          std::max(worst_slope, std::fabs(sampled.slope(at(x), side) - cutter.slope(at(x), side)));
  }
  CHECK(worst < 1e-10);
  CHECK(worst_slope < 1e-7);
  for (const Station corner : cutter.corners())
    for (const Side side : {Side::towards_tip, Side::towards_butt})
      CHECK(sampled.slope(corner, side) == Approx(cutter.slope(corner, side)).margin(1e-9));
  CHECK_THROWS_AS(SampledCurve(cutter, at(5), at(5)), std::logic_error);
}
