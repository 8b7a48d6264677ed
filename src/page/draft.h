#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnostics/problem.h"
#include "files/source_text.h"
#include "files/yaml_tree.h"

namespace stripwright::page {

/// A field of a page that was changed: what stands at a path of a YAML file, what stood there when
/// the page was made, and what is to stand there now.
struct DraftChange {
  /// Keys from the top; items of a list by number from 0, new ones with a plus sign before a number
  /// of their own (`+0`).
  std::vector<std::string> path;
  std::optional<std::string> was;  ///< none where nothing was
  std::optional<std::string> now;  ///< none where it is to be taken out
  /// Another text for the last key of the path; a map, which has no text, is kept with it.
  std::optional<std::string> key;
  bool list = false;  ///< what is to stand there is a list: commas between its items
};

/// The changes that a page's script sends: a list of objects with `path`, and `was`, `now`, `key`
/// where they are not null, `list` where it is true. Nothing where it is none.
std::optional<std::vector<DraftChange>> read_changes(nlohmann::ordered_json const& json);

/// A change to something that is no longer as it was when the page was made.
struct Clash {
  DraftChange change;
  std::optional<std::string> there;  ///< what stands there now
  bool keys = false;                 ///< keys of its own do, which no text shall replace
};

/// A file with the changes in it, or why not.
struct Drafted {
  std::optional<std::string> bytes;
  std::vector<Clash> clashes;  ///< where there are some, there are no bytes
  Problems problems;           ///< where the file itself cannot be changed

  explicit operator bool() const { return bytes.has_value(); }
};

/// Makes the changes in a file as it is now, be it the one that the page was made from or not; all
/// or none. What is not changed stays byte for byte. In a map whose keys are places (the taper), a
/// new key is put where it belongs; elsewhere at the end. A list of single values is one text with
/// commas between. What has nothing left in it is taken out itself.
Drafted drafted(files::SourceText const& file, std::string const& bytes,
                std::vector<DraftChange> const& changes);

/// What stands at a path, as a field shows it: a scalar's text, a list's with commas between;
/// nothing where nothing is, or a map.
std::optional<std::string> text_at(files::YamlNode const& root,
                                   std::vector<std::string> const& path);
/// The node at a path; null where there is none.
files::YamlNode const* node_at(files::YamlNode const& root, std::vector<std::string> const& path);

/// The path to the key or value that begins at this place or, if none does, that is the last to
/// begin before it; empty where there is none.
std::vector<std::string> path_near(files::YamlNode const& root, files::SourceText const& source,
                                   Place const& place);

}  // namespace stripwright::page
