// A library to be preloaded (LD_PRELOAD): it counts the calls by which a program changes what is
// on the disk, and makes one of them fail, or kills the program there.
//
//   FAULTY_AT    number of the call, from 1; 0 or unset: none
//   FAULTY_HOW   "kill", or the number of the error that the call shall fail with
//   FAULTY_SLOW  microseconds that each of these calls takes longer, as on a slow disk
//   FAULTY_LOG   a file to which the name of each of these calls is appended before it is made
//
// What goes to standard output and standard error does not count.
#include <dlfcn.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

namespace {

template <typename Function>
Function real(char const* name) {
  return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

long setting(char const* name) {
  char const* const text = std::getenv(name);
  return text ? std::atol(text) : 0;
}

void log(char const* name) {
  char const* const path = std::getenv("FAULTY_LOG");
  if (!path) return;
  static const auto real_open = real<int (*)(char const*, int, ...)>("open");
  static const auto real_write = real<ssize_t (*)(int, void const*, size_t)>("write");
  static const auto real_close = real<int (*)(int)>("close");
  const int file = real_open(path, O_WRONLY | O_CREAT | O_APPEND, 0644);
  if (file < 0) return;
  char line[64];
  const int size = ::snprintf(line, sizeof line, "%s\n", name);
  if (real_write(file, line, static_cast<size_t>(size)) < 0) std::abort();
  real_close(file);
}

/// Whether this call shall fail; errno is set then.
bool fails(char const* name) {
  static long count = 0;
  const int kept = errno;
  ++count;
  log(name);
  if (const long slow = setting("FAULTY_SLOW"); slow > 0) ::usleep(static_cast<useconds_t>(slow));
  errno = kept;
  if (count != setting("FAULTY_AT")) return false;
  char const* const how = std::getenv("FAULTY_HOW");
  if (how && std::strcmp(how, "kill") == 0) ::kill(::getpid(), SIGKILL);
  errno = how ? std::atoi(how) : EIO;
  return true;
}

bool to_be_written(int flags) { return (flags & (O_WRONLY | O_RDWR | O_CREAT)) != 0; }

bool standard(FILE* file) { return file == stdin || file == stdout || file == stderr; }

}  // namespace

extern "C" {

int open(char const* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const auto mode = static_cast<mode_t>(va_arg(rest, int));
  va_end(rest);
  if (to_be_written(flags) && fails("open")) return -1;
  return real<int (*)(char const*, int, ...)>("open")(path, flags, mode);
}

int open64(char const* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const auto mode = static_cast<mode_t>(va_arg(rest, int));
  va_end(rest);
  if (to_be_written(flags) && fails("open")) return -1;
  return real<int (*)(char const*, int, ...)>("open64")(path, flags, mode);
}

FILE* fopen(char const* path, char const* mode) {
  if (std::strpbrk(mode, "wa+") && fails("fopen")) return nullptr;
  return real<FILE* (*)(char const*, char const*)>("fopen")(path, mode);
}

FILE* fopen64(char const* path, char const* mode) {
  if (std::strpbrk(mode, "wa+") && fails("fopen")) return nullptr;
  return real<FILE* (*)(char const*, char const*)>("fopen64")(path, mode);
}

size_t fwrite(void const* bytes, size_t size, size_t count, FILE* file) {
  if (!standard(file) && fails("fwrite")) return 0;
  return real<size_t (*)(void const*, size_t, size_t, FILE*)>("fwrite")(bytes, size, count, file);
}

/// A file that cannot be closed is closed all the same.
int fclose(FILE* file) {
  const bool written = !standard(file) && (::fcntl(fileno(file), F_GETFL) & O_ACCMODE) != O_RDONLY;
  const bool fault = written && fails("fclose");
  const int kept = errno;
  const int out = real<int (*)(FILE*)>("fclose")(file);
  if (!fault) return out;
  errno = kept;
  return EOF;
}

ssize_t write(int file, void const* bytes, size_t size) {
  if (file > 2 && fails("write")) return -1;
  return real<ssize_t (*)(int, void const*, size_t)>("write")(file, bytes, size);
}

ssize_t pwrite(int file, void const* bytes, size_t size, off_t at) {
  if (fails("pwrite")) return -1;
  return real<ssize_t (*)(int, void const*, size_t, off_t)>("pwrite")(file, bytes, size, at);
}

ssize_t pwrite64(int file, void const* bytes, size_t size, off64_t at) {
  if (fails("pwrite")) return -1;
  return real<ssize_t (*)(int, void const*, size_t, off64_t)>("pwrite64")(file, bytes, size, at);
}

int fsync(int file) {
  if (fails("fsync")) return -1;
  return real<int (*)(int)>("fsync")(file);
}

int ftruncate(int file, off_t size) {
  if (fails("ftruncate")) return -1;
  return real<int (*)(int, off_t)>("ftruncate")(file, size);
}

int rename(char const* from, char const* to) {
  if (fails("rename")) return -1;
  return real<int (*)(char const*, char const*)>("rename")(from, to);
}

int renameat2(int from_folder, char const* from, int to_folder, char const* to,
              unsigned int flags) {
  if (fails("renameat2")) return -1;
  return real<int (*)(int, char const*, int, char const*, unsigned int)>("renameat2")(
      from_folder, from, to_folder, to, flags);
}

int link(char const* from, char const* to) {
  if (fails("link")) return -1;
  return real<int (*)(char const*, char const*)>("link")(from, to);
}

int unlink(char const* path) {
  if (fails("unlink")) return -1;
  return real<int (*)(char const*)>("unlink")(path);
}

int mkdir(char const* path, mode_t mode) {
  if (fails("mkdir")) return -1;
  return real<int (*)(char const*, mode_t)>("mkdir")(path, mode);
}

int fchmod(int file, mode_t mode) {
  if (fails("fchmod")) return -1;
  return real<int (*)(int, mode_t)>("fchmod")(file, mode);
}

}  // extern "C"
