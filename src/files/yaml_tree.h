#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/source_text.h"

namespace stripwright::files {

struct YamlEntry;

/// A node of a YAML file as it was written: scalars stay text (no library's idea
/// of `010` or `no` is asked), maps keep their order and their duplicates.
struct YamlNode {
  enum class Kind { null, scalar, sequence, map };
  Kind kind = Kind::null;
  bool quoted = false;
  bool refused = false;  ///< already told as a problem (an alias, a strange key); say no more of it
  std::size_t offset = 0;  ///< where it starts, in bytes of SourceText::text()
  std::string text;
  std::vector<YamlNode> items;     ///< of a sequence
  std::vector<YamlEntry> entries;  ///< of a map
};

/// One line of a map.
struct YamlEntry {
  YamlNode key;
  YamlNode value;
};

/// Parses the one document of a file. A syntax error (the first, alone), an empty
/// file, nesting over 32, more than four million values, and anything that goes on for
/// more than 1.25 MB (an open bracket, say) is a problem and gives nothing; several
/// documents, anchors, aliases, tags, merge keys, keys that are not plain words, quotes
/// that are not closed and control characters written as escapes are problems too, but the
/// tree is returned so that all else can be checked at once.
std::optional<YamlNode> parse_yaml(SourceText const& source, Problems& problems);

}  // namespace stripwright::files
