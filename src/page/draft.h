#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnostics/problem.h"
#include "files/source_text.h"
#include "page/yaml_paths.h"

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

}  // namespace stripwright::page
