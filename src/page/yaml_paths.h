#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnostics/problem.h"
#include "files/source_text.h"
#include "files/yaml_tree.h"

namespace stripwright::page {

// Paths into a file's tree, as fields of pages have them: keys from the top, items of a list by
// number from 0.

/// The entry or item that a step leads to; nothing where there is none.
std::optional<std::size_t> index_of(files::YamlNode const& node, std::string const& step);
/// The value of an entry, or an item; the index must be one of `index_of`'s.
files::YamlNode const& child(files::YamlNode const& node, std::size_t index);

/// What a field shows: a scalar's text, a list's of single values with commas between; nothing for
/// a map, a list of others, or nothing at all.
std::optional<std::string> text_of(files::YamlNode const& node);
/// The items of a list that is written so.
std::vector<std::string> split(std::string_view text);

/// The node at a path; null where there is none.
files::YamlNode const* node_at(files::YamlNode const& root, std::vector<std::string> const& path);
/// `text_of` what stands at a path.
std::optional<std::string> text_at(files::YamlNode const& root,
                                   std::vector<std::string> const& path);

/// The path to the key or value that begins at this place or, if none does, that is the last to
/// begin before it; empty where there is none.
std::vector<std::string> path_near(files::YamlNode const& root, files::SourceText const& source,
                                   Place const& place);

}  // namespace stripwright::page
