#pragma once

#include <string>
#include <string_view>

namespace stripwright::machine {

/// Text for a file that knows ASCII only: control characters and those of `unwanted` become
/// blanks, each character beyond ASCII (UTF-8) a question mark.
std::string to_ascii(std::string_view text, std::string_view unwanted);

}  // namespace stripwright::machine
