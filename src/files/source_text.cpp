#include "files/source_text.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

#include "diagnostics/utf8.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kLargestFile = 64'000'000;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
/// Of a long line this much on either side of the place is kept for the message.
constexpr std::size_t kAround = 400;

bool starts_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

std::size_t characters_in(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_character));
}

/// The nearest place at or before the one given where a character starts.
std::size_t start_of_character(std::string_view text, std::size_t at) {
  at = std::min(at, text.size());
  while (at > 0 && at < text.size() && !starts_character(text[at])) --at;
  return at;
}

}  // namespace

SourceText::SourceText(std::string name, std::string bytes)
    : name_(std::move(name)), bytes_(std::move(bytes)) {
  if (bytes_.starts_with(kByteOrderMark)) skipped_ = kByteOrderMark.size();
  line_starts_.push_back(0);
  const auto view = text();
  check_internal(view.size() < UINT32_MAX, "a text too large to be read");
  for (auto at = view.find('\n'); at != std::string_view::npos; at = view.find('\n', at + 1))
    line_starts_.push_back(static_cast<std::uint32_t>(at + 1));
}

std::string_view SourceText::text() const { return std::string_view(bytes_).substr(skipped_); }

std::size_t SourceText::line_start(std::size_t offset) const {
  return *std::prev(std::upper_bound(line_starts_.begin(), line_starts_.end(), offset));
}

Place SourceText::place(std::size_t offset) const {
  offset = std::min(offset, text().size());
  const auto next = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
  const std::size_t start = *std::prev(next);
  return {name_, static_cast<std::size_t>(next - line_starts_.begin()),
          characters_in(text().substr(start, offset - start)) + 1};
}

std::string_view SourceText::line_at(std::size_t offset) const {
  auto line = text().substr(line_start(std::min(offset, text().size())));
  line = line.substr(0, line.find('\n'));
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

Problem SourceText::problem(std::size_t offset, std::string what, std::string remedy,
                            Severity severity) const {
  offset = std::min(offset, text().size());
  Problem problem{severity, place(offset), std::move(what), std::move(remedy), {}};
  const auto line = line_at(offset);
  const std::size_t at = offset - line_start(offset);
  const std::size_t first = at > kAround ? start_of_character(line, at - kAround) : 0;
  const std::size_t last = start_of_character(line, at + kAround);
  problem.source_line = line.substr(first, last - std::min(first, last));
  problem.line_skipped = characters_in(line.substr(0, first));
  return problem;
}

void add_problem(Problems& problems, SourceText const& source, std::size_t offset, std::string what,
                 std::string remedy, Severity severity) {
  if (problems.keeps(severity))
    problems.add(source.problem(offset, std::move(what), std::move(remedy), severity));
  else
    problems.add_unkept(severity);
}

std::optional<SourceText> read_source(std::string const& path, Problems& problems) {
  const auto refuse = [&](std::string what, std::string remedy) {
    problems.add({Severity::error, {path, 0, 0}, std::move(what), std::move(remedy), {}});
    return std::nullopt;
  };
  const auto cannot = [] { return fmt::format("cannot be read: {}", std::strerror(errno)); };
  struct stat info {};
  if (stat(path.c_str(), &info) != 0)
    return refuse(errno == ENOENT ? "no such file" : cannot(), "check the name and the folder");
  if (S_ISDIR(info.st_mode)) return refuse("is a folder, not a file", "name a file in it");
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"),
                                                             std::fclose);
  if (!file) return refuse(cannot(), "check its permissions");
  std::string bytes;
  if (S_ISREG(info.st_mode) && info.st_size > 0)
    bytes.reserve(std::min(static_cast<std::size_t>(info.st_size), kLargestFile) + 1);
  std::array<char, 65536> buffer{};
  std::size_t got = 0;
  while ((got = std::fread(buffer.data(), 1, buffer.size(), file.get())) > 0) {
    bytes.append(buffer.data(), got);
    if (bytes.size() > kLargestFile)
      return refuse("is over 64 MB", "a file of this kind has a few kilobytes");
  }
  if (std::ferror(file.get()) != 0) return refuse("cannot be read to its end", "check the disk");
  return SourceText(path, std::move(bytes));
}

}  // namespace stripwright::files
