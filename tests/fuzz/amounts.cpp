#include <cmath>

#include "fuzz.h"
#include "units/format.h"
#include "units/parse_amount.h"

using namespace stripwright;

namespace {

template <class Kind>
void told(Parsed<Kind> const& parsed) {
  fuzz::promise(parsed || !(parsed.fault.empty() || parsed.remedy.empty()),
                "a refusal says why, and the way out");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const auto text = fuzz::text(bytes, size);
  for (const Unit unit : {Unit::inch, Unit::millimetre}) {
    const auto length = parse_length(text, unit);
    told(length);
    if (!length) continue;
    fuzz::promise(length.value->finite(), "a length is finite");
    // What is printed is read as what was printed.
    const auto printed = format_number(*length.value, unit, file_decimals(unit));
    const auto again = parse_length(printed, unit);
    fuzz::promise(again.value.has_value(), "a printed length can be read");
    fuzz::promise(format_number(*again.value, unit, file_decimals(unit)) == printed,
                  "a printed length is read as itself");
  }
  told(parse_length(text, std::nullopt));
  const auto number = parse_number(text);
  told(number);
  fuzz::promise(!number || std::isfinite(*number.value), "a number is finite");
  told(parse_mass(text));
  told(parse_force(text));
  told(parse_pressure(text));
  told(parse_density(text));
  return 0;
}
