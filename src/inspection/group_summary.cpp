#include "inspection/group_summary.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace stripwright::inspection {
namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();

StationDeviation between(StationDeviation mean, Length half_width) {
  mean.low = mean.mean - half_width;
  mean.high = mean.mean + half_width;
  return mean;
}

}  // namespace

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

GroupSummary::GroupSummary(std::optional<Gauge> const& gauge)
    : u_gauge_(gauge ? gauge->standard_uncertainty : Length{}) {}

void GroupSummary::add(JudgedPiece const& piece) {
  for (auto const& place : piece.places) {
    double heights = 0;
    Length deviation;
    double scatter_mm2 = 0;
    for (auto const& each : place.heights) {
      if (!each || each->lone) continue;
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
  if (sum.n == 1) {
    out.standard_error =
        root_of_squares(u_gauge_, Length::millimetres(std::sqrt(mean_scatter_mm2)));
    return between(out, reach_95(kEndless) * out.standard_error);
  }
  const double spread_mm2 = sum.squares_mm2 / (n - 1);
  out.spread = Length::millimetres(std::sqrt(spread_mm2));
  const Length v = Length::millimetres(std::sqrt(std::max(spread_mm2, mean_scatter_mm2) / n));
  const auto combined =
      combine(std::array{UncertaintyPart{u_gauge_, kEndless}, UncertaintyPart{v, n - 1}});
  out.standard_error = combined.u;
  out.degrees_of_freedom = combined.degrees_of_freedom;
  out = between(out, half_width(v, static_cast<std::size_t>(sum.n), u_gauge_));
  const bool off = out.low > Length{} || out.high < Length{};
  // A nanometre is a double's rounding, not a machine's.
  out.cause = off && abs(out.mean) > kSamePlace ? Cause::machine : Cause::scatter;
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
