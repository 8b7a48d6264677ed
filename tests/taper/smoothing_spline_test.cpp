#include "taper/smoothing_spline.h"

#include <gsl/gsl_bspline.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_linalg.h>

#include <memory>
#include <random>

#include "catch.h"

using namespace stripwright;

namespace {

std::vector<MeasuredFlats> measured(unsigned seed, std::size_t n, double noise_mm = 0.02) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> step(60, 180);
  std::normal_distribution<double> noise(0, noise_mm);
  std::uniform_real_distribution<double> u(0.3, 3);
  std::vector<MeasuredFlats> out;
  double x = -40;
  for (std::size_t i = 0; i < n; ++i) {
    const double flats = 1.8 + 0.0028 * x + 0.25 * std::sin(x / 500);
    out.push_back({Station(Length::millimetres(x)), Length::millimetres(flats + noise(random)),
                   Length::millimetres(noise_mm * u(random))});
    x += step(random);
  }
  return out;
}

double pitch_of(std::vector<MeasuredFlats> const& points) {
  return (points.back().at - points.front().at).in_millimetres() /
         static_cast<double>(points.size() - 1);
}

/// A second way to the same curve: the functional made smallest over all cubic B-splines with
/// breaks at the points, a space that the natural splines are part of. GSL gives the B-splines; as
/// their second derivatives are straight between breaks, Simpson's rule integrates
/// the products exactly.
class PenalisedBsplines {
 public:
  PenalisedBsplines(std::vector<MeasuredFlats> const& points, double stiffness)
      : first_(points.front().at.from_zero().in_millimetres()),
        pitch_(pitch_of(points)),
        n_(points.size() + 2),
        work_(gsl_bspline_alloc(4, points.size()), gsl_bspline_free) {
    std::vector<double> x;
    for (auto const& point : points) x.push_back(in_pitches(point.at));
    const auto breaks = gsl_vector_view_array(x.data(), x.size());
    gsl_bspline_knots(&breaks.vector, work_.get());
    std::vector<double> a(n_ * n_, 0);
    std::vector<double> b(n_, 0);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double u = points[i].u.in_millimetres();
      const auto row = second_order(x[i], 0);
      for (std::size_t j = 0; j < n_; ++j) {
        b[j] += row[j] * points[i].flats.in_millimetres() / (u * u);
        for (std::size_t k = 0; k < n_; ++k) a[j * n_ + k] += row[j] * row[k] / (u * u);
      }
    }
    for (std::size_t i = 0; i + 1 < x.size(); ++i) {
      const double h = x[i + 1] - x[i];
      // Just inside, since the last interval's end belongs to it alone.
      const double places[] = {x[i] + 1e-9 * h, x[i] + h / 2, x[i + 1] - 1e-9 * h};
      const double weights[] = {h / 6, 4 * h / 6, h / 6};
      for (int s = 0; s < 3; ++s) {
        const auto row = second_order(places[s], 2);
        for (std::size_t j = 0; j < n_; ++j)
          for (std::size_t k = 0; k < n_; ++k)
            a[j * n_ + k] += stiffness * weights[s] * row[j] * row[k];
      }
    }
    auto matrix = gsl_matrix_view_array(a.data(), n_, n_);
    auto right = gsl_vector_view_array(b.data(), n_);
    c_.resize(n_);
    auto solution = gsl_vector_view_array(c_.data(), n_);
    std::unique_ptr<gsl_permutation, decltype(&gsl_permutation_free)> order(
        gsl_permutation_alloc(n_), gsl_permutation_free);
    int sign = 0;
    gsl_linalg_LU_decomp(&matrix.matrix, order.get(), &sign);
    gsl_linalg_LU_solve(&matrix.matrix, order.get(), &right.vector, &solution.vector);
  }

  double operator()(Station at) const {
    const auto row = second_order(in_pitches(at), 0);
    double sum = 0;
    for (std::size_t j = 0; j < n_; ++j) sum += row[j] * c_[j];
    return sum;
  }

 private:
  double in_pitches(Station at) const {
    return (at.from_zero().in_millimetres() - first_) / pitch_;
  }

  std::vector<double> second_order(double x, std::size_t derivative) const {
    std::unique_ptr<gsl_matrix, decltype(&gsl_matrix_free)> all(
        gsl_matrix_calloc(n_, derivative + 1), gsl_matrix_free);
    gsl_bspline_deriv_eval(x, derivative, all.get(), work_.get());
    std::vector<double> out(n_);
    for (std::size_t j = 0; j < n_; ++j) out[j] = gsl_matrix_get(all.get(), j, derivative);
    return out;
  }

  double first_;
  double pitch_;
  std::size_t n_;
  std::unique_ptr<gsl_bspline_workspace, decltype(&gsl_bspline_free)> work_;
  std::vector<double> c_;
};

