#include "inspection/repeated.h"

#include <algorithm>
#include <cmath>

namespace stripwright::inspection {

// Two passes: the mean first, then the squares of what is left, so that nothing is lost where
// the mean is many times the spread. What the rounded mean is off by is told by the sum of
// what is left, and taken off again from both.
Repeated repeated(std::span<const Length> readings) {
  const auto n = static_cast<double>(readings.size());
  if (readings.empty()) return {};
  if (readings.size() == 1) return {readings.front(), {}, 1};
  Length sum;
  for (const Length reading : readings) sum += reading;
  const Length mean = sum / n;
  Length left;
  double squares_mm2 = 0;
  for (const Length reading : readings) {
    left += reading - mean;
    squares_mm2 += std::pow((reading - mean).in_millimetres(), 2);
  }
  const double off_mm2 = std::pow(left.in_millimetres(), 2) / n;
  const double variance_mm2 = std::max(0.0, squares_mm2 - off_mm2) / (n - 1);
  return {mean + left / n, Length::millimetres(std::sqrt(variance_mm2)),
          static_cast<long>(readings.size())};
}

Length scatter_uncertainty(Gauge const& gauge, Repeated const& readings) {
  const Length of_step = gauge.resolution / std::sqrt(12.0);
  return std::max(of_step, readings.spread) / std::sqrt(static_cast<double>(readings.count));
}

Length standard_uncertainty(Gauge const& gauge, Repeated const& readings) {
  return root_of_squares(gauge.standard_uncertainty, scatter_uncertainty(gauge, readings));
}

Length root_of_squares(Length x, Length y) {
  return Length::millimetres(std::hypot(x.in_millimetres(), y.in_millimetres()));
}

}  // namespace stripwright::inspection
