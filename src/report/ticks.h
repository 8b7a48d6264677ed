#pragma once

#include <string>
#include <vector>

namespace stripwright::report {

/// Marks on an axis: where, and how they read.
struct Tick {
  double at;
  std::string label;
};

/// Round marks within [low, high], about `wanted` of them (at least two where the range
/// allows): steps of 1, 2 or 5 times a power of ten, labels with no more decimals than the
/// step has. A range of no width gets one mark.
std::vector<Tick> decimal_ticks(double low, double high, int wanted);

/// The same in inches by the rule: steps of 1/64, 1/32 ... 1/2, then whole inches by 1, 2, 5
/// and 10; labels as fractions, `1 3/8`.
std::vector<Tick> inch_fraction_ticks(double low, double high, int wanted);

}  // namespace stripwright::report
