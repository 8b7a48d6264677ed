#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "files/yaml_tree.h"

namespace stripwright::files {

/// The text as a YAML scalar that reads as just this text, whatever is in it and wherever it
/// stands, also in brackets: plain where it can be, in the kind of quotes that the old scalar has
/// (its first byte), else in double quotes.
std::string yaml_scalar(std::string_view text, char first_of_old = ' ');

/// A scalar node that reads as this text.
YamlNode scalar_node(std::string text);
/// A map node of these entries.
YamlNode map_node(std::vector<YamlEntry> entries);

/// A node in one line: scalars as above, maps and lists in brackets.
std::string in_flow_style(YamlNode const& node);
std::string in_flow_style(YamlEntry const& entry);

/// Same in all that is read from the file: places and quotes are not compared.
bool same_content(YamlNode const& a, YamlNode const& b);

/// The tree of a file in which nothing at all is wrong; else a problem.
std::optional<YamlNode> sound_yaml(SourceText const& source, Problems& problems);

/// The line ends of a text, by its first one: LF or CRLF.
std::string_view line_end_of(std::string_view text);

inline constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

}  // namespace stripwright::files
