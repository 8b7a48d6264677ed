#pragma once

#include <string>

namespace stripwright::report {

/// A bar of `#` for a terminal, `width` characters long for `full` (above 0) and no longer; at
/// least one for a value above 0, none below.
std::string bar(double value, double full, int width);

}  // namespace stripwright::report
