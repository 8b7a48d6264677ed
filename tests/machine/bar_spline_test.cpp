#include "machine/bar_spline.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_spline.h>

#include <array>
#include <cmath>
#include <stdexcept>

#include "catch.h"
#include "profiles.h"

using namespace stripwright;
using machine::BarShape;
using machine::Support;
using namespace profiles;

namespace {

std::vector<Support> supports(const std::vector<double>& xs, const std::vector<double>& ys) {
  std::vector<Support> s;
  for (std::size_t i = 0; i < xs.size(); ++i) s.push_back({at(xs[i]), mm(ys[i])});
  return s;
}

double value(const BarShape& bar, double x) { return mm(bar.height(at(x))); }

/// a + b t + c t² + d t³ of the span that begins at x: value, slope and bends.
std::array<double, 4> coefficients(const BarShape& bar, double x, double span) {
  const double bend0 = bar.bend_per_millimetre(at(x));
  const double bend1 = bar.bend_per_millimetre(at(x + span * 0.5));
  return {value(bar, x), bar.slope(at(x), Side::towards_butt), bend0 / 2,
          (bend1 - bend0) / (0.5 * span) / 6};
}

void check_coefficients(const BarShape& bar, double x, const std::array<double, 4>& expected,
                        double margin) {
  const auto found = coefficients(bar, x, 1);
  for (std::size_t i = 0; i < 4; ++i) {
    INFO("span at " << x << ", coefficient " << i);
    CHECK(found[i] == Approx(expected[i]).margin(margin));
  }
}

}  // namespace

TEST_CASE("a bar on one support lies level, on two it is one straight line") {
  const auto level = BarShape::spring(supports({100}, {3}));
  CHECK(value(level, -50) == 3);
  CHECK(value(level, 500) == 3);
  CHECK(level.slope(at(100), Side::towards_tip) == 0);
  const auto line = BarShape::spring(supports({0, 200}, {1, 2}));
  CHECK(line.straight());
  for (const double x : {-100.0, 0.0, 50.0, 200.0, 400.0}) {
    CHECK(value(line, x) == Approx(1 + x / 200).margin(1e-14));
    CHECK(line.slope(at(x), Side::towards_tip) == Approx(0.005));
    CHECK(line.bend_per_millimetre(at(x)) == 0);
  }
}

TEST_CASE("supports that do not increase, or none, are a caller's mistake") {
  CHECK_THROWS_AS(BarShape::spring({}), std::logic_error);
  CHECK_THROWS_AS(BarShape::spring(supports({0, 0}, {1, 1})), std::logic_error);
  CHECK_THROWS_AS(BarShape::straight_between(supports({1, 0}, {1, 1})), std::logic_error);
  CHECK_THROWS_AS(BarShape::spring(supports({0, 1}, {1, std::nan("")})), std::logic_error);
}

TEST_CASE("a straight line stays one through any supports") {
  const auto bar = BarShape::spring(supports({0, 10, 25, 70, 100}, {1, 1.1, 1.25, 1.7, 2}));
  for (double x = -20; x < 120; x += 3.7) CHECK(value(bar, x) == Approx(1 + x / 100).margin(1e-14));
}

// Burden & Faires, Numerical Analysis, section 3.5, the natural spline through e^x at 0..3; the
// book's values from memory, computed again to 12 digits with another program.
TEST_CASE("natural spline through the exponential (Burden and Faires)") {
  const auto bar =
      BarShape::spring(supports({0, 1, 2, 3}, {1, std::exp(1.0), std::exp(2.0), std::exp(3.0)}));
  check_coefficients(bar, 0, {1, 1.46599761417, 0, 0.252284214284}, 5e-12);
  check_coefficients(bar, 1, {2.71828182846, 2.22285025703, 0.756852642853, 1.69107137059}, 5e-11);
  check_coefficients(bar, 2, {7.38905609893, 8.80976965451, 5.83006675463, -1.94335558488}, 5e-11);
  CHECK(value(bar, 0.5) == Approx(1.76453433387).margin(1e-11));
  CHECK(value(bar, 1.5) == Approx(4.23030403901).margin(1e-11));
  CHECK(value(bar, 2.5) == Approx(13.0085381667).margin(1e-10));
  CHECK(bar.bend_per_millimetre(at(1)) == Approx(1.51370528571).margin(1e-11));
  CHECK(bar.bend_per_millimetre(at(2)) == Approx(11.6601335093).margin(1e-10));
}

