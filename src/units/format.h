#pragma once

#include <string>

#include "units/unit.h"

namespace stripwright {

/// The number in fixed notation with so many decimals (0 to 9), in any locale the
/// same bytes, never -0. Rounded to nearest, halves away from zero (ISO 80000-1,
/// annex B, rule B; from memory). What lies within a millionth of the last digit of
/// a half counts as the half: the numbers come from decimal files, and a double's
/// own rounding must not decide a digit. Values beyond 9e15 in the last digit's
/// unit, and those that are not finite, are an internal error.
std::string format_fixed(double value, int decimals);

/// The value that `format_fixed` prints.
double round_to_decimals(double value, int decimals);

/// A length as a number in the unit, without the unit's name.
std::string format_number(Length length, Unit unit, int decimals);

/// A length with its unit's name: `0.2500 in`.
std::string format_length(Length length, Unit unit, int decimals);

/// A length as short as it reads, for messages: up to `file_decimals`, trailing
/// zeros off: `0.25 in`, `5 in`.
std::string format_short(Length length, Unit unit);

/// A number as short as it reads with at most so many decimals.
std::string format_short(double value, int most_decimals);

}  // namespace stripwright
