#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "units/unit.h"

namespace stripwright {

/// What came of reading a value from text: the value, or what is wrong with the
/// text and how to write it instead.
template <class T>
struct Parsed {
  std::optional<T> value;
  std::string fault;
  std::string remedy;

  explicit operator bool() const { return value.has_value(); }
};

/// Reads a length: `0.25 in`, `.25in`, `13/64 in`, `1 3/8 in`, `7 ft 6 in`,
/// `70 thou`, `6.35 mm`, `2.5 cm`, `1.2 m`, `120 um`; blanks are optional, a
/// minus sign may stand in front. A number without a unit takes
/// `bare_number_unit`; without one it is a fault. Decimal commas, leading zeros,
/// exponents, NaN and infinities, unknown units, more than 40 digits and anything
/// trailing are faults, as is a length beyond a kilometre.
Parsed<Length> parse_length(std::string_view text, std::optional<Unit> bare_number_unit);

/// Reads a plain number (a ratio, a count, degrees, percent) by the same rules
/// for digits: a decimal or a fraction, no unit, at most 1e9 either way.
Parsed<double> parse_number(std::string_view text);

/// Reads `in` or `mm`.
Parsed<Unit> parse_unit(std::string_view text);

/// The text in quotes for a message, cut to 40 characters, control characters shown as `?`.
std::string quoted_for_message(std::string_view text);

}  // namespace stripwright