// Burden & Faires, section 3.5, example 1: (1,2), (2,3), (3,5); from memory, checked by hand.
TEST_CASE("natural spline through three points (Burden and Faires)") {
  const auto bar = BarShape::spring(supports({1, 2, 3}, {2, 3, 5}));
  check_coefficients(bar, 1, {2, 0.75, 0, 0.25}, 1e-14);
  check_coefficients(bar, 2, {3, 1.5, 0.75, -0.25}, 1e-14);
}

// A spline exercise in whole numbers,
// https://github.hk.mmd.ink/msaw97/metody5-spline-interpolation.
TEST_CASE("natural spline in whole numbers") {
  const auto bar = BarShape::spring(supports({0, 1, 2, 3}, {1, 1, 0, 10}));
  CHECK(bar.bend_per_millimetre(at(1)) == Approx(-6).margin(1e-13));
  CHECK(bar.bend_per_millimetre(at(2)) == Approx(18).margin(1e-13));
  CHECK(value(bar, 0.5) == Approx(1.375).margin(1e-14));
  CHECK(value(bar, 1.5) == Approx(-0.25).margin(1e-14));
  CHECK(value(bar, 2.5) == Approx(3.875).margin(1e-14));
}

// The encyclopedia example of spline interpolation, (-1, 0.5), (0, 0), (3, 3); from memory, checked
// by hand.
TEST_CASE("natural spline with uneven spans") {
  const auto bar = BarShape::spring(supports({-1, 0, 3}, {0.5, 0, 3}));
  CHECK(bar.slope(at(-1), Side::towards_butt) == Approx(-0.6875));
  CHECK(bar.slope(at(0), Side::towards_tip) == Approx(-0.125));
  CHECK(bar.slope(at(0), Side::towards_butt) == Approx(-0.125));
  CHECK(bar.slope(at(3), Side::towards_tip) == Approx(1.5625));
  CHECK(bar.bend_per_millimetre(at(0)) == Approx(1.125));
  SECTION("and straight beyond the ends with the slope of the ends") {
    CHECK(value(bar, -3) == Approx(0.5 + 2 * 0.6875));
    CHECK(value(bar, 5) == Approx(3 + 2 * 1.5625));
    CHECK(bar.slope(at(9), Side::towards_butt) == Approx(1.5625));
    CHECK(bar.bend_per_millimetre(at(9)) == 0);
  }
}

// Young & Gregory, A Survey of Numerical Mathematics, vol. 1, chapter 6.8, as kept in GSL 2.7.1,
// interpolation/test.c.
TEST_CASE("natural spline through 1/(1+x²) (Young and Gregory)") {
  std::vector<double> xs, ys;
  for (int i = 0; i <= 5; ++i) {
    xs.push_back(i / 5.0);
    ys.push_back(1 / (1 + xs.back() * xs.back()));
  }
  const auto bar = BarShape::spring(supports(xs, ys));
  CHECK(value(bar, 0.02) == Approx(0.997583282975581).margin(2e-15));
  CHECK(value(bar, 0.10) == Approx(0.986183764184894).margin(2e-15));
  CHECK(value(bar, 0.50) == Approx(0.799846963843167).margin(2e-15));
  CHECK(value(bar, 0.98) == Approx(0.510588599432241).margin(2e-15));
  CHECK(bar.slope(at(0), Side::towards_butt) == Approx(-0.120113913432180).margin(1e-14));
  CHECK(bar.slope(at(0.5), Side::towards_butt) == Approx(-0.638121834629033).margin(1e-14));
}

TEST_CASE("the spline is the one of the GNU Scientific Library, for random bars") {
  Random random(11);
  for (int run = 0; run < 200; ++run) {
    std::vector<double> xs{random.between(-50, 50)}, ys{random.between(0.5, 5)};
    const int n = 3 + static_cast<int>(random.between(0, 20));
    while (static_cast<int>(xs.size()) < n) {
      xs.push_back(xs.back() + random.between(20, 200));
      ys.push_back(random.between(0.5, 5));
    }
    const auto bar = BarShape::spring(supports(xs, ys));
    gsl_interp_accel* accel = gsl_interp_accel_alloc();
    gsl_spline* spline = gsl_spline_alloc(gsl_interp_cspline, xs.size());
    gsl_spline_init(spline, xs.data(), ys.data(), xs.size());
    for (int i = 0; i < 40; ++i) {
      const double x = random.between(xs.front(), xs.back());
      INFO("run " << run << " x " << x);
      REQUIRE(value(bar, x) == Approx(gsl_spline_eval(spline, x, accel)).margin(1e-11));
      REQUIRE(bar.slope(at(x), Side::towards_butt) ==
              Approx(gsl_spline_eval_deriv(spline, x, accel)).margin(1e-12));
      REQUIRE(bar.bend_per_millimetre(at(x)) ==
              Approx(gsl_spline_eval_deriv2(spline, x, accel)).margin(1e-13));
    }
    gsl_spline_free(spline);
    gsl_interp_accel_free(accel);
  }
}

