#include "taper/taper_curve.h"

// Boost 1.74's pchip.hpp says isnan without its namespace.
#include <math.h>  // NOLINT(modernize-deprecated-headers)

#include <algorithm>
#include <boost/math/interpolators/cubic_hermite.hpp>
#include <boost/math/interpolators/pchip.hpp>
#include <cmath>
#include <optional>

#include "diagnostics/problem.h"

namespace stripwright {
namespace {

constexpr std::size_t kFewestForPchip = 4;

/// The slope at the one inner point of three, by pchip's rule: 0 where the secants
/// d1, d2 over the widths h1, h2 disagree in sign or one is level, else their harmonic
/// mean weighted by w1 = 2 h2 + h1 and w2 = h2 + 2 h1.
double inner_slope(double h1, double d1, double h2, double d2) {
  if (d1 * d2 <= 0) return 0;
  const double w1 = 2 * h2 + h1;
  const double w2 = h2 + 2 * h1;
  return (w1 + w2) / (w1 / d1 + w2 / d2);
}

}  // namespace

/// The cubic through three points or more; everything in millimetres.
class TaperCurve::Smooth {
 public:
  using Values = std::vector<double>;

  Smooth(Values x, Values y)
      : first_(x.front()), last_(x.back()), y_first_(y.front()), y_last_(y.back()) {
    const std::size_t n = x.size();
    slope_first_ = (y[1] - y[0]) / (x[1] - x[0]);
    slope_last_ = (y[n - 1] - y[n - 2]) / (x[n - 1] - x[n - 2]);
    if (n >= kFewestForPchip) {
      many_.emplace(std::move(x), std::move(y), slope_first_, slope_last_);
    } else {
      Values slopes = {slope_first_,
                       inner_slope(x[1] - x[0], slope_first_, x[2] - x[1], slope_last_),
                       slope_last_};
      three_.emplace(std::move(x), std::move(y), std::move(slopes));
    }
  }

  double value(double at) const {
    if (at <= first_) return y_first_ + slope_first_ * (at - first_);
    if (at >= last_) return y_last_ + slope_last_ * (at - last_);
    return many_ ? (*many_)(at) : (*three_)(at);
  }

  double slope(double at) const {
    if (at <= first_) return slope_first_;
    if (at >= last_) return slope_last_;
    return many_ ? many_->prime(at) : three_->prime(at);
  }

 private:
  double first_, last_, y_first_, y_last_;
  double slope_first_ = 0;
  double slope_last_ = 0;
  std::optional<boost::math::interpolators::pchip<Values>> many_;
  std::optional<boost::math::interpolators::cubic_hermite<Values>> three_;
};

TaperCurve::TaperCurve(Taper const& taper) {
  check_internal(taper.points.size() >= 2, "a taper of fewer than two points");
  stations_.reserve(taper.points.size());
  flats_.reserve(taper.points.size());
  for (auto const& point : taper.points) {
    stations_.push_back(point.at);
    flats_.push_back(point.flats);
  }
  if (taper.between == Between::linear || taper.points.size() < 3) return;
  Smooth::Values x;
  Smooth::Values y;
  for (auto const& point : taper.points) {
    x.push_back(point.at.from_zero().in_millimetres());
    y.push_back(point.flats.in_millimetres());
  }
  smooth_ = std::make_shared<Smooth>(std::move(x), std::move(y));
}

/// The piece [k, k+1] that holds the station; a point belongs to the piece towards
/// the butt; what lies beyond the ends belongs to the outermost pieces.
std::size_t TaperCurve::piece_towards_butt(Station at) const {
  const auto next = std::upper_bound(stations_.begin() + 1, stations_.end() - 1, at);
  return static_cast<std::size_t>(next - stations_.begin()) - 1;
}

double TaperCurve::secant(std::size_t piece) const {
  return (flats_[piece + 1] - flats_[piece]) / (stations_[piece + 1] - stations_[piece]);
}

Length TaperCurve::flats(Station at) const {
  if (smooth_) return Length::millimetres(smooth_->value(at.from_zero().in_millimetres()));
  const std::size_t k = piece_towards_butt(at);
  // From the point at or before the station, so that a point gives back its own flats.
  const std::size_t base = at >= stations_[k + 1] ? k + 1 : k;
  return flats_[base] + (at - stations_[base]) * secant(k);
}

double TaperCurve::slope_towards_butt(Station at) const {
  return smooth_ ? smooth_->slope(at.from_zero().in_millimetres()) : secant(piece_towards_butt(at));
}

double TaperCurve::slope_towards_tip(Station at) const {
  if (smooth_) return slope_towards_butt(at);
  const std::size_t k = piece_towards_butt(at);
  return secant(k > 0 && at == stations_[k] ? k - 1 : k);
}

}  // namespace stripwright
