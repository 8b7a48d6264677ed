#include "cli/taper_write.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <cstdlib>
#include <filesystem>

#include "cli/sheet_head.h"
#include "cli/version.h"
#include "diagnostics/utf8.h"
#include "files/keep_copy.h"

namespace stripwright::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kDigestDigits = 12;

bool refuse(std::string const& path, std::string what, std::string remedy, Problems& problems) {
  problems.add({Severity::error, {path, 0, 0}, std::move(what), std::move(remedy), {}});
  return false;
}

ExitStatus status_of(files::Replaced how) {
  switch (how) {
    case files::Replaced::done:
    case files::Replaced::same:
      return ExitStatus::all_well;
    case files::Replaced::refused:
      return ExitStatus::wrong;
    case files::Replaced::failed:
      break;
  }
  return ExitStatus::failed;
}

}  // namespace

bool may_be_written(FileTarget const& target, Problems& problems) {
  auto const& path = target.path;
  const fs::path as_path(path);
  struct stat info {};
  const bool there = ::lstat(path.c_str(), &info) == 0;
  if (there && S_ISDIR(info.st_mode))
    return refuse(path, "is a folder", "name a file in it with " + target.option, problems);
  if (as_path.extension() != target.ending)
    return refuse(path, fmt::format("does not end in {}", target.ending),
                  fmt::format("write {}{}", printable(as_path.stem().string()), target.ending),
                  problems);
  if (there && S_ISLNK(info.st_mode))
    return refuse(path, "is a symbolic link",
                  "name the file itself that it points to, or another one, with " + target.option,
                  problems);
  if (there && !S_ISREG(info.st_mode))
    return refuse(path, "is no plain file", "name another one with " + target.option, problems);
  if (there && !target.force)
    return refuse(
        path, "is there already",
        fmt::format("name another file with {}, or replace it with --force; a copy is kept then",
                    target.option),
        problems);
  std::error_code fault;
  if (const auto folder = as_path.parent_path();
      !folder.empty() && !fs::is_directory(folder, fault))
    return refuse(path, fmt::format("no folder {}", printable(folder.string())),
                  "make it first, or name another with " + target.option, problems);
  return true;
}

ExitStatus write_file(FileTarget const& target, std::string const& bytes, std::string& copy,
                      Problems& problems) {
  if (!may_be_written(target, problems)) return ExitStatus::wrong;
  std::error_code fault;
  if (!fs::exists(target.path, fault))
    return files::write_new_file(target.path, bytes, problems) ? ExitStatus::all_well
                                                               : ExitStatus::failed;
  const auto old = files::read_bytes(target.path, problems);
  if (!old) return ExitStatus::failed;
  const auto replaced = files::replace_keeping_copy(target.path, *old, bytes, problems);
  copy = replaced.copy;
  return status_of(replaced.how);
}

std::string named_in_remark(files::SourceText const& source) {
  const auto version = file_version(source);
  return fmt::format("{} (sha256 {})", printable(version.name),
                     version.sha256.substr(0, kDigestDigits));
}

std::string date_in_remark() {
  return std::getenv("SOURCE_DATE_EPOCH") ? ", " + sheet_date() : std::string();
}

std::string program_in_remark() { return fmt::format("stripwright {}", kVersion); }

}  // namespace stripwright::cli
