#include "files/present_files.h"

#include <filesystem>

namespace stripwright::files {

std::vector<std::string> present_in(std::string const& folder,
                                    std::vector<std::string> const& names) {
  namespace fs = std::filesystem;
  std::vector<std::string> out;
  std::error_code fault;
  for (auto const& name : names)
    if (fs::exists(fs::symlink_status(fs::path(folder) / name, fault))) out.push_back(name);
  return out;
}

}  // namespace stripwright::files
