#include "units/number_scan.h"

#include <algorithm>
#include <charconv>

#include "units/parse.h"

namespace stripwright::scan {
namespace {

/// Far more than a double holds; with as many, no decimal is too large or too small for one.
constexpr std::size_t kMostDigits = 40;
/// Fifteen digits fit a double's 53 bits, hence a fraction's parts are exact.
constexpr std::size_t kMostFractionDigits = 15;

Fault odd_fraction() { return {"a fraction whose parts are not plain whole numbers", ""}; }
Fault two_numbers() { return {"two numbers one after the other", ""}; }

double value_of(std::string_view digits) {
  double value = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed);
  return value;
}

struct Decimal {
  double value;
  bool whole;  ///< written without a point
};

/// A run of digits with at most one point.
std::optional<Decimal> decimal(Scanner& scan, Fault& fault) {
  const auto begin = scan.rest();
  const auto integer = scan.take_while(is_digit);
  const bool whole = !scan.take('.');
  const auto decimals = whole ? std::string_view{} : scan.take_while(is_digit);
  if (integer.empty() && decimals.empty())
    fault = {"no number where one is expected", ""};
  else if (integer.size() > 1 && integer.front() == '0')
    fault = {"a number with a leading zero", "write it without the zero in front"};
  else if (scan.peek() == ',')
    fault = {"a comma in a number", "write a decimal point: 0.068, not 0,068"};
  else if (integer.size() + decimals.size() > kMostDigits)
    fault = {"a number of too many digits", "six decimals are more than any gauge shows"};
  else
    return Decimal{value_of(begin.substr(0, begin.size() - scan.rest().size())), whole};
  return std::nullopt;
}

std::optional<double> part_of_fraction(Scanner& scan, Fault& fault) {
  const auto digits = scan.take_while(is_digit);
  const bool plain = !digits.empty() && digits.size() <= kMostFractionDigits &&
                     (digits.size() == 1 || digits.front() != '0');
  if (plain) return value_of(digits);
  fault = odd_fraction();
  return std::nullopt;
}

/// What stands below the line of a fraction, and the fraction.
std::optional<double> over_denominator(Scanner& scan, double numerator, Fault& fault) {
  scan.skip_blanks();
  const auto denominator = part_of_fraction(scan, fault);
  if (!denominator) return std::nullopt;
  if (*denominator > 0) return numerator / *denominator;
  fault = {"a fraction with 0 below the line", ""};
  return std::nullopt;
}

}  // namespace

Scanner::Scanner(std::string_view text) : rest_(text) {
  skip_blanks();
  while (!rest_.empty() && rest_.back() == ' ') rest_.remove_suffix(1);
}

bool Scanner::take(char c) {
  if (rest_.empty() || rest_.front() != c) return false;
  rest_.remove_prefix(1);
  return true;
}

std::string_view Scanner::take_while(bool (*accept)(char)) {
  std::size_t n = 0;
  while (n < rest_.size() && accept(rest_[n])) ++n;
  const auto taken = rest_.substr(0, n);
  rest_.remove_prefix(n);
  return taken;
}

void Scanner::skip_blanks() {
  while (!rest_.empty() && rest_.front() == ' ') rest_.remove_prefix(1);
}

std::optional<Fault> not_a_number(std::string_view text) {
  constexpr std::size_t kLongestWord = std::string_view("-infinity").size();
  std::string lower(text.substr(0, kLongestWord));
  std::transform(lower.begin(), lower.end(), lower.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  if (lower.starts_with('-') || lower.starts_with('+')) lower.erase(0, 1);
  if (lower.starts_with("0x") || lower.starts_with("0o") || lower.starts_with("0b"))
    return Fault{"a number in another base than ten", ""};
  if (text.size() > kLongestWord) return std::nullopt;
  if (lower.starts_with('.')) lower.erase(0, 1);
  if (lower == "nan" || lower == "inf" || lower == "infinity")
    return Fault{"not a finite number", ""};
  return std::nullopt;
}

std::optional<double> quantity(Scanner& scan, Fault& fault) {
  const auto first = decimal(scan, fault);
  if (!first) return std::nullopt;
  scan.skip_blanks();
  if (scan.take('/')) {
    if (first->whole) return over_denominator(scan, first->value, fault);
    fault = odd_fraction();
    return std::nullopt;
  }
  if (!is_digit(scan.peek())) return first->value;
  if (!first->whole) {
    fault = two_numbers();
    return std::nullopt;
  }
  const auto numerator = part_of_fraction(scan, fault);
  if (!numerator) return std::nullopt;
  scan.skip_blanks();
  if (!scan.take('/')) {
    fault = two_numbers();
    return std::nullopt;
  }
  const auto fraction = over_denominator(scan, *numerator, fault);
  if (!fraction) return std::nullopt;
  return first->value + *fraction;
}

Fault trailing(std::string_view rest) {
  const bool exponent = rest.starts_with('e') || rest.starts_with('E');
  if (exponent && (rest.size() == 1 || !is_letter(rest[1])))
    return {"an exponent", "write plain decimals: 0.001, not 1e-3"};
  if (rest.starts_with('"') || rest.starts_with('\''))
    return {"a mark for inch or foot", "write in or ft"};
  // U+00A0 and U+202F, which word processors put between a number and its unit.
  if (rest.starts_with("\xC2\xA0") || rest.starts_with("\xE2\x80\xAF"))
    return {"a no-break space after the number", "type a plain blank there"};
  return {"something after the number: " + quoted_for_message(rest), ""};
}

}  // namespace stripwright::scan
