#include "files/keep_copy.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

#include "files/temporary_file.h"

namespace stripwright::files {
namespace {

namespace fs = std::filesystem;

constexpr int kMostCopies = 999;

/// An open file that is closed again.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() { close(); }
  Descriptor(Descriptor const&) = delete;
  Descriptor& operator=(Descriptor const&) = delete;

  explicit operator bool() const { return number_ >= 0; }
  int number() const { return number_; }
  bool close() {
    const int number = number_;
    number_ = -1;
    return number < 0 || ::close(number) == 0;
  }

 private:
  int number_;
};

void tell(fs::path const& path, std::string_view doing, Problems& problems) {
  problems.add({Severity::error,
                {path.string(), 0, 0},
                fmt::format("{}: {}", doing, std::strerror(errno)),
                "check the folder, its permissions and the space on the disk",
                {}});
}

bool write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const auto wrote = ::write(file, bytes.data(), bytes.size());
    if (wrote < 0 && errno == EINTR) continue;
    if (wrote <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(wrote));
  }
  return true;
}

/// Writes the temporary file of `path`, down to the disk; takes it away again where that fails. Its
/// permissions are the usual ones unless they are told: the system knows which, and to ask it
/// (`umask`) would change them for a moment, under the hands of all that this process does besides.
bool write_temporary(fs::path const& temporary, fs::path const& path, std::string_view bytes,
                     std::optional<mode_t> mode, Problems& problems) {
  ::unlink(temporary.c_str());
  Descriptor file(
      ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode ? 0600U : 0666U));
  if (!file) {
    tell(path, "cannot be written", problems);
    return false;
  }
  const bool good = write_all(file.number(), bytes) &&
                    (!mode || ::fchmod(file.number(), *mode) == 0) && ::fsync(file.number()) == 0 &&
                    file.close();
  if (good) return true;
  tell(path, "cannot be written", problems);
  ::unlink(temporary.c_str());
  return false;
}

/// The names under which this file's temporary files go.
std::set<std::string> names_beside(fs::path const& path) {
  const auto name = path.filename().string();
  return {name, name + ".bak"};
}

/// Gives a temporary file its name, unless some file has got it in the meantime; then errno is
/// EEXIST. A link is refused where the name is taken; a rename would replace that file. Where the
/// file system has no links, what is there is looked for instead.
bool give_name(fs::path const& temporary, fs::path const& path) {
  if (::link(temporary.c_str(), path.c_str()) == 0) {
    ::unlink(temporary.c_str());
    return true;
  }
  if (errno == EEXIST) return false;
  const int fault = errno;
  struct stat info {};
  if (::lstat(path.c_str(), &info) == 0) {
    errno = EEXIST;
    return false;
  }
  errno = fault;
  return std::rename(temporary.c_str(), path.c_str()) == 0;
}

std::optional<fs::path> write_copy(fs::path const& path, std::string_view bytes, mode_t mode,
                                   CopyName const& copy_name, Problems& problems) {
  const fs::path temporary = temporary_beside(copy_name(1));
  if (!write_temporary(temporary, copy_name(1), bytes, mode, problems)) return std::nullopt;
  for (int i = 1; i <= kMostCopies; ++i) {
    const fs::path copy = copy_name(i);
    if (give_name(temporary, copy)) return copy;
    if (errno == EEXIST) continue;
    tell(copy, "cannot be written", problems);
    ::unlink(temporary.c_str());
    return std::nullopt;
  }
  ::unlink(temporary.c_str());
  problems.add({Severity::error,
                {path.string(), 0, 0},
                fmt::format("has {} copies already", kMostCopies),
                "clear some away",
                {}});
  return std::nullopt;
}

}  // namespace

std::optional<std::string> read_bytes(std::string const& path, Problems& problems,
                                      std::size_t most) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  std::string bytes;
  char buffer[16384];
  ssize_t got = file ? 1 : -1;
  while (got > 0 || (got < 0 && file && errno == EINTR)) {
    // Asked for nothing, it gives nothing: the end.
    got = ::read(file.number(), buffer, std::min(sizeof buffer, most - bytes.size()));
    if (got > 0) bytes.append(buffer, static_cast<std::size_t>(got));
  }
  if (got == 0) return bytes;
  tell(path, "cannot be read", problems);
  return std::nullopt;
}

bool write_new_file(std::string const& path, std::string const& bytes, Problems& problems) {
  const fs::path real(path);
  const Turn turn(real.parent_path());
  const fs::path temporary = temporary_beside(real);
  if (!write_temporary(temporary, real, bytes, std::nullopt, problems)) return false;
  const bool good = give_name(temporary, real);
  if (!good) tell(path, "cannot be written", problems);
  ::unlink(temporary.c_str());
  remove_abandoned(real.parent_path(), names_beside(real));
  if (good) sync_folder(real.parent_path());
  return good;
}

Replacement replace_keeping_copy(std::string const& path, std::string const& old_bytes,
                                 std::string const& new_bytes, Problems& problems) {
  std::error_code fault;
  const fs::path real = fs::is_symlink(path, fault) ? fs::canonical(path, fault) : fs::path(path);
  const auto beside = [&](int i) {
    return real.string() + (i == 1 ? ".bak" : fmt::format(".bak{}", i));
  };
  return replace_keeping_copy(path, old_bytes, new_bytes, beside, problems);
}

Replacement replace_keeping_copy(std::string const& path, std::string const& old_bytes,
                                 std::string const& new_bytes, CopyName const& copy_name,
                                 Problems& problems) {
  if (new_bytes == old_bytes) return {Replaced::same, {}};
  std::error_code fault;
  const fs::path real = fs::is_symlink(path, fault) ? fs::canonical(path, fault) : fs::path(path);
  struct stat info {};
  if (::stat(real.c_str(), &info) != 0) {
    tell(path, "cannot be read", problems);
    return {};
  }
  const mode_t mode = info.st_mode & 07777U;
  const Turn turn(real.parent_path());
  const auto copy = write_copy(real, old_bytes, mode, copy_name, problems);
  if (!copy) return {};
  const fs::path temporary = temporary_beside(real);
  const auto given_up = [&](Replaced how) {
    ::unlink(temporary.c_str());
    ::unlink(copy->c_str());
    return Replacement{how, {}};
  };
  if (!write_temporary(temporary, real, new_bytes, mode, problems))
    return given_up(Replaced::failed);
  sync_folder(real.parent_path());
  // An editor waits for no turn: as little as can be comes between this look and the renaming.
  const auto now = read_bytes(real.string(), problems);
  if (!now) return given_up(Replaced::failed);
  if (*now != old_bytes) {
    problems.add({Severity::error,
                  {path, 0, 0},
                  "was changed by somebody else in the meantime; left as it is",
                  "run the command again",
                  {}});
    return given_up(Replaced::refused);
  }
  if (std::rename(temporary.c_str(), real.c_str()) != 0) {
    tell(real, "cannot be replaced", problems);
    return given_up(Replaced::failed);
  }
  remove_abandoned(real.parent_path(), names_beside(real));
  sync_folder(real.parent_path());
  return {Replaced::done, copy->string()};
}

}  // namespace stripwright::files
