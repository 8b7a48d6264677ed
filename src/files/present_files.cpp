#include "files/present_files.h"

#include <sys/stat.h>

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

std::optional<std::time_t> written_at(std::string const& path) {
  struct stat info {};
  if (::stat(path.c_str(), &info) != 0 || !S_ISREG(info.st_mode)) return std::nullopt;
  return info.st_mtime;
}

}  // namespace stripwright::files
