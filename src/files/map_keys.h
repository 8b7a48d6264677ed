#pragma once

#include "files/map_reader.h"

namespace stripwright::files {

/// Tells the unknown, duplicate and missing keys of a map.
void check_map_keys(YamlNode const& map, MapSpec const& spec, ReadContext const& context);

/// The names of the keys that a map may have.
std::vector<std::string_view> key_names(MapSpec const& spec);

}  // namespace stripwright::files
