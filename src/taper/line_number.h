#pragma once

#include <string>
#include <string_view>

namespace stripwright {

/// The fly line that a rod's `about` names: `5` of "for a 5 line", `4-5` of "for a 4-5 weight
/// line", `6` of "line 6"; "" where none is named. The first one counts.
std::string line_number(std::string_view about);

}  // namespace stripwright