std::vector<Station> between(std::vector<MeasuredFlats> const& points) {
  std::vector<Station> out;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    for (const double t : {0.0, 0.3, 0.8})
      out.push_back(points[i].at + t * (points[i + 1].at - points[i].at));
  return out;
}

}  // namespace

TEST_CASE("the smoothing spline is the smallest of GSL's penalised B-splines") {
  for (unsigned seed = 1; seed <= 12; ++seed)
    for (const double stiffness : {1.0, 1e2, 1e4, 1e6}) {
      const auto points = measured(seed, 4 + 2 * seed);
      const SmoothingSpline spline(points, stiffness);
      const PenalisedBsplines other(points, stiffness);
      for (const Station at : between(points)) {
        INFO("seed " << seed << ", stiffness " << stiffness << ", at "
                     << at.from_zero().in_millimetres());
        CHECK(spline.flats(at).in_millimetres() == Approx(other(at)).margin(2e-8));
      }
    }
}

TEST_CASE("without stiffness it is GSL's natural cubic spline through the points") {
  const auto points = measured(3, 15);
  std::vector<double> x, y;
  for (auto const& point : points) {
    x.push_back(point.at.from_zero().in_millimetres());
    y.push_back(point.flats.in_millimetres());
  }
  std::unique_ptr<gsl_interp, decltype(&gsl_interp_free)> natural(
      gsl_interp_alloc(gsl_interp_cspline, x.size()), gsl_interp_free);
  gsl_interp_init(natural.get(), x.data(), y.data(), x.size());
  const SmoothingSpline spline(points, 0);
  for (const Station at : between(points))
    CHECK(spline.flats(at).in_millimetres() ==
          Approx(gsl_interp_eval(natural.get(), x.data(), y.data(), at.from_zero().in_millimetres(),
                                 nullptr))
              .epsilon(1e-11));
}

TEST_CASE("beyond all stiffness it is GSL's weighted straight line") {
  const auto points = measured(4, 20);
  std::vector<double> x, y, w;
  for (auto const& point : points) {
    x.push_back(point.at.from_zero().in_millimetres());
    y.push_back(point.flats.in_millimetres());
    w.push_back(1 / (point.u.in_millimetres() * point.u.in_millimetres()));
  }
  double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, chi = 0;
  gsl_fit_wlinear(x.data(), 1, w.data(), 1, y.data(), 1, x.size(), &c0, &c1, &v00, &v01, &v11,
                  &chi);
  const SmoothingSpline spline(points, 1e14);
  for (const double mm : {-500.0, 0.0, 333.0, 5000.0})
    CHECK(spline.flats(Station(Length::millimetres(mm))).in_millimetres() ==
          Approx(c0 + c1 * mm).epsilon(1e-6));
}

TEST_CASE("the smoothest curve stays within the readings' uncertainty, and no smoother one does") {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const auto points = measured(seed, 12 + seed % 20, 0.01);
    const auto off = [&](SmoothingSpline const& spline) {
      double most = 0;
      double squares = 0;
      for (auto const& point : points) {
        const double each = (point.flats - spline.flats(point.at)) / point.u;
        most = std::max(most, std::abs(each));
        squares += each * each;
      }
      return std::pair(most, std::sqrt(squares / static_cast<double>(points.size())));
    };
    const auto spline = smoothest_within(points, 2);
    INFO("seed " << seed);
    const auto [most, mean] = off(spline);
    CHECK(most <= 2);
    CHECK(mean <= 1);
    // It is on the edge of one of the two: only a straight line would be inside both.
    CHECK((most > 1.9999 || mean > 0.9999));
    CHECK(spline.roughness() < SmoothingSpline(points, 0).roughness());
  }
}

TEST_CASE("readings along a line give the line, whatever its scatter within the uncertainty") {
  std::vector<MeasuredFlats> points;
  for (int i = 0; i < 10; ++i)
    points.push_back({Station(Length::millimetres(100.0 * i)),
                      Length::millimetres(2 + 0.3 * i + (i % 2 == 0 ? 0.004 : -0.004)),
                      Length::millimetres(0.01)});
  const auto spline = smoothest_within(points, 2);
  CHECK(spline.roughness() < 1e-15);
}
