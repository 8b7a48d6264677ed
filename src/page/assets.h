#pragma once

#include <string_view>

namespace stripwright::page {

/// A file that browsers ask for beside the pages, compiled into the program.
struct Asset {
  std::string_view path;
  std::string_view type;
  std::string_view text;
};

/// The asset at a path; null where there is none.
Asset const* find_asset(std::string_view path);

}  // namespace stripwright::page
