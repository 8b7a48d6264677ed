#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "files/yaml_extent.h"

namespace stripwright::files {

/// A stretch of a text in brackets, between two entries that stay, or one and a bracket: what of it
/// is taken out, and what is put in.
struct BracketStretch {
  std::size_t begin = 0;
  std::size_t end = 0;
  bool first = true;            ///< begins behind the opening bracket
  bool last = false;            ///< ends before the closing one
  std::vector<Extent> out;      ///< entries, in order
  std::vector<std::string> in;  ///< entries as they are to be written
  std::size_t indent = 0;       ///< of entries that get a line of their own
  std::string_view line_end = "\n";
};

/// What stands in the stretch's place then: on one line, or, where there are comments in it, with a
/// line for each new entry. Comments stay, but for one on a line of which all is taken out.
std::string rewritten(std::string_view text, BracketStretch const& stretch);

}  // namespace stripwright::files
