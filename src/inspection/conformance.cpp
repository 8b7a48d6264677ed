#include "inspection/conformance.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>

namespace stripwright::inspection {
namespace {

double phi(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

}  // namespace

Limits limits_around(Length target, Tolerance const& tolerance) {
  return {target - tolerance.under, target + tolerance.over};
}

Length standard_uncertainty(Gauge const& gauge) {
  return Length::millimetres(std::hypot(gauge.standard_uncertainty.in_millimetres(),
                                        gauge.resolution.in_millimetres() / std::sqrt(12.0)));
}

// Written with the nearer tail in front, so that small probabilities keep their digits.
double probability_between(double to_low, double to_high) {
  return to_low > 0 ? phi(-to_low) - phi(-to_high) : phi(to_high) - phi(to_low);
}

double conformance_probability(Length measured, Limits const& limits, Length uncertainty) {
  if (uncertainty <= Length{})
    return measured > limits.low - kSamePlace && measured < limits.high + kSamePlace ? 1 : 0;
  return probability_between((limits.low - measured) / uncertainty,
                             (limits.high - measured) / uncertainty);
}

Length coarsest_uncertainty(Limits const& limits) {
  // P at the middle is 2 Φ(T/2u) - 1, so T/2u is the quantile of (1 + 0.95)/2: 1.96.
  const double z = boost::math::quantile(boost::math::normal(), (1 + kProven) / 2);
  return (limits.high - limits.low) / (2 * z);
}

std::optional<Limits> readings_that_prove(Limits const& limits, Length uncertainty) {
  if (uncertainty <= Length{}) return limits;
  const Length middle = (limits.low + limits.high) / 2;
  if (conformance_probability(middle, limits, uncertainty) < kProven) return std::nullopt;
  // P falls from the middle to both sides alike; the guard is where it passes 0.95. At the
  // limit itself it is at most 1/2.
  const double half_width = (limits.high - limits.low).in_millimetres() / 2;
  const auto excess = [&](double mm) {
    return conformance_probability(middle + Length::millimetres(mm), limits, uncertainty) - kProven;
  };
  if (excess(0) == 0) return Limits{middle, middle};
  std::uintmax_t steps = 100;
  const auto [inside, outside] = boost::math::tools::toms748_solve(
      excess, 0.0, half_width, boost::math::tools::eps_tolerance<double>(50), steps);
  (void)outside;
  const Length reach = Length::millimetres(inside);
  return Limits{middle - reach, middle + reach};
}

}  // namespace stripwright::inspection
