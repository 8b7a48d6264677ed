#include "inspection/interval.h"

#include <array>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>

#include "diagnostics/problem.h"
#include "inspection/repeated.h"

namespace stripwright::inspection {
namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();

}  // namespace

UncertaintyPart combine(std::span<const UncertaintyPart> parts) {
  Length u;
  for (auto const& part : parts) u = root_of_squares(u, part.u);
  if (u <= Length{}) return {u, kEndless};
  double sum = 0;
  for (auto const& part : parts) sum += std::pow(part.u / u, 4) / part.degrees_of_freedom;
  return {u, sum > 0 ? 1 / sum : kEndless};
}

double reach(double coverage, double degrees_of_freedom) {
  return boost::math::quantile(boost::math::students_t(degrees_of_freedom), (1 + coverage) / 2);
}

double reach_95(double degrees_of_freedom) { return reach(0.95, degrees_of_freedom); }

Length half_width(Length standard_error, std::size_t n, Length gauge_part) {
  check_internal(n >= 2, "an interval from a sample of one");
  const auto freedom = static_cast<double>(n - 1);
  const Length apart =
      root_of_squares(standard_error * reach_95(freedom), gauge_part * reach_95(kEndless));
  const auto together = combine(
      std::array{UncertaintyPart{standard_error, freedom}, UncertaintyPart{gauge_part, kEndless}});
  return (apart + together.u * reach_95(together.degrees_of_freedom)) / 2;
}

}  // namespace stripwright::inspection
