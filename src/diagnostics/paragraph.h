#pragma once

#include <string>
#include <string_view>

namespace stripwright {

/// Text broken at blanks into lines of at most 80 columns, the first led in by `first`,
/// the others by `rest`; a word longer than that keeps its length. A figure and its unit
/// (`7.3 in`) stay on one line.
std::string paragraph(std::string_view text, std::string_view first, std::string_view rest);

}  // namespace stripwright
