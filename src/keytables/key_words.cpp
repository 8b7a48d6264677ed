#include "keytables/key_words.h"

#include <fmt/format.h>

namespace stripwright::keytables {
namespace {

using files::KeySpec;
using files::ValueKind;

bool has_maps(ValueKind kind) {
  return kind == ValueKind::map || kind == ValueKind::map_list || kind == ValueKind::named_maps ||
         kind == ValueKind::machines;
}

/// What a value of one of the key's kinds may be.
std::string one_kind(KeySpec key, ValueKind kind, std::string_view maps) {
  key.kind = kind;
  key.or_kind = ValueKind::none;
  const auto text = files::kind_text(key);
  if (has_maps(kind)) return text + std::string(maps);
  // The range of a table's lengths reads as that of a length.
  if (kind == ValueKind::flats_table) key.kind = ValueKind::length;
  const auto range = files::range_text(key);
  return text + (range.empty() ? "" : ", " + range);
}

}  // namespace

std::string what_it_may_be(KeySpec const& key, std::string_view maps) {
  auto first = one_kind(key, key.kind, maps);
  if (key.or_kind == ValueKind::none) return first;
  return first + ", or " + one_kind(key, key.or_kind, maps);
}

std::string describe(KeySpec const& key) {
  const bool standard = !key.standard.empty() && !key.required;
  return fmt::format("{} ({}{})", key.meaning, what_it_may_be(key),
                     standard ? fmt::format("; {} if left out", key.standard) : "");
}

std::string hyphened(std::string_view name) {
  std::string out(name);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    if (c == ' ') c = '-';
  }
  return out;
}

}  // namespace stripwright::keytables
