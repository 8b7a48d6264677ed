#include "units/format.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <stdexcept>

namespace stripwright {
namespace {

constexpr std::array<double, 10> kPowersOfTen = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
/// How near to a half counts as the half, in units of the last digit.
constexpr double kHalfWidth = 1e-6;
constexpr double kGreatestScaled = 9e15;

std::int64_t in_last_digits(double value, int decimals) {
  const double scaled = std::fabs(value) * kPowersOfTen.at(static_cast<std::size_t>(decimals));
  if (!(scaled < kGreatestScaled)) throw std::logic_error("a number that cannot be printed");
  const auto rounded = static_cast<std::int64_t>(std::floor(scaled + 0.5 + kHalfWidth));
  return value < 0 ? -rounded : rounded;
}

}  // namespace

std::string format_fixed(double value, int decimals) {
  const std::int64_t digits = in_last_digits(value, decimals);
  if (decimals == 0) return fmt::format("{}", digits);
  const auto power = static_cast<std::int64_t>(kPowersOfTen.at(static_cast<std::size_t>(decimals)));
  const std::int64_t magnitude = digits < 0 ? -digits : digits;
  return fmt::format("{}{}.{:0{}}", digits < 0 ? "-" : "", magnitude / power, magnitude % power,
                     decimals);
}

double round_to_decimals(double value, int decimals) {
  return static_cast<double>(in_last_digits(value, decimals)) /
         kPowersOfTen.at(static_cast<std::size_t>(decimals));
}

std::string format_number(Length length, Unit unit, int decimals) {
  return format_fixed(in_unit(length, unit), decimals);
}

std::string format_length(Length length, Unit unit, int decimals) {
  return fmt::format("{} {}", format_number(length, unit, decimals), unit_name(unit));
}

std::string format_short(double value, int most_decimals) {
  std::string text = format_fixed(value, most_decimals);
  if (most_decimals == 0) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string format_short(Length length, Unit unit) {
  return fmt::format("{} {}", format_short(in_unit(length, unit), file_decimals(unit)),
                     unit_name(unit));
}

}  // namespace stripwright
