#pragma once

#include <string>
#include <string_view>

namespace stripwright::report {

/// Text made safe for HTML and SVG, in content and in attributes: & < > " ' as references;
/// control characters, which XML cannot hold, as a question mark.
std::string escaped(std::string_view text);

}  // namespace stripwright::report
