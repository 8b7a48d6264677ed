#pragma once

#include <algorithm>
#include <string>

namespace stripwright::files {

/// A name as part of a file's or a folder's name: lower case, blanks to hyphens.
inline std::string file_slug(std::string name) {
  std::transform(name.begin(), name.end(), name.begin(), [](char c) {
    if (c == ' ') return '-';
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return name;
}

}  // namespace stripwright::files
