#include "files/reading_log.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <utility>

#include "files/temporary_file.h"

namespace stripwright::files {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kRemark = "#";

Problem problem_with(std::string const& path, std::string_view doing) {
  return {Severity::error,
          {path, 0, 0},
          fmt::format("{}: {}", doing, std::strerror(errno)),
          "check the folder, its permissions and the space on the disk",
          {}};
}

/// Writes all bytes at an offset; false where the disk takes less.
bool write_at(int descriptor, std::string_view bytes, std::size_t offset) {
  while (!bytes.empty()) {
    const auto written =
        ::pwrite(descriptor, bytes.data(), bytes.size(), static_cast<off_t>(offset));
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(written));
    offset += static_cast<std::size_t>(written);
  }
  return true;
}

std::optional<std::size_t> size_of(int descriptor) {
  struct stat info {};
  if (::fstat(descriptor, &info) != 0) return std::nullopt;
  return static_cast<std::size_t>(info.st_size);
}

/// Gives a file that is written its own name, in one step. Unless it may take the place of another
/// it stays out of the way of one that has come meanwhile; that is no failure.
bool put_in_place(fs::path const& temporary, std::string const& path, bool may_replace) {
  if (!may_replace) {
    if (::renameat2(AT_FDCWD, temporary.c_str(), AT_FDCWD, path.c_str(), RENAME_NOREPLACE) == 0)
      return true;
    if (errno == EEXIST) return ::unlink(temporary.c_str()) == 0;
    // Only some file systems know how to do that, and they say so.
    if (errno != EINVAL && errno != ENOSYS) return false;
  }
  return std::rename(temporary.c_str(), path.c_str()) == 0;
}

/// Makes the file with its first line: in full under another name, then in one step under its own.
bool make_file(std::string const& path, std::string_view header, bool may_replace,
               Problems& problems) {
  const Turn turn(fs::path(path).parent_path());
  const fs::path temporary = temporary_beside(path);
  const int descriptor = ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (descriptor < 0) {
    problems.add(problem_with(path, "cannot be made"));
    return false;
  }
  const bool written =
      write_at(descriptor, fmt::format("{}\n", header), 0) && ::fsync(descriptor) == 0;
  const bool closed = ::close(descriptor) == 0;
  if (!written || !closed || !put_in_place(temporary, path, may_replace)) {
    problems.add(problem_with(path, "cannot be made"));
    ::unlink(temporary.c_str());
    return false;
  }
  // The folder holds the file's name; it has to be on the disk as well.
  const fs::path own(path);
  remove_abandoned(own.parent_path(), {own.filename().string()});
  sync_folder(own.parent_path());
  return true;
}

/// True if the file that is open still goes by its name: nobody has put another in its place.
bool goes_by(int descriptor, std::string const& path) {
  struct stat opened {};
  struct stat named {};
  return ::fstat(descriptor, &opened) == 0 && ::stat(path.c_str(), &named) == 0 &&
         opened.st_dev == named.st_dev && opened.st_ino == named.st_ino;
}

/// The line end of the first line: CRLF if it has that, else LF.
std::string line_end_of(int descriptor) {
  char buffer[4096];
  const auto got = ::pread(descriptor, buffer, sizeof buffer, 0);
  const std::string_view begin(buffer, got > 0 ? static_cast<std::size_t>(got) : 0);
  const auto end = begin.find('\n');
  return end != std::string_view::npos && end > 0 && begin[end - 1] == '\r' ? "\r\n" : "\n";
}

}  // namespace

ReadingLog::ReadingLog(int descriptor, std::string path, std::string line_end)
    : descriptor_(descriptor), path_(std::move(path)), line_end_(std::move(line_end)) {}

ReadingLog::ReadingLog(ReadingLog&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)),
      path_(std::move(other.path_)),
      line_end_(std::move(other.line_end_)),
      last_row_(other.last_row_) {}

ReadingLog& ReadingLog::operator=(ReadingLog&& other) noexcept {
  std::swap(descriptor_, other.descriptor_);
  std::swap(path_, other.path_);
  std::swap(line_end_, other.line_end_);
  std::swap(last_row_, other.last_row_);
  return *this;
}

ReadingLog::~ReadingLog() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

std::optional<ReadingLog> ReadingLog::open(std::string const& path, std::string_view header,
                                           Problems& problems) {
  const auto refuse = [&](std::string what, std::string remedy) {
    problems.add({Severity::error, {path, 0, 0}, std::move(what), std::move(remedy), {}});
    return std::nullopt;
  };
  // Others may be making the file at the same time: none may put theirs in the place of one that
  // has been added to. So a file is only made where there is none, and an empty one only replaced
  // by who holds it. A round is lost to each who was quicker; so many there are not.
  constexpr int kRounds = 8;
  for (int round = 0; round < kRounds; ++round) {
    struct stat info {};
    const bool there = ::stat(path.c_str(), &info) == 0;
    if (there && !S_ISREG(info.st_mode))
      return refuse("is no file that readings can be kept in", "name a file");
    if (!there && !make_file(path, header, false, problems)) return std::nullopt;
    const int descriptor = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
    if (descriptor < 0) {
      problems.add(problem_with(path, "cannot be written to"));
      return std::nullopt;
    }
    ReadingLog log(descriptor, path, line_end_of(descriptor));
    if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) break;
    if (!goes_by(descriptor, path)) continue;
    if (size_of(descriptor) != 0U) return log;
    if (!make_file(path, header, true, problems)) return std::nullopt;
  }
  return refuse("another check --ask is adding to it", "end that one first, or name another file");
}

bool ReadingLog::disk_problem(std::string_view doing, Problems& problems) const {
  problems.add(problem_with(path_, doing));
  return false;
}

bool ReadingLog::put(std::string_view bytes, std::size_t offset) {
  return write_at(descriptor_, bytes, offset) && ::fsync(descriptor_) == 0;
}

bool ReadingLog::keep(std::string_view row, Problems& problems) {
  check_internal(
      !row.empty() && row.front() != '#' && row.find_first_of("\r\n") == std::string_view::npos,
      "a row that cannot be kept");
  const auto end = size_of(descriptor_);
  if (!end) return disk_problem("cannot be written to", problems);
  // What was there before may lack its last line end, or have been cut short.
  char last = '\n';
  if (*end > 0 && ::pread(descriptor_, &last, 1, static_cast<off_t>(*end - 1)) != 1)
    return disk_problem("cannot be read", problems);
  const std::string lead = last == '\n' ? "" : line_end_;
  const std::size_t offset = *end + lead.size();
  const std::string remark = fmt::format("{}{}{}{}", lead, kRemark, row.substr(1), line_end_);
  if (!put(remark, *end) || !put(row.substr(0, 1), offset)) {
    disk_problem("the reading could not be kept", problems);
    // As it was before; should that fail too, what stands there is a remark.
    if (::ftruncate(descriptor_, static_cast<off_t>(*end)) == 0) ::fsync(descriptor_);
    return false;
  }
  last_row_ = offset;
  return true;
}

bool ReadingLog::take_back(std::size_t offset, Problems& problems) {
  if (!put(kRemark, offset)) return disk_problem("the reading could not be taken back", problems);
  if (last_row_ == offset) last_row_.reset();
  return true;
}

}  // namespace stripwright::files