// The three-moment equation with settlements (Clapeyron; form from memory): two equal spans L,
// the middle support down by δ: M = 3 E I δ/L²; three equal spans, the second support down by
// δ: M2 = 3.6 E I δ/L², M3 = -2.4 E I δ/L². M/(E I) is the bend s''.
TEST_CASE("a bar bends as a continuous beam with settlements") {
  const double length = 120, sunk = 0.3;
  const auto two = BarShape::spring(supports({0, length, 2 * length}, {0, -sunk, 0}));
  CHECK(two.bend_per_millimetre(at(length)) == Approx(3 * sunk / (length * length)));
  const auto three =
      BarShape::spring(supports({0, length, 2 * length, 3 * length}, {0, -sunk, 0, 0}));
  CHECK(three.bend_per_millimetre(at(length)) == Approx(3.6 * sunk / (length * length)));
  CHECK(three.bend_per_millimetre(at(2 * length)) == Approx(-2.4 * sunk / (length * length)));
}

// IIT Kharagpur, Structural Analysis (NPTEL), lesson 13: beam AB 2 m with 4 kN in the middle, BC 4
// m with 2 kN/m, A fixed, B sinks 5 mm, E I = 200 GPa * 8e6 mm^4 = 1600 kNm²; sagging moments
// positive. The numbers, M_A = -89/11 and M_B = 13/11 kNm, are from our own three-moment and
// finite-element solutions. By the loads alone 2 M_A + M_B = -3 and M_A + 6 M_B = -19, M_A = 1/11
// and M_B = -35/11; the rest is the settlement's, and that is a bar. A fixed end is the middle of a
// mirrored beam, level by symmetry.
TEST_CASE("a beam with a fixed end and a settlement (NPTEL, lesson 13)") {
  const auto bar = BarShape::spring(supports({-6000, -2000, 0, 2000, 6000}, {0, -5, 0, -5, 0}));
  CHECK(bar.slope(at(0), Side::towards_butt) == Approx(0).margin(1e-15));
  const double stiffness = 1600 * 1000;  // kNm², so that a bend in 1/mm comes out in kNm
  CHECK(stiffness * bar.bend_per_millimetre(at(0)) == Approx((-89.0 - 1.0) / 11));
  CHECK(stiffness * bar.bend_per_millimetre(at(2000)) == Approx((13.0 + 35.0) / 11));
}

TEST_CASE("the bar is the same from either end and scales with its heights") {
  Random random(5);
  std::vector<double> xs{0}, ys{1}, back_xs, back_ys, twice;
  for (int i = 0; i < 8; ++i) {
    xs.push_back(xs.back() + random.between(50, 150));
    ys.push_back(random.between(0, 5));
  }
  for (std::size_t i = xs.size(); i-- > 0;) {
    back_xs.push_back(xs.back() - xs[i]);
    back_ys.push_back(ys[i]);
  }
  for (const double y : ys) twice.push_back(2 * y);
  const auto bar = BarShape::spring(supports(xs, ys));
  const auto back = BarShape::spring(supports(back_xs, back_ys));
  const auto doubled = BarShape::spring(supports(xs, twice));
  for (double x = -100; x < 1000; x += 7.3) {
    CHECK(value(bar, x) == Approx(value(back, xs.back() - x)).margin(1e-12));
    CHECK(2 * value(bar, x) == Approx(value(doubled, x)).margin(1e-12));
  }
}

TEST_CASE("a straight bar goes straight from support to support and on beyond") {
  const auto bar = BarShape::straight_between(supports({0, 100, 300}, {1, 2, 1}));
  CHECK(bar.straight());
  CHECK(value(bar, 50) == 1.5);
  CHECK(value(bar, 200) == 1.5);
  CHECK(value(bar, -100) == 0);
  CHECK(value(bar, 400) == 0.5);
  CHECK(bar.slope(at(100), Side::towards_tip) == 0.01);
  CHECK(bar.slope(at(100), Side::towards_butt) == -0.005);
}
