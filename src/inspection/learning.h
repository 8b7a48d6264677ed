#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "inspection/allowance_values.h"
#include "inspection/interval.h"

namespace stripwright::inspection {

/// What the values are a sample of: stations of one rod have glue, hand and day in common, so
/// rods are, where there are enough.
enum class SampleOf { rods, stations };
inline constexpr std::size_t kRodsForASample = 3;

/// A value that lies further from its rod's others than chance has it.
struct OddValue {
  AllowanceValue value;
  double times_spread = 0;  ///< how many spreads it lies off
  double limit = 0;         ///< how many chance would explain
};

/// One allowance as finished sections have it.
struct LearnedAllowance {
  Allowance allowance = Allowance::cleanup_less_glue_line;
  Length mean;
  Length spread;          ///< experimental standard deviation of the sample
  Length standard_error;  ///< of the mean, from the spread or the gauge's step
  Length gauge_part;      ///< standard uncertainty that all values have in common
  SampleOf sample_of = SampleOf::stations;
  std::size_t sample = 0;  ///< n; n - 1 degrees of freedom
  std::size_t rods = 0;
  std::size_t stations = 0;
  std::size_t values = 0;
  std::optional<Interval> interval;  ///< none for a sample of one
  std::vector<OddValue> odd;         ///< named, but in all figures above
  std::optional<Length> mean_without_odd;
};

/// Mean, spread, standard error and interval of each allowance that has values, in the order of
/// `kAllowances`. `rod_of_ring` says which rods the rings are of, counted from 0.
///
/// A station's value is the mean over its pairs, a rod's the mean over its stations. With three
/// rods or more the sample is the rods, else all stations. With x̄ its mean, s its spread, n its
/// size,
///   SE = max(s, s_step) / √n,   s_step² = k resolution²/12 / m,
/// for the gauge's step alone scatters a value of k = 3/4 (three readings halved: g, c - g) or 1/2
/// (two: c, v), and each of the sample is the mean of m values. The error that all readings of the
/// gauge have in common, u_gauge, is in f once and in h_i + h_j twice: halved, it is in g and in c
/// - g once, by u_gauge / 2, and it is not in c and v, where it cancels. The interval is that of
/// `half_width`.
///
/// Odd values are found by `outliers` among all values less their rod's median.
std::vector<LearnedAllowance> learn(std::span<const AllowanceValue> values,
                                    std::span<const std::size_t> rod_of_ring, Gauge const& gauge);

/// Numbers the rods of rings by the names of their rods; a ring without one is a rod of its own.
std::vector<std::size_t> number_rods(std::span<const std::string> rod_names);

}  // namespace stripwright::inspection
