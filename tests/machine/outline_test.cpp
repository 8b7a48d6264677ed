#include "machine/outline.h"

#include <cmath>
#include <stdexcept>

#include "catch.h"
#include "machine/bar_spline.h"
#include "machine/cutter_curve.h"
#include "profiles.h"
#include "thinned.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

/// How far the points' lines are off the curve, by looking at many places, corners among them.
double worst_gap(const std::vector<OutlinePoint>& points, const HeightCurve& curve) {
  double worst = 0;
  const auto look = [&](const OutlinePoint& a, const OutlinePoint& b, double x) {
    const double t = (x - mm(a.at)) / mm(b.at - a.at);
    const double chord = mm(a.height) + t * mm(b.height - a.height);
    worst = std::max(worst, std::fabs(chord - mm(curve.height(at(x)))));
  };
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const auto &a = points[i], &b = points[i + 1];
    for (int k = 0; k <= 200; ++k) look(a, b, mm(a.at) + mm(b.at - a.at) * k / 200);
    for (const Station c : curve.corners()) {
      if (c > a.at && c < b.at) look(a, b, mm(c));
    }
  }
  return worst;
}

const Length kTolerance = mm(0.0001);

}  // namespace

TEST_CASE("a straight line needs its two ends, a sharp profile its corners") {
  const Straight line({0, 100}, {1, 2});
  CHECK(outline(line, at(10), at(90), kTolerance, {}).size() == 2);
  const Straight tent({0, 50, 100}, {1, 2, 1});
  const auto points = outline(tent, at(0), at(100), kTolerance, {});
  REQUIRE(points.size() == 3);
  CHECK(mm(points[1].at) == 50);
  CHECK(mm(points[1].height) == 2);
}

// An arc of radius R and its chord of width w are w²/8R apart in the middle: 0.0001 mm at R = 125
// are 0.316 mm.
TEST_CASE("a circle takes about as many chords as it must") {
  const double rho = 125;
  const Curved hill([=](double x) { return std::sqrt(rho * rho - x * x); },
                    [=](double x) { return -x / std::sqrt(rho * rho - x * x); }, {0});
  const auto points = outline(hill, at(-10), at(10), kTolerance, {});
  CHECK(worst_gap(points, hill) <= 0.0001);
  // 20/0.316 = 63.2 chords.
  CHECK(points.size() >= 64);
  CHECK(points.size() <= 96);
}

TEST_CASE("outlines lie within their tolerance and hold the places they must") {
  Random random(51);
  for (int run = 0; run < thinned(12); ++run) {
    const Straight taper = random.taper();
    const CutterCurve offset(taper, mm(38.1), at(-40), at(1300));
    const Cubics smooth = random.smooth(12, 60, 140, 0.01);
    const CutterCurve smooth_offset(smooth, mm(38.1), at(-40), at(1300));
    const Straight rough = random.straight(60, 0.2, 2, 0.5);
    const CutterCurve rough_offset(rough, mm(10), at(-5), at(200));
    std::vector<Station> must;
    for (int i = 0; i < 9; ++i) must.push_back(at(random.between(-50, 1250)));
    must.push_back(taper.corners()[3]);
    for (const HeightCurve* curve :
         {static_cast<const HeightCurve*>(&taper), static_cast<const HeightCurve*>(&offset),
          static_cast<const HeightCurve*>(&smooth), static_cast<const HeightCurve*>(&smooth_offset),
          static_cast<const HeightCurve*>(&rough_offset)}) {
      const double from = -30, to = curve == &rough_offset ? 150 : 1200;
      const auto points = outline(*curve, at(from), at(to), kTolerance, must);
      INFO("run " << run);
      CHECK(worst_gap(points, *curve) <= 0.0001);
      CHECK(mm(points.front().at) == from);
      CHECK(mm(points.back().at) == to);
      for (std::size_t i = 0; i + 1 < points.size(); ++i) REQUIRE(points[i].at < points[i + 1].at);
      for (const Station m : must) {
        if (mm(m) < from || mm(m) > to) continue;
        CHECK(std::count_if(points.begin(), points.end(),
                            [&](const OutlinePoint& p) { return p.at == m; }) == 1);
      }
      for (const OutlinePoint& p : points) CHECK(p.height == curve->height(p.at));
    }
  }
}

TEST_CASE("an outline without a tolerance or with its ends exchanged is a caller's mistake") {
  const Straight line({0, 100}, {1, 2});
  CHECK_THROWS_AS(outline(line, at(0), at(1), mm(0), {}), std::logic_error);
  CHECK_THROWS_AS(outline(line, at(1), at(0), mm(1), {}), std::logic_error);
  CHECK(outline(line, at(1), at(1), mm(1), {}).size() == 1);
}
