#include "taper/taper_curve.h"

// Boost 1.74's pchip.hpp says isnan without its namespace.
#include <math.h>  // NOLINT(modernize-deprecated-headers)

#include <boost/math/interpolators/pchip.hpp>
#include <cmath>
#include <random>

#include "catch.h"

using namespace stripwright;

namespace {

struct Point {
  double x, y;  // millimetres
};

Taper taper_of(std::vector<Point> const& points, Between between) {
  Taper taper;
  taper.between = between;
  for (const auto [x, y] : points)
    taper.points.push_back({Station(Length::millimetres(x)), Length::millimetres(y)});
  return taper;
}

TaperCurve curve_of(std::vector<Point> const& points, Between between) {
  return TaperCurve(taper_of(points, between));
}

Station at(double mm) { return Station(Length::millimetres(mm)); }
double flats(TaperCurve const& curve, double mm) { return curve.flats(at(mm)).in_millimetres(); }

const std::vector<Point> kTip = {{0, 1.7},   {127, 2.1}, {254, 2.5},
                                 {381, 2.8}, {508, 3.3}, {635, 3.5}};

/// Random tapers of so many points: growing, falling and level spans among them.
std::vector<Point> random_points(std::mt19937_64& random, std::size_t count) {
  std::uniform_real_distribution<double> step(5, 200);
  std::uniform_real_distribution<double> size(1, 10);
  std::vector<Point> points;
  double x = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const bool level = !points.empty() && random() % 5 == 0;
    points.push_back({x, level ? points.back().y : size(random)});
    x += step(random);
  }
  return points;
}

}  // namespace

TEST_CASE("a linear taper runs straight between its points and straight on beyond them") {
  const auto curve = curve_of(kTip, Between::linear);
  CHECK(curve.straight());
  CHECK(curve.points().size() == kTip.size());
  for (const auto [x, y] : kTip) CHECK(flats(curve, x) == y);
  CHECK(flats(curve, 63.5) == Approx(1.9).epsilon(1e-14));
  CHECK(flats(curve, 444.5) == Approx(3.05).epsilon(1e-14));
  // Beyond the ends with the slope there: 0.4 and 0.2 in 127.
  CHECK(flats(curve, -63.5) == Approx(1.5).epsilon(1e-14));
  CHECK(flats(curve, 698.5) == Approx(3.6).epsilon(1e-14));
  // Far enough out it goes below 0; what is cut there is for others to limit.
  CHECK(flats(curve, -1270) == Approx(-2.3));
}

TEST_CASE("at a point of a linear taper the slope has two sides") {
  const auto curve = curve_of(kTip, Between::linear);
  CHECK(curve.slope_towards_tip(at(508)) == Approx(0.5 / 127));
  CHECK(curve.slope_towards_butt(at(508)) == Approx(0.2 / 127));
  CHECK(curve.slope_towards_tip(at(450)) == Approx(0.5 / 127));
  CHECK(curve.slope_towards_butt(at(450)) == Approx(0.5 / 127));
  // At the ends and beyond there is one.
  for (const double x : {-50.0, 0.0}) {
    CHECK(curve.slope_towards_tip(at(x)) == Approx(0.4 / 127));
    CHECK(curve.slope_towards_butt(at(x)) == Approx(0.4 / 127));
  }
  for (const double x : {635.0, 700.0}) {
    CHECK(curve.slope_towards_tip(at(x)) == Approx(0.2 / 127));
    CHECK(curve.slope_towards_butt(at(x)) == Approx(0.2 / 127));
  }
}

TEST_CASE("two points are a straight line, smooth or not") {
  for (const auto between : {Between::linear, Between::smooth}) {
    const auto curve = curve_of({{0, 2}, {100, 4}}, between);
    CHECK(curve.straight());
    for (const double x : {-50.0, 0.0, 25.0, 100.0, 130.0})
      CHECK(flats(curve, x) == Approx(2 + 0.02 * x).epsilon(1e-14));
  }
  CHECK_THROWS(curve_of({{0, 2}}, Between::linear));
  CHECK_THROWS(curve_of({}, Between::smooth));
}

