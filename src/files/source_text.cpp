#include "files/source_text.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

namespace stripwright::files {
namespace {

constexpr std::size_t kLargestFile = 64'000'000;
constexpr std::size_t kLongestLine = 1'000'000;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

/// The length of the UTF-8 character that starts here, 0 if it is none (overlong
/// forms, surrogates and what lies beyond U+10FFFF are none; RFC 3629).
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) -> unsigned {
    return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U;
  };
  const auto follows = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned first = byte(0);
  if (first < 0x80U) return 1;
  if (first >= 0xC2U && first <= 0xDFU) return follows(1) ? 2 : 0;
  if (first >= 0xE0U && first <= 0xEFU) {
    if (!follows(1) || !follows(2)) return 0;
    if (first == 0xE0U && byte(1) < 0xA0U) return 0;
    if (first == 0xEDU && byte(1) > 0x9FU) return 0;
    return 3;
  }
  if (first >= 0xF0U && first <= 0xF4U) {
    if (!follows(1) || !follows(2) || !follows(3)) return 0;
    if (first == 0xF0U && byte(1) < 0x90U) return 0;
    if (first == 0xF4U && byte(1) > 0x8FU) return 0;
    return 4;
  }
  return 0;
}

}  // namespace

SourceText::SourceText(std::string name, std::string bytes)
    : name_(std::move(name)),
      bytes_(std::move(bytes)),
      skipped_(bytes_.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0) {
  line_starts_.push_back(0);
  const auto body = text();
  for (std::size_t i = 0; i < body.size(); ++i)
    if (body[i] == '\n') line_starts_.push_back(i + 1);
}

std::string_view SourceText::text() const { return std::string_view(bytes_).substr(skipped_); }

Place SourceText::place(std::size_t offset) const {
  offset = std::min(offset, text().size());
  const auto next = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
  const std::size_t start = *std::prev(next);
  const auto before = text().substr(start, offset - start);
  const auto characters = std::count_if(before.begin(), before.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  });
  return {name_, static_cast<std::size_t>(next - line_starts_.begin()),
          static_cast<std::size_t>(characters) + 1};
}

std::string_view SourceText::line_at(std::size_t offset) const {
  offset = std::min(offset, text().size());
  const std::size_t start =
      *std::prev(std::upper_bound(line_starts_.begin(), line_starts_.end(), offset));
  auto line = text().substr(start);
  line = line.substr(0, line.find('\n'));
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

Problem SourceText::problem(std::size_t offset, std::string what, std::string remedy,
                            Severity severity) const {
  constexpr std::size_t kEnoughForAnExcerpt = 4000;
  const Place where = place(offset);
  auto line = line_at(offset);
  Problem problem{severity, where, std::move(what), std::move(remedy), {}};
  // A line of a megabyte is kept only as far as its caret can be shown.
  if (line.size() <= kEnoughForAnExcerpt)
    problem.source_line = line;
  else if (where.column < kEnoughForAnExcerpt / 4)
    problem.source_line = line.substr(0, kEnoughForAnExcerpt);
  return problem;
}

std::optional<SourceText> read_source(std::string const& path, Problems& problems) {
  const auto refuse = [&](std::string what, std::string remedy) {
    problems.add({Severity::error, {path, 0, 0}, std::move(what), std::move(remedy), {}});
    return std::nullopt;
  };
  struct stat info {};
  if (stat(path.c_str(), &info) != 0)
    return refuse(errno == ENOENT ? "no such file" : fmt::format("cannot be read: {}", std::strerror(errno)),
                  "check the name and the folder");
  if (S_ISDIR(info.st_mode)) return refuse("is a folder, not a file", "name a file in it");
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), std::fclose);
  if (!file) return refuse(fmt::format("cannot be read: {}", std::strerror(errno)), "check its permissions");
  std::string bytes;
  if (S_ISREG(info.st_mode) && info.st_size > 0)
    bytes.reserve(std::min(static_cast<std::size_t>(info.st_size), kLargestFile) + 1);
  char buffer[65536];
  std::size_t got = 0;
  while ((got = std::fread(buffer, 1, sizeof buffer, file.get())) > 0) {
    bytes.append(buffer, got);
    if (bytes.size() > kLargestFile) return refuse("is over 64 MB", "a file of this kind has a few kilobytes");
  }
  if (std::ferror(file.get()) != 0) return refuse("cannot be read to its end", "check the disk");
  return SourceText(path, std::move(bytes));
}

bool check_bytes(SourceText const& source, Problems& problems) {
  const auto text = source.text();
  std::size_t line_start = 0;
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte == '\n') {
      line_start = i + 1;
    } else if (i - line_start >= kLongestLine) {
      problems.add(source.problem(line_start, "a line of over 1 MB", "is this the right file?"));
      return false;
    }
    if ((byte < 0x20U && byte != '\n' && byte != '\r' && byte != '\t') || byte == 0x7FU) {
      problems.add(source.problem(i, byte == 0 ? "a NUL byte" : fmt::format("a control character (0x{:02X})", byte),
                                  "the file is not plain text; save it as UTF-8 text"));
      return false;
    }
    const std::size_t length = utf8_length(text, i);
    if (length == 0) {
      problems.add(source.problem(i, fmt::format("a byte that is not UTF-8 (0x{:02X})", byte),
                                  "save the file as UTF-8 text"));
      return false;
    }
    i += length;
  }
  return true;
}

bool check_indents(SourceText const& source, Problems& problems) {
  const auto text = source.text();
  bool clean = true;
  bool in_indent = true;
  std::optional<std::size_t> tab;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') {
      in_indent = true;
      tab.reset();
    } else if (in_indent && c == '\t') {
      if (!tab) tab = i;
    } else if (in_indent && c != ' ' && c != '\r') {
      in_indent = false;
      if (tab) {
        problems.add(source.problem(*tab, "a tab in the indent", "indent with blanks"));
        clean = false;
      }
    }
  }
  return clean;
}

}  // namespace stripwright::files
