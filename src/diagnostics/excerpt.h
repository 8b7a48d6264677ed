#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace stripwright {

/// What of a line is shown, and the blanks before the caret below it.
struct Excerpt {
  std::string line;
  std::size_t caret = 0;
};

/// The part of a line of UTF-8 around a character, at most 100 columns of it, `...` where
/// something is left out. `before` counts the characters of the whole line before the one
/// meant; `skipped` those at its start that `line` does not have. A place beyond the line's
/// end is its end. Tabs are shown as blanks, control characters as `?`.
Excerpt excerpt(std::string_view line, std::size_t before, std::size_t skipped = 0);

}  // namespace stripwright
