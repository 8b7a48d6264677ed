#include "units/parse.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <vector>

namespace stripwright {
namespace {

constexpr double kInchesPerFoot = 12;
constexpr double kThouPerInch = 1000;
/// Longer than any rod, machine or workshop; what is beyond is a slip of the pen.
constexpr Length kLongest = Length::millimetres(1e6);
constexpr double kGreatestNumber = 1e9;
/// Eighteen digits fit a 64-bit integer, hence a fraction's parts are exact.
constexpr std::size_t kMostFractionDigits = 15;

constexpr std::string_view kHowToWriteALength =
    "write a decimal or a fraction and a unit: 0.25 in, 13/64 in, 1 3/8 in, 7 ft 6 in, 70 thou, "
    "6.35 mm, 2.5 cm, 1.2 m, 120 um";
constexpr std::string_view kHowToWriteANumber = "write a plain decimal such as 0.25, or a fraction 1/4";

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

struct Fault {
  std::string what;
  std::string remedy;
};

/// Walks over the text; the first fault ends the walk.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) { skip_blanks(); }

  bool at_end() const { return rest_.empty(); }
  char peek() const { return rest_.empty() ? '\0' : rest_.front(); }
  std::string_view rest() const { return rest_; }

  bool take(char c) {
    if (peek() != c) return false;
    rest_.remove_prefix(1);
    return true;
  }

  void skip_blanks() {
    while (!rest_.empty() && rest_.front() == ' ') rest_.remove_prefix(1);
  }

  std::string_view take_while(bool (*accept)(char)) {
    std::size_t n = 0;
    while (n < rest_.size() && accept(rest_[n])) ++n;
    const auto taken = rest_.substr(0, n);
    rest_.remove_prefix(n);
    return taken;
  }

 private:
  std::string_view rest_;
};

/// A run of digits with at most one point, no sign; empty optional with a fault otherwise.
std::optional<double> scan_decimal(Scanner& scan, bool& whole, Fault& fault) {
  const auto begin = scan.rest();
  const auto integer = scan.take_while(is_digit);
  std::string_view decimals;
  whole = true;
  if (scan.take('.')) {
    whole = false;
    decimals = scan.take_while(is_digit);
  }
  if (integer.empty() && decimals.empty()) {
    fault = {"no number where one is expected", ""};
    return std::nullopt;
  }
  if (integer.size() > 1 && integer.front() == '0') {
    fault = {"a number with a leading zero", "write it without the zero in front"};
    return std::nullopt;
  }
  if (scan.peek() == ',') {
    fault = {"a comma in a number", "write a decimal point: 0.068, not 0,068"};
    return std::nullopt;
  }
  double value = 0;
  const auto digits = begin.substr(0, begin.size() - scan.rest().size());
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value,
                                            std::chars_format::fixed);
  (void)end;
  if (error != std::errc{} || !std::isfinite(value)) {
    fault = {"a number too large to be meant", ""};
    return std::nullopt;
  }
  return value;
}

std::optional<double> scan_whole(Scanner& scan, Fault& fault) {
  const auto digits = scan.take_while(is_digit);
  if (digits.empty() || digits.size() > kMostFractionDigits || (digits.size() > 1 && digits.front() == '0')) {
    fault = {"a fraction whose parts are not plain whole numbers", ""};
    return std::nullopt;
  }
  double value = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return value;
}

std::optional<double> scan_fraction_tail(Scanner& scan, double numerator, Fault& fault) {
  scan.skip_blanks();
  const auto denominator = scan_whole(scan, fault);
  if (!denominator) return std::nullopt;
  if (*denominator == 0) {
    fault = {"a fraction with 0 below the line", ""};
    return std::nullopt;
  }
  return numerator / *denominator;
}

/// A decimal, a fraction `13/64`, or a whole number and a fraction `1 3/8`.
std::optional<double> scan_quantity(Scanner& scan, Fault& fault) {
  bool whole = false;
  const auto first = scan_decimal(scan, whole, fault);
  if (!first) return std::nullopt;
  scan.skip_blanks();
  if (scan.take('/')) {
    if (!whole) {
      fault = {"a fraction whose parts are not plain whole numbers", ""};
      return std::nullopt;
    }
    return scan_fraction_tail(scan, *first, fault);
  }
  if (!is_digit(scan.peek())) return first;
  if (!whole) {
    fault = {"two numbers one after the other", ""};
    return std::nullopt;
  }
  const auto numerator = scan_whole(scan, fault);
  if (!numerator) return std::nullopt;
  scan.skip_blanks();
  if (!scan.take('/')) {
    fault = {"two numbers one after the other", ""};
    return std::nullopt;
  }
  const auto fraction = scan_fraction_tail(scan, *numerator, fault);
  if (!fraction) return std::nullopt;
  return *first + *fraction;
}

std::optional<Length> of_named_unit(double count, std::string_view unit) {
  if (unit == "in") return Length::inches(count);
  if (unit == "ft") return Length::inches(count * kInchesPerFoot);
  if (unit == "thou") return Length::inches(count / kThouPerInch);
  if (unit == "mm") return Length::millimetres(count);
  if (unit == "cm") return Length::millimetres(count * 10);
  if (unit == "m") return Length::millimetres(count * 1000);
  if (unit == "um") return Length::millimetres(count / 1000);
  return std::nullopt;
}

