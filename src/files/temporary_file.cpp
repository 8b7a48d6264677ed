#include "files/temporary_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <csignal>
#include <string_view>

namespace stripwright::files {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kEnding = ".tmp";

/// The process that a temporary file `.NAME.PROCESS.tmp` of one of the names belongs to; 0 if it is
/// no such file.
pid_t owner_of(std::string_view file, std::set<std::string> const& names) {
  if (!file.starts_with('.') || !file.ends_with(kEnding)) return 0;
  file.remove_prefix(1);
  file.remove_suffix(kEnding.size());
  const auto dot = file.rfind('.');
  if (dot == std::string_view::npos || !names.contains(std::string(file.substr(0, dot)))) return 0;
  pid_t process = 0;
  auto const* const end = file.data() + file.size();
  const auto read = std::from_chars(file.data() + dot + 1, end, process);
  return read.ec == std::errc() && read.ptr == end && process > 0 ? process : 0;
}

}  // namespace

fs::path temporary_beside(fs::path const& path) {
  return path.parent_path() /
         fmt::format(".{}.{}{}", path.filename().string(), ::getpid(), kEnding);
}

void remove_abandoned(fs::path const& folder, std::set<std::string> const& names) {
  std::error_code fault;
  for (fs::directory_iterator entry(folder.empty() ? "." : folder, fault), end;
       !fault && entry != end; entry.increment(fault)) {
    const auto process = owner_of(entry->path().filename().string(), names);
    if (process > 0 && ::kill(process, 0) != 0 && errno == ESRCH) ::unlink(entry->path().c_str());
  }
}

Turn::Turn(fs::path const& folder)
    : folder_(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
  while (folder_ >= 0 && ::flock(folder_, LOCK_EX) != 0 && errno == EINTR) {
  }
}

Turn::~Turn() {
  if (folder_ >= 0) ::close(folder_);
}

void sync_folder(fs::path const& folder) {
  char const* const name = folder.empty() ? "." : folder.c_str();
  const int opened = ::open(name, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (opened < 0) return;
  ::fsync(opened);
  ::close(opened);
}

}  // namespace stripwright::files
