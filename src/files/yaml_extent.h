#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

#include "files/yaml_tree.h"

namespace stripwright::files {

/// Bytes of a text, from the first to the one behind the last.
struct Extent {
  std::size_t begin = 0;
  std::size_t end = 0;
};

// The parser tells where a node begins, but not where it ends. The end is read off the text
// itself. Nothing where the text is not as the node has it, or where it is written in a
// way that these functions do not follow; never a guess.

/// The bytes of a scalar with its quotes, if it has any: a plain one, which may run over
/// several lines, a quoted one, or a block scalar (| or >) up to the end of its last line.
std::optional<Extent> scalar_extent(std::string_view text, YamlNode const& scalar);

/// Where the value of an entry is written, or would be: for an empty value that is an
/// empty extent right behind the key's colon.
struct ValueSlot {
  Extent extent;
  bool after_colon = false;  ///< nothing is written: a value needs a blank before it
  bool no_colon = false;     ///< not even a colon (a lone key in a flow map)
};
std::optional<ValueSlot> value_slot(std::string_view text, YamlEntry const& entry);

/// The byte behind the last one of a map's entry.
std::optional<std::size_t> entry_end(std::string_view text, YamlEntry const& entry);

/// The byte behind the last one of a node, its closing bracket included if it has one.
std::optional<std::size_t> node_end(std::string_view text, YamlNode const& node);

/// Whether a map or sequence is written in brackets.
bool in_brackets(std::string_view text, YamlNode const& node);

}  // namespace stripwright::files