TEST_CASE("a smooth taper of four points or more is the library's monotone cubic") {
  // Boost.Math's pchip with the slopes of the outermost spans at the ends.
  std::mt19937_64 random(11);
  for (int k = 0; k < 200; ++k) {
    const auto points = random_points(random, 4 + random() % 20);
    const auto curve = curve_of(points, Between::smooth);
    CHECK_FALSE(curve.straight());
    std::vector<double> x, y;
    for (auto const& point : points) {
      x.push_back(point.x);
      y.push_back(point.y);
    }
    const std::size_t n = x.size();
    const double first = (y[1] - y[0]) / (x[1] - x[0]);
    const double last = (y[n - 1] - y[n - 2]) / (x[n - 1] - x[n - 2]);
    const double end = x.back();
    const boost::math::interpolators::pchip<std::vector<double>> expected(
        std::move(x), std::move(y), first, last);
    std::uniform_real_distribution<double> places(0, end);
    for (int i = 0; i < 50; ++i) {
      const double place = places(random);
      CHECK(flats(curve, place) == Approx(expected(place)).margin(1e-12));
      CHECK(curve.slope_towards_butt(at(place)) == Approx(expected.prime(place)).margin(1e-12));
    }
  }
}

TEST_CASE("four points by hand") {
  // Fritsch and Butland's slopes (SIAM J. Sci. Stat. Comput. 5, 1984, formula with the weights
  // of unequal spans; from memory): spans of 1, 2, 1 with secants 1, 2, 3. At x = 1:
  // w1 = 2*2 + 1 = 5, w2 = 2 + 2*1 = 4, slope 9/(5/1 + 4/2) = 9/7. At x = 3:
  // w1 = 2*1 + 2 = 4, w2 = 1 + 2*2 = 5, slope 9/(4/2 + 5/3) = 27/11.
  const auto curve = curve_of({{0, 1}, {1, 2}, {3, 6}, {4, 9}}, Between::smooth);
  CHECK(curve.slope_towards_butt(at(1)) == Approx(9.0 / 7).epsilon(1e-13));
  CHECK(curve.slope_towards_butt(at(3)) == Approx(27.0 / 11).epsilon(1e-13));
  // The cubic with those slopes in the middle of its span: mean of the ends and an eighth of
  // the span times the difference of slopes.
  CHECK(flats(curve, 2) == Approx(4 + 2.0 / 8 * (9.0 / 7 - 27.0 / 11)).epsilon(1e-13));
  CHECK(flats(curve, 0.5) == Approx(1.5 + 1.0 / 8 * (1 - 9.0 / 7)).epsilon(1e-13));
}

TEST_CASE("three points follow the same rule") {
  // Secants 1 over a span of 1, 2 over a span of 2: w1 = 5, w2 = 4, slope 9/(5 + 2) = 9/7.
  const auto curve = curve_of({{0, 1}, {1, 2}, {3, 6}}, Between::smooth);
  CHECK_FALSE(curve.straight());
  CHECK(curve.slope_towards_butt(at(1)) == Approx(9.0 / 7).epsilon(1e-13));
  CHECK(curve.slope_towards_butt(at(0)) == Approx(1));
  CHECK(curve.slope_towards_butt(at(3)) == Approx(2));
  CHECK(flats(curve, 0.5) == Approx(1.5 + 1.0 / 8 * (1 - 9.0 / 7)).epsilon(1e-13));
  CHECK(flats(curve, 2) == Approx(4 + 2.0 / 8 * (9.0 / 7 - 2)).epsilon(1e-13));
  // Where the slope changes its sign, and where a span is level, it is 0.
  for (const double third : {1.5, 2.0})
    CHECK(curve_of({{0, 1}, {1, 2}, {3, third}}, Between::smooth).slope_towards_butt(at(1)) ==
          Approx(0).margin(1e-15));
  // Against the library: a fourth point on the last span's straight line changes neither
  // the slopes nor the first span.
  std::mt19937_64 random(5);
  for (int k = 0; k < 100; ++k) {
    auto points = random_points(random, 3);
    const auto three = curve_of(points, Between::smooth);
    const auto [x1, y1] = points[1];
    const auto [x2, y2] = points[2];
    points.push_back({2 * x2 - x1, 2 * y2 - y1});
    const auto four = curve_of(points, Between::smooth);
    for (int i = 0; i <= 20; ++i)
      CHECK(flats(three, x2 * i / 20) == Approx(flats(four, x2 * i / 20)).margin(1e-12));
  }
}

