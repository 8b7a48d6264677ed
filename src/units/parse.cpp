#include "units/parse.h"

#include "units/number_scan.h"

namespace stripwright {
namespace {

using scan::Fault;
using scan::Scanner;

constexpr double kInchesPerFoot = 12;
constexpr double kThouPerInch = 1000;
/// Longer than any rod, machine or workshop; what is beyond is a slip of the pen.
constexpr Length kLongest = Length::millimetres(1e6);
constexpr double kGreatestNumber = 1e9;

constexpr std::string_view kHowToWriteALength =
    "write a decimal or a fraction and a unit: 0.25 in, 13/64 in, 1 3/8 in, 7 ft 6 in, 70 thou, "
    "6.35 mm, 2.5 cm, 1.2 m, 120 um";
constexpr std::string_view kHowToWriteANumber =
    "write a plain decimal such as 0.25, or a fraction 1/4";

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

/// The fault of `rest`, whose first letters, `unit`, name none.
Fault not_a_unit(std::string_view unit, std::string_view rest) {
  Fault fault = scan::trailing(rest);
  const bool exponent = unit.size() == 1 && (unit == "e" || unit == "E");
  if (unit.empty() || exponent) return fault;
  return {"the unknown unit " + quoted_for_message(unit),
          "units are in, ft, thou, mm, cm, m, um (small letters)"};
}

/// `6 in` behind `7 ft`.
std::optional<double> inches_after_feet(Scanner& text, Fault& fault) {
  const auto inches = scan::quantity(text, fault);
  if (!inches) return std::nullopt;
  text.skip_blanks();
  if (text.take_while(scan::is_letter) != "in") {
    fault = {"feet followed by something other than inches", "write 7 ft 6 in"};
    return std::nullopt;
  }
  if (*inches >= kInchesPerFoot) {
    fault = {"twelve inches or more behind feet", "write 7 ft 6 in, or inches alone"};
    return std::nullopt;
  }
  return inches;
}

/// The length at the front of the text, with its unit or the bare number's.
std::optional<Length> scan_length(Scanner& text, std::optional<Unit> bare, Fault& fault) {
  const auto count = scan::quantity(text, fault);
  if (!count) return std::nullopt;
  text.skip_blanks();
  if (text.at_end()) {
    if (!bare) fault = {"a number without a unit", ""};
    return bare ? std::optional(of_unit(*count, *bare)) : std::nullopt;
  }
  const auto after_number = text.rest();
  const auto unit = text.take_while(scan::is_letter);
  const auto length = of_named_unit(*count, unit);
  if (!length) fault = not_a_unit(unit, after_number);
  text.skip_blanks();
  if (unit != "ft" || !(scan::is_digit(text.peek()) || text.peek() == '.')) return length;
  const auto inches = inches_after_feet(text, fault);
  if (!inches) return std::nullopt;
  text.skip_blanks();
  // One sum in inches, so that 7 ft 6 in is 90 in to the last bit.
  return Length::inches(*count * kInchesPerFoot + *inches);
}

template <class T>
Parsed<T> refuse(std::string_view text, Fault const& fault, std::string_view how_to_write) {
  return {std::nullopt, quoted_for_message(text) + ": " + fault.what,
          fault.remedy.empty() ? std::string(how_to_write) : fault.remedy};
}

}  // namespace

std::string quoted_for_message(std::string_view text) {
  constexpr std::size_t kMostCharacters = 40;
  std::string out = "'";
  std::size_t characters = 0;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool starts_character = (byte & 0xC0U) != 0x80U;
    if (starts_character && characters++ == kMostCharacters) return out + "...'";
    out += byte < 0x20U || byte == 0x7FU ? '?' : c;
  }
  return out + "'";
}

Parsed<Length> parse_length(std::string_view text, std::optional<Unit> bare_number_unit) {
  Scanner scan(text);
  if (scan.at_end()) return {std::nullopt, "no length given", std::string(kHowToWriteALength)};
  const auto refused = [&](Fault const& fault) {
    return refuse<Length>(text, fault, kHowToWriteALength);
  };
  if (const auto fault = scan::not_a_number(scan.rest())) return refused(*fault);
  const bool negative = scan.take('-');
  Fault fault;
  const auto length = scan_length(scan, bare_number_unit, fault);
  if (!length) return refused(fault);
  if (!scan.at_end()) return refused(scan::trailing(scan.rest()));
  if (*length > kLongest)
    return refused({"longer than a kilometre", "check the number and its unit"});
  return {negative ? -*length : *length, {}, {}};
}

Parsed<double> parse_number(std::string_view text) {
  Scanner scan(text);
  if (scan.at_end()) return {std::nullopt, "no number given", std::string(kHowToWriteANumber)};
  const auto refused = [&](Fault const& fault) {
    return refuse<double>(text, fault, kHowToWriteANumber);
  };
  if (const auto fault = scan::not_a_number(scan.rest())) return refused(*fault);
  const bool negative = scan.take('-');
  Fault fault;
  const auto number = scan::quantity(scan, fault);
  if (!number) return refused(fault);
  scan.skip_blanks();
  if (!scan.at_end()) return refused(scan::trailing(scan.rest()));
  if (*number > kGreatestNumber) return refused({"a number too large to be meant", ""});
  return {negative ? -*number : *number, {}, {}};
}

Parsed<Unit> parse_unit(std::string_view text) {
  if (text == "in") return {Unit::inch, {}, {}};
  if (text == "mm") return {Unit::millimetre, {}, {}};
  return {std::nullopt, quoted_for_message(text) + " is not a unit for a file", "write in or mm"};
}

}  // namespace stripwright
