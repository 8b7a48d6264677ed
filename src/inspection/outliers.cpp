#include "inspection/outliers.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "inspection/repeated.h"

namespace stripwright::inspection {
namespace {

/// λ for the value that is taken out when `left` are left, it included: with l = left,
/// n - i = l - 1.
double limit(std::size_t left, double false_alarm) {
  const auto l = static_cast<double>(left);
  const boost::math::students_t distribution(l - 2);
  const double t =
      boost::math::quantile(boost::math::complement(distribution, false_alarm / (2 * l)));
  return (l - 1) * t / std::sqrt((l - 2 + t * t) * l);
}

}  // namespace

std::size_t most_outliers(std::size_t n) {
  constexpr std::size_t kEnoughForMore = 15;
  constexpr std::size_t kMost = 10;
  return n < kEnoughForMore ? 1 : std::min(kMost, n / 5);
}

std::vector<Outlier> outliers(std::span<const Length> values, std::size_t most, double false_alarm,
                              Length least_spread) {
  std::vector<Length> left(values.begin(), values.end());
  std::vector<std::size_t> index(values.size());
  for (std::size_t i = 0; i < index.size(); ++i) index[i] = i;
  std::vector<Outlier> taken;
  std::size_t outlying = 0;
  while (taken.size() < most && left.size() >= 3) {
    const auto sample = repeated(left);
    const Length spread = std::max(sample.spread, least_spread);
    if (spread <= Length{}) break;
    const auto farthest = std::max_element(left.begin(), left.end(), [&](Length a, Length b) {
      return abs(a - sample.mean) < abs(b - sample.mean);
    });
    const auto at = farthest - left.begin();
    taken.push_back({index[static_cast<std::size_t>(at)], abs(*farthest - sample.mean) / spread,
                     limit(left.size(), false_alarm)});
    if (taken.back().times_spread > taken.back().limit) outlying = taken.size();
    left.erase(farthest);
    index.erase(index.begin() + at);
  }
  taken.resize(outlying);
  return taken;
}

}  // namespace stripwright::inspection
