#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "units/unit.h"

namespace stripwright::files {

/// What a value may be. A key takes one kind, or one of two (`length` or a map).
enum class ValueKind {
  none,
  format,         ///< the format's own name, always the same word
  text,           ///< any text
  name,           ///< letters, digits, blanks and hyphens
  unit,           ///< in or mm
  choice,         ///< one of a few words
  yes_no,         ///< true or false
  length,         ///< by the grammar of lengths
  number,         ///< plain decimal or fraction
  whole,          ///< plain whole number
  map,            ///< a map with keys of its own
  named_maps,     ///< a map from names to maps of one kind
  machines,       ///< a map from names to maps whose keys depend on `kind`
  map_list,       ///< a list of maps
  length_list,    ///< a list of lengths
  name_list,      ///< a list of names
  text_list,      ///< a list of texts of one line
  named_lengths,  ///< a map from names of any kind to lengths
  flats_table,    ///< station: across flats, a line each
};

/// Limits of a value; lengths in millimetres. Both ends included unless `above`.
struct Range {
  double lowest = -1e300;
  double highest = 1e300;
  bool above = false;  ///< the lowest itself is not allowed
};

struct MapSpec;
struct KindSpec;

/// One key of a file: the one table that drives the reader, its hints, the docs'
/// key tables and the JSON schemas.
struct KeySpec {
  std::string_view name;
  ValueKind kind = ValueKind::text;
  std::string_view standard = {};  ///< what is taken if the key is left out; "" is nothing
  std::string_view meaning = {};
  Range range = {};
  bool required = false;
  std::span<const std::string_view> choices = {};
  MapSpec const* map =
      nullptr;  ///< the keys of `map`, `named_maps`, `map_list`, or of the second kind
  ValueKind or_kind = ValueKind::none;
  std::span<const KindSpec> kinds = {};  ///< of `machines`: the keys by the map's `kind`
};

/// The keys of one map; `name` is how docs call it.
struct MapSpec {
  std::string_view name;
  std::span<const KeySpec> keys;
};

/// The keys of a map whose `kind` is `word`.
struct KindSpec {
  std::string_view word;
  MapSpec map;
};

/// The key's spec; an internal error if there is none.
KeySpec const& find_key(MapSpec const& spec, std::string_view key);

/// How docs and messages call the kind: `length`, `in or mm`, `map`.
std::string kind_text(KeySpec const& key);
/// The range in words, "" if there is none: `above 0`, `0 to 0.25 mm`. Lengths are in this unit.
std::string range_text(KeySpec const& key, Unit unit = Unit::millimetre);
/// Whether a value, lengths in millimetres, is within it.
bool in_range(Range const& range, double value);

}  // namespace stripwright::files
