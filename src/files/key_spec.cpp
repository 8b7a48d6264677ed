#include "files/key_spec.h"

#include <fmt/format.h>

#include <algorithm>

#include "diagnostics/problem.h"
#include "units/format.h"

namespace stripwright::files {
namespace {

constexpr double kNoLimit = 1e299;

std::string_view word(ValueKind kind) {
  switch (kind) {
    case ValueKind::none:
      return "";
    case ValueKind::format:
      return "the format's name";
    case ValueKind::text:
      return "text";
    case ValueKind::name:
      return "a name (letters, digits, blanks, hyphens)";
    case ValueKind::unit:
      return "in or mm";
    case ValueKind::choice:
      return "one of a few words";
    case ValueKind::yes_no:
      return "true or false";
    case ValueKind::length:
      return "a length";
    case ValueKind::number:
      return "a number";
    case ValueKind::whole:
      return "a whole number";
    case ValueKind::map:
      return "a map";
    case ValueKind::named_maps:
    case ValueKind::machines:
      return "names, each with a map";
    case ValueKind::map_list:
      return "a list of maps";
    case ValueKind::length_list:
      return "a list of lengths";
    case ValueKind::name_list:
      return "a list of names";
    case ValueKind::text_list:
      return "a list of texts";
    case ValueKind::named_lengths:
      return "names, each with a length";
    case ValueKind::flats_table:
      return "lines of `station: across flats`";
  }
  return "";
}

}  // namespace

KeySpec const& find_key(MapSpec const& spec, std::string_view key) {
  const auto found = std::find_if(spec.keys.begin(), spec.keys.end(),
                                  [&](KeySpec const& each) { return each.name == key; });
  check_internal(found != spec.keys.end(), fmt::format("no key '{}' in '{}'", key, spec.name));
  return *found;
}

std::string kind_text(KeySpec const& key) {
  std::string out;
  if (key.kind == ValueKind::choice)
    out = fmt::format("{}", fmt::join(key.choices, " or "));
  else if (key.kind == ValueKind::format)
    out = key.standard;
  else
    out = word(key.kind);
  if (key.or_kind != ValueKind::none) out += fmt::format(" or {}", word(key.or_kind));
  return out;
}

bool in_range(Range const& range, double value) {
  return (range.above ? value > range.lowest : value >= range.lowest) && value <= range.highest;
}

std::string range_text(KeySpec const& key, Unit unit) {
  const bool length = key.kind == ValueKind::length || key.kind == ValueKind::length_list ||
                      key.kind == ValueKind::named_lengths || key.kind == ValueKind::flats_table ||
                      key.or_kind == ValueKind::length;
  const auto show = [&](double value) {
    return length && value != 0
               ? fmt::format(
                     "{} {}",
                     format_short(in_unit(Length::millimetres(value), unit), bench_decimals(unit)),
                     unit_name(unit))
               : format_short(value, 6);
  };
  const bool low = key.range.lowest > -kNoLimit;
  const bool high = key.range.highest < kNoLimit;
  if (low && high)
    return fmt::format("{}{} to {}", key.range.above ? "above " : "", show(key.range.lowest),
                       show(key.range.highest));
  if (low) return fmt::format("{}{}", key.range.above ? "above " : "from ", show(key.range.lowest));
  if (high) return fmt::format("up to {}", show(key.range.highest));
  return {};
}

}  // namespace stripwright::files
