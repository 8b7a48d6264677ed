#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "units/length.h"

namespace stripwright::inspection {

/// A value that lies further from the others than chance has it.
struct Outlier {
  std::size_t index = 0;    ///< of the values given
  double times_spread = 0;  ///< R: how many times the spread it lies off the mean of what was left
  double limit = 0;         ///< λ: what R stays below in all but `kFalseAlarm` of clean samples
};

/// The share of clean samples in which a value is named all the same.
inline constexpr double kFalseAlarm = 0.01;

/// Outliers by the generalized extreme studentized deviate test (Rosner 1983; NIST/SEMATECH
/// e-Handbook of Statistical Methods, 1.3.5.17.3): the value farthest from the mean is taken out,
/// and again, up to `most` times,
///   R_i = max |x - mean| / s of what is left,
///   λ_i = (n - i) t / sqrt((n - i - 1 + t²)(n - i + 1)), t = t(1 - α/(2 (n - i + 1)), n - i - 1),
/// and the outliers are all those taken out up to the last R_i > λ_i, so that two bad values cannot
/// hide each other. With `most` 1 it is Grubbs' test (e-Handbook 1.3.5.17.1).
///
/// A spread below `least_spread` counts as that: where a gauge's step hides the scatter,
/// one step is no outlier. Fewer than three values have none.
std::vector<Outlier> outliers(std::span<const Length> values, std::size_t most,
                              double false_alarm = kFalseAlarm, Length least_spread = {});

/// How many outliers may be looked for among n values: one below 15, where the test is no good for
/// more, else one in five, ten at most.
std::size_t most_outliers(std::size_t n);

}  // namespace stripwright::inspection
