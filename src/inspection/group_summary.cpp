#include "inspection/group_summary.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>

namespace stripwright::inspection {

std::string_view word(Cause cause) {
  switch (cause) {
    case Cause::unknown:
      return "one strip";
    case Cause::scatter:
      return "scatter";
    case Cause::machine:
      return "machine";
  }
  return "";
}

Combined combine(Length u_gauge, Length v, double v_degrees_of_freedom) {
  const Length u = root_of_squares(u_gauge, v);
  if (v <= Length{}) return {u, std::numeric_limits<double>::infinity()};
  return {u, v_degrees_of_freedom * std::pow(u / v, 4)};
}

double reach_95(double degrees_of_freedom) {
  return boost::math::quantile(boost::math::students_t(degrees_of_freedom), 0.975);
}

GroupSummary::GroupSummary(std::optional<Gauge> const& gauge)
    : u_gauge_(gauge ? gauge->standard_uncertainty : Length{}) {}

void GroupSummary::add(JudgedPiece const& piece) {
  for (auto const& place : piece.places) {
    double heights = 0;
    Length deviation;
    double scatter_mm2 = 0;
    for (auto const& each : place.heights) {
      if (!each) continue;
      ++heights;
      deviation += each->deviation();
      scatter_mm2 += std::pow(each->scatter.in_millimetres(), 2);
    }
    if (heights == 0) continue;
    const Length d = deviation / heights;
    if (place.targets >= sums_.size()) sums_.resize(place.targets + 1);
    auto& sum = sums_[place.targets];
    sum.at = place.at;
    ++sum.n;
    const Length before = d - sum.mean;
    sum.mean += before / static_cast<double>(sum.n);
    sum.squares_mm2 += before.in_millimetres() * (d - sum.mean).in_millimetres();
    sum.scatter_mm2 += scatter_mm2 / (heights * heights);
  }
}

StationDeviation GroupSummary::deviation(Sum const& sum) const {
  const auto n = static_cast<double>(sum.n);
  StationDeviation out{sum.at, sum.n, sum.mean, {}, {}, 0, {}, {}, Cause::unknown};
  const double mean_scatter_mm2 = sum.scatter_mm2 / n;
  double reach = 0;
  if (sum.n == 1) {
    out.standard_error =
        root_of_squares(u_gauge_, Length::millimetres(std::sqrt(mean_scatter_mm2)));
    reach = reach_95(std::numeric_limits<double>::infinity());
  } else {
    const double spread_mm2 = sum.squares_mm2 / (n - 1);
    out.spread = Length::millimetres(std::sqrt(spread_mm2));
    const Length v = Length::millimetres(std::sqrt(std::max(spread_mm2, mean_scatter_mm2) / n));
    const auto combined = combine(u_gauge_, v, n - 1);
    out.standard_error = combined.standard_error;
    out.degrees_of_freedom = combined.degrees_of_freedom;
    reach = reach_95(combined.degrees_of_freedom);
  }
  out.low = out.mean - reach * out.standard_error;
  out.high = out.mean + reach * out.standard_error;
  if (sum.n > 1)
    out.cause = out.low > Length{} || out.high < Length{} ? Cause::machine : Cause::scatter;
  return out;
}

std::vector<StationDeviation> GroupSummary::stations() const {
  std::vector<StationDeviation> out;
  out.reserve(sums_.size());
  for (auto const& sum : sums_)
    if (sum.n > 0) out.push_back(deviation(sum));
  std::sort(out.begin(), out.end(),
            [](auto const& one, auto const& other) { return one.at < other.at; });
  return out;
}

}  // namespace stripwright::inspection
