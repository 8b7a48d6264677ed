#pragma once

#include <string_view>

#include "units/length.h"

namespace stripwright {

/// The two units a user reads and writes; inside there is only Length.
enum class Unit { inch, millimetre };

/// `in` or `mm`, as in files and column names.
constexpr std::string_view unit_name(Unit unit) { return unit == Unit::inch ? "in" : "mm"; }

/// The number of units in a length.
constexpr double in_unit(Length length, Unit unit) {
  return unit == Unit::inch ? length.in_inches() : length.in_millimetres();
}

/// The length of so many units.
constexpr Length of_unit(double count, Unit unit) {
  return unit == Unit::inch ? Length::inches(count) : Length::millimetres(count);
}

/// Decimals of a length in files: a millionth of an inch or a hundredth of a
/// micrometre, both far below any gauge.
constexpr int file_decimals(Unit unit) { return unit == Unit::inch ? 6 : 5; }

/// Decimals of a length on a table for the bench: a tenth of a thousandth of an
/// inch, or a micrometre.
constexpr int bench_decimals(Unit unit) { return unit == Unit::inch ? 4 : 3; }

}  // namespace stripwright