Fault unknown_unit(std::string_view unit, std::string_view rest) {
  if (unit.size() == 1 && (unit == "e" || unit == "E"))
    return {"an exponent", "write plain decimals: 0.001, not 1e-3"};
  if (!unit.empty())
    return {"the unknown unit " + quoted_for_message(unit), "units are in, ft, thou, mm, cm, m, um"};
  if (rest.starts_with('"') || rest.starts_with('\''))
    return {"a mark for inch or foot", "write in or ft"};
  return {"something after the number: " + quoted_for_message(rest), ""};
}

/// `6 in` behind `7 ft`.
std::optional<Length> scan_inches_after_feet(Scanner& scan, Fault& fault) {
  const auto inches = scan_quantity(scan, fault);
  if (!inches) return std::nullopt;
  scan.skip_blanks();
  const auto unit = scan.take_while(is_letter);
  if (unit != "in") {
    fault = {"feet followed by something other than inches", "write 7 ft 6 in"};
    return std::nullopt;
  }
  if (*inches >= kInchesPerFoot) {
    fault = {"twelve inches or more behind feet", "write 7 ft 6 in, or inches alone"};
    return std::nullopt;
  }
  return Length::inches(*inches);
}

std::optional<Length> scan_length(Scanner& scan, std::optional<Unit> bare, Fault& fault) {
  const auto count = scan_quantity(scan, fault);
  if (!count) return std::nullopt;
  scan.skip_blanks();
  if (scan.at_end()) {
    if (!bare) fault = {"a number without a unit", ""};
    return bare ? std::optional(of_unit(*count, *bare)) : std::nullopt;
  }
  const auto after_number = scan.rest();
  const auto unit = scan.take_while(is_letter);
  auto length = of_named_unit(*count, unit);
  if (!length) {
    fault = unknown_unit(unit, after_number);
    return std::nullopt;
  }
  scan.skip_blanks();
  if (unit == "ft" && (is_digit(scan.peek()) || scan.peek() == '.')) {
    const auto inches = scan_inches_after_feet(scan, fault);
    if (!inches) return std::nullopt;
    // One sum in inches, so that 7 ft 6 in is 90 in to the last bit.
    length = Length::inches(*count * kInchesPerFoot + inches->in_inches());
    scan.skip_blanks();
  }
  return length;
}

/// What is not a number at all but looks like one to other programs.
std::optional<Fault> not_a_number(std::string_view text) {
  std::string lower(text);
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  for (const std::string_view word : {"nan", ".nan", "inf", ".inf", "-inf", "-.inf", "infinity"})
    if (lower == word) return Fault{"not a finite number", ""};
  if (lower.starts_with("0x") || lower.starts_with("0o") || lower.starts_with("0b"))
    return Fault{"a number in another base than ten", ""};
  return std::nullopt;
}

template <class T>
Parsed<T> refuse(std::string_view text, Fault fault, std::string_view how_to_write) {
  return {std::nullopt, quoted_for_message(text) + ": " + fault.what,
          fault.remedy.empty() ? std::string(how_to_write) : fault.remedy};
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

}  // namespace

std::string quoted_for_message(std::string_view text) {
  constexpr std::size_t kMostCharacters = 40;
  std::string out = "'";
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const bool starts_character = (byte & 0xC0U) != 0x80U;
    if (starts_character && characters++ == kMostCharacters) return out + "...'";
    out += byte < 0x20U || byte == 0x7FU ? '?' : text[i];
  }
  return out + "'";
}

Parsed<Length> parse_length(std::string_view text, std::optional<Unit> bare_number_unit) {
  const auto body = trimmed(text);
  if (body.empty()) return {std::nullopt, "no length given", std::string(kHowToWriteALength)};
  if (const auto fault = not_a_number(body)) return refuse<Length>(text, *fault, kHowToWriteALength);
  Scanner scan(body);
  const bool negative = scan.take('-');
  Fault fault;
  const auto length = scan_length(scan, bare_number_unit, fault);
  if (!length) return refuse<Length>(text, fault, kHowToWriteALength);
  if (!scan.at_end())
    return refuse<Length>(text, unknown_unit({}, scan.rest()), kHowToWriteALength);
  if (*length > kLongest)
    return refuse<Length>(text, {"longer than a kilometre", "check the number and its unit"}, "");
  return {negative ? -*length : *length, {}, {}};
}

Parsed<double> parse_number(std::string_view text) {
  const auto body = trimmed(text);
  if (body.empty()) return {std::nullopt, "no number given", std::string(kHowToWriteANumber)};
  if (const auto fault = not_a_number(body)) return refuse<double>(text, *fault, kHowToWriteANumber);
  Scanner scan(body);
  const bool negative = scan.take('-');
  Fault fault;
  const auto number = scan_quantity(scan, fault);
  if (!number) return refuse<double>(text, fault, kHowToWriteANumber);
  scan.skip_blanks();
  if (!scan.at_end()) {
    const auto letters = scan.peek();
    const Fault trailing = letters == 'e' || letters == 'E'
                               ? Fault{"an exponent", "write plain decimals: 0.001, not 1e-3"}
                               : Fault{"something after the number: " + quoted_for_message(scan.rest()), ""};
    return refuse<double>(text, trailing, kHowToWriteANumber);
  }
  if (*number > kGreatestNumber)
    return refuse<double>(text, {"a number too large to be meant", ""}, kHowToWriteANumber);
  return {negative ? -*number : *number, {}, {}};
}

Parsed<Unit> parse_unit(std::string_view text) {
  if (text == "in") return {Unit::inch, {}, {}};
  if (text == "mm") return {Unit::millimetre, {}, {}};
  return {std::nullopt, quoted_for_message(text) + " is not a unit for a file", "write in or mm"};
}

}  // namespace stripwright
