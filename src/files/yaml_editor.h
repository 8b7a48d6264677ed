#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// A value to be set in a YAML file: the keys that lead to it from the top, and the text it is to
/// have (as it is read: no quotes, no escapes).
struct YamlChange {
  std::vector<std::string> path;
  std::string value;
};

/// The file's new bytes, or why it was left as it is.
struct YamlEdit {
  std::optional<std::string> bytes;
  Problem problem;  ///< where `bytes` is empty

  explicit operator bool() const { return bytes.has_value(); }
};

/// Sets values in a maker's file without touching anything else in it: comments, order,
/// spelling of other numbers, line ends and byte order mark stay, byte for byte. A value that is
/// there is replaced in its place, in the quotes it has; a key or a map that is missing is added at
/// the end of the map it belongs to, in that map's own style. The changes are made one after the
/// other, all or none.
///
/// The result is parsed again and compared with what it should hold. Refused, with the place: a
/// file that is not sound YAML of the kind we read; a path through a single value or a list; a map
/// or a list where the value should be; a key that is there twice; a spelling so unusual that the
/// edit cannot be proven to change only what it should. `file_name` is for the problem only.
YamlEdit edit_yaml(std::string const& file_name, std::string const& bytes,
                   std::vector<YamlChange> const& changes);

}  // namespace stripwright::files