TEST_CASE("a smooth taper is smooth, monotone between its points, and straight beyond them") {
  std::mt19937_64 random(3);
  for (const std::size_t count : {3U, 4U, 5U, 12U})
    for (int k = 0; k < 50; ++k) {
      const auto points = random_points(random, count);
      const auto curve = curve_of(points, Between::smooth);
      for (std::size_t i = 0; i < count; ++i) {
        const auto [x, y] = points[i];
        CHECK(flats(curve, x) == Approx(y).margin(1e-12));
        // The slope is the same on both sides, and that of the curve itself.
        const double eps = 1e-5;
        const double before = curve.slope_towards_butt(at(x - eps));
        const double behind = curve.slope_towards_butt(at(x + eps));
        CHECK(before == Approx(behind).margin(1e-4));
        CHECK(curve.slope_towards_tip(at(x)) == curve.slope_towards_butt(at(x)));
        CHECK((flats(curve, x + eps) - flats(curve, x - eps)) / (2 * eps) ==
              Approx(curve.slope_towards_butt(at(x))).margin(1e-4));
        if (i + 1 == count) continue;
        const auto [x2, y2] = points[i + 1];
        double last = y;
        for (int j = 1; j <= 40; ++j) {
          const double now = flats(curve, x + (x2 - x) * j / 40);
          if (y2 >= y) CHECK(now >= last - 1e-12);
          if (y2 <= y) CHECK(now <= last + 1e-12);
          last = now;
        }
      }
      const auto [first_x, first_y] = points.front();
      const auto [last_x, last_y] = points.back();
      const double first_slope = (points[1].y - first_y) / (points[1].x - first_x);
      const double last_slope = (last_y - points[count - 2].y) / (last_x - points[count - 2].x);
      CHECK(flats(curve, first_x - 40) == Approx(first_y - 40 * first_slope).margin(1e-12));
      CHECK(flats(curve, last_x + 40) == Approx(last_y + 40 * last_slope).margin(1e-12));
      CHECK(curve.slope_towards_butt(at(last_x + 40)) == Approx(last_slope).margin(1e-13));
      CHECK(curve.slope_towards_tip(at(first_x - 40)) == Approx(first_slope).margin(1e-13));
    }
}

TEST_CASE("points on a straight line make that line") {
  for (const auto between : {Between::linear, Between::smooth})
    for (const std::size_t count : {3U, 4U, 9U}) {
      std::vector<Point> points;
      for (std::size_t i = 0; i < count; ++i) {
        const double x = static_cast<double>(i * i) * 10;
        points.push_back({x, 2 + 0.003 * x});
      }
      const auto curve = curve_of(points, between);
      for (double x = -100; x < 1000; x += 13)
        CHECK(flats(curve, x) == Approx(2 + 0.003 * x).epsilon(1e-12));
    }
}

TEST_CASE("a curve stays what it was when it is copied") {
  auto original = std::make_unique<TaperCurve>(taper_of(kTip, Between::smooth));
  const TaperCurve copy = *original;
  const double before = flats(*original, 300);
  original.reset();
  CHECK(flats(copy, 300) == before);
}
