#include "keytables/written_pattern.h"

#include <fmt/format.h>

#include <string_view>

namespace stripwright::keytables {
namespace {

constexpr std::string_view kWhole = "(0|[1-9][0-9]*)";
/// Parts of a fraction are exact up to fifteen digits; 0 is not below the line.
constexpr std::string_view kNumerator = "(0|[1-9][0-9]{0,14})";
constexpr std::string_view kDenominator = "[1-9][0-9]{0,14}";
/// The inches behind feet.
constexpr std::string_view kWholeUnderTwelve = "([0-9]|1[01])";

/// A decimal, a fraction `13/64`, or a whole number and a fraction `1 3/8`, where
/// `whole` is what a whole number or a decimal's integer part may be.
std::string quantity(std::string_view whole) {
  return fmt::format("({0}([.][0-9]*)?|[.][0-9]+|({0} +{1}|{2}) */ *{3})", whole, kNumerator,
                     kWhole, kDenominator);
}

std::string_view minus(Sign sign) { return sign == Sign::any ? "-?" : ""; }

}  // namespace

std::string length_pattern(Sign sign) {
  return fmt::format("^ *{0}{1}( *(in|thou|mm|cm|m|um|ft( *{2} *in)?))? *$", minus(sign),
                     quantity(kWhole), quantity(kWholeUnderTwelve));
}

std::string number_pattern(Sign sign) {
  return fmt::format("^ *{0}{1} *$", minus(sign), quantity(kWhole));
}

std::string whole_pattern(Sign sign) {
  return fmt::format("^ *{}{}([.]0*)? *$", minus(sign), kWhole);
}

// A length is 0 if every digit of it is a 0, but for those below a fraction's line.
std::string zero_pattern() { return "^[^1-9]*(/ *[0-9]+[^1-9]*)*$"; }

std::string name_pattern() { return "^[A-Za-z0-9-]([A-Za-z0-9 -]*[A-Za-z0-9-])?$"; }

}  // namespace stripwright::keytables
