#pragma once

#include <string>
#include <string_view>

namespace stripwright::files {

/// SHA-256 of the bytes (FIPS 180-4), 64 lower-case hexadecimal digits.
std::string sha256(std::string_view bytes);

}  // namespace stripwright::files
