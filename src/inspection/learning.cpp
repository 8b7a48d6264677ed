#include "inspection/learning.h"

#include <algorithm>
#include <boost/math/statistics/univariate_statistics.hpp>
#include <cmath>
#include <map>

#include "inspection/outliers.h"
#include "inspection/repeated.h"

namespace stripwright::inspection {
namespace {

/// A mean with the number of values in it.
struct Averaged {
  Length mean;
  std::size_t values = 0;
};

/// The values of one station of one ring, and of one rod.
struct StationMean {
  std::size_t rod = 0;
  std::size_t ring = 0;
  Station at;
  Averaged of;
};

/// Sum of the squares of the readings' factors in one value, and the gauge's common error's.
struct Weights {
  double squares = 0;
  double common = 0;
};

Weights weights(Allowance allowance) {
  switch (allowance) {
    case Allowance::cleanup_less_glue_line:
    case Allowance::glue_line:
      return {0.75, 0.5};
    case Allowance::cleanup:
    case Allowance::varnish:
      return {0.5, 0};
  }
  return {};
}

class Learner {
 public:
  Learner(std::vector<AllowanceValue> values, std::span<const std::size_t> rod_of_ring,
          Gauge const& gauge)
      : values_(std::move(values)),
        rod_of_ring_(rod_of_ring),
        gauge_(gauge),
        weights_(weights(values_.front().allowance)) {}

  LearnedAllowance learned() const {
    const auto stations = station_means();
    LearnedAllowance out;
    out.allowance = values_.front().allowance;
    out.rods = rod_means(stations).size();
    out.sample_of = out.rods >= kRodsForASample ? SampleOf::rods : SampleOf::stations;
    out.stations = stations.size();
    out.values = values_.size();
    judge(out);
    name_odd(out);
    return out;
  }

 private:
  std::size_t rod_of(AllowanceValue const& value) const { return rod_of_ring_[value.ring]; }

  std::vector<StationMean> station_means() const {
    std::vector<StationMean> out;
    for (auto const& value : values_) {
      const bool same =
          !out.empty() && out.back().ring == value.ring && same_place(out.back().at, value.at);
      if (!same) out.push_back({rod_of(value), value.ring, value.at, {}});
      // One of a ring that is not marked is the mean of all its pairs.
      const std::size_t pairs = value.pair ? 1 : kPairsOfFlats;
      out.back().of.mean += static_cast<double>(pairs) * value.value;
      out.back().of.values += pairs;
    }
    for (auto& station : out)
      station.of.mean = station.of.mean / static_cast<double>(station.of.values);
    return out;
  }

  static std::vector<Averaged> rod_means(std::vector<StationMean> const& stations) {
    std::map<std::size_t, std::pair<Averaged, double>> sums;
    for (auto const& station : stations) {
      auto& [sum, count] = sums[station.rod];
      sum.mean += station.of.mean;
      sum.values += station.of.values;
      count += 1;
    }
    std::vector<Averaged> out;
    for (auto const& [rod, sum] : sums)
      out.push_back({sum.first.mean / sum.second, sum.first.values});
    return out;
  }

  /// What the gauge's step alone scatters the mean of so many values by.
  Length step_spread(double values) const {
    return gauge_.resolution * std::sqrt(weights_.squares / 12 / values);
  }

  /// Mean, spread, standard error and interval of the sample that `out` says.
  void judge(LearnedAllowance& out) const {
    const auto stations = station_means();
    std::vector<Averaged> sample;
    for (auto const& station : stations) sample.push_back(station.of);
    if (out.sample_of == SampleOf::rods) sample = rod_means(stations);
    std::vector<Length> means;
    double shares = 0;
    for (auto const& each : sample) {
      means.push_back(each.mean);
      shares += 1 / static_cast<double>(each.values);
    }
    const auto n = static_cast<double>(sample.size());
    const auto together = repeated(means);
    out.sample = sample.size();
    out.mean = together.mean;
    out.spread = together.spread;
    out.standard_error = std::max(together.spread, step_spread(n / shares)) / std::sqrt(n);
    out.gauge_part = gauge_.standard_uncertainty * weights_.common;
    if (sample.size() < 2) return;
    const Length half = half_width(out.standard_error, sample.size(), out.gauge_part);
    out.interval = Interval{out.mean - half, out.mean + half};
  }

  std::map<std::size_t, Length> rod_medians() const {
    std::map<std::size_t, std::vector<double>> by_rod;
    for (auto const& value : values_) by_rod[rod_of(value)].push_back(value.value.in_millimetres());
    std::map<std::size_t, Length> out;
    for (auto& [rod, values] : by_rod)
      out[rod] = Length::millimetres(boost::math::statistics::median(values));
    return out;
  }

  void name_odd(LearnedAllowance& out) const {
    const auto medians = rod_medians();
    std::vector<Length> off;
    for (auto const& value : values_) off.push_back(value.value - medians.at(rod_of(value)));
    std::vector<bool> is_odd(values_.size(), false);
    for (auto const& outlier :
         outliers(off, most_outliers(off.size()), kFalseAlarm, step_spread(1))) {
      out.odd.push_back({values_[outlier.index], outlier.times_spread, outlier.limit});
      is_odd[outlier.index] = true;
    }
    if (out.odd.empty()) return;
    std::vector<AllowanceValue> rest;
    for (std::size_t i = 0; i < values_.size(); ++i)
      if (!is_odd[i]) rest.push_back(values_[i]);
    LearnedAllowance without;
    without.sample_of = out.sample_of;
    Learner(std::move(rest), rod_of_ring_, gauge_).judge(without);
    out.mean_without_odd = without.mean;
  }

  std::vector<AllowanceValue> values_;  // of one allowance, by ring and station
  std::span<const std::size_t> rod_of_ring_;
  Gauge const& gauge_;
  Weights weights_;
};

}  // namespace

std::vector<LearnedAllowance> learn(std::span<const AllowanceValue> values,
                                    std::span<const std::size_t> rod_of_ring, Gauge const& gauge) {
  std::vector<LearnedAllowance> out;
  for (const auto allowance : kAllowances) {
    std::vector<AllowanceValue> of_one;
    std::copy_if(values.begin(), values.end(), std::back_inserter(of_one),
                 [&](auto const& value) { return value.allowance == allowance; });
    std::stable_sort(of_one.begin(), of_one.end(), [](auto const& a, auto const& b) {
      return std::pair(a.ring, a.at) < std::pair(b.ring, b.at);
    });
    if (!of_one.empty()) out.push_back(Learner(std::move(of_one), rod_of_ring, gauge).learned());
  }
  return out;
}

std::vector<std::size_t> number_rods(std::span<const std::string> rod_names) {
  std::map<std::string, std::size_t> known;
  std::vector<std::size_t> out;
  std::size_t next = 0;
  for (auto const& name : rod_names) {
    const auto found = name.empty() ? known.end() : known.find(name);
    if (found != known.end()) {
      out.push_back(found->second);
      continue;
    }
    if (!name.empty()) known[name] = next;
    out.push_back(next++);
  }
  return out;
}

}  // namespace stripwright::inspection
