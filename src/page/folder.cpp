#include "page/folder.h"

#include <fmt/format.h>

#include <algorithm>

#include "files/keep_copy.h"
#include "inspection/reading_columns.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

namespace fs = std::filesystem;

constexpr int kDeepest = 2;
/// output/<taper>/checked/<readings>/sheet.html
constexpr int kMostParts = 5;
constexpr std::size_t kHead = 4096;
/// Somebody may open a home folder: its first so many names are looked at, which takes a moment.
constexpr std::size_t kMostLooked = 20'000;

bool is_part(std::string const& part) {
  return !part.empty() && part.front() != '.' && part.size() <= 200 &&
         std::none_of(part.begin(), part.end(), [](char c) {
           return static_cast<unsigned char>(c) < 0x20U || c == '\x7f' || c == '\\' || c == ':';
         });
}

bool is_inside(fs::path const& path, fs::path const& folder) {
  return std::mismatch(folder.begin(), folder.end(), path.begin(), path.end()).first ==
         folder.end();
}

std::string head_of(fs::path const& path) {
  Problems unread;
  return files::read_bytes(path.string(), unread, kHead).value_or("");
}

FileKind yaml_kind(std::string const& head) {
  constexpr std::pair<std::string_view, FileKind> kFormats[] = {
      {"stripwright-taper-", FileKind::taper},
      {"stripwright-shop-", FileKind::shop},
      {"stripwright-ring-", FileKind::ring},
      {"stripwright-correction-", FileKind::correction},
      {"stripwright-culms-", FileKind::culms}};
  const auto at = head.starts_with("format:") ? 0 : head.find("\nformat:");
  if (at == std::string::npos) return FileKind::other;
  const auto line = std::string_view(head).substr(at + 1, 100);
  for (auto const& [word, kind] : kFormats)
    if (line.substr(0, line.find('\n')).find(word) != std::string_view::npos) return kind;
  return FileKind::other;
}

/// Whole lines only: a character cut in two would be no text.
FileKind csv_kind(std::string head) {
  if (head.size() == kHead) head.resize(head.rfind('\n') + 1);
  const files::SourceText source("", std::move(head));
  // Columns may leave their unit to be told; one of the two then does.
  for (const std::optional<Unit> unit : {std::optional<Unit>(), std::optional(Unit::inch)}) {
    Problems ignored;
    if (inspection::read_columns(source, unit, ignored)) return FileKind::readings;
  }
  return FileKind::other;
}

FileKind kind_of(fs::path const& path) {
  const auto ending = path.extension();
  if (ending == ".yaml" || ending == ".yml") return yaml_kind(head_of(path));
  if (ending == ".csv") return csv_kind(head_of(path));
  return FileKind::other;
}

}  // namespace

Folder::Folder(fs::path root) : root_(std::move(root)), canonical_(fs::canonical(root_)) {}

std::vector<FolderEntry> Folder::list() const {
  std::vector<FolderEntry> out;
  std::error_code fault;
  std::size_t looked = 0;
  for (fs::recursive_directory_iterator
           entry(root_, fs::directory_options::skip_permission_denied, fault),
       end;
       !fault && entry != end && out.size() < kMostFiles && ++looked < kMostLooked;
       entry.increment(fault)) {
    std::error_code ignored;
    const bool folder = entry->is_directory(ignored);
    if (!is_part(entry->path().filename().string()) || entry.depth() > kDeepest) {
      if (folder) entry.disable_recursion_pending();
      continue;
    }
    if (folder || !entry->is_regular_file(ignored)) continue;
    auto name = entry->path().lexically_relative(root_).generic_string();
    Problems problems;
    if (!path_of(name, problems)) continue;
    if (const auto kind = kind_of(entry->path()); kind != FileKind::other)
      out.push_back({std::move(name), kind});
  }
  std::sort(out.begin(), out.end(), [](auto const& a, auto const& b) { return a.name < b.name; });
  return out;
}

std::vector<std::string> Folder::names(FileKind kind) const {
  std::vector<std::string> out;
  for (auto& entry : list())
    if (entry.kind == kind) out.push_back(std::move(entry.name));
  return out;
}

std::optional<std::string> Folder::path_of(std::string const& name, Problems& problems) const {
  const auto refuse = [&](std::string_view why) {
    problems.error(fmt::format("{} {}", quoted_for_message(name), why),
                   "name a file of the folder that is open");
    return std::nullopt;
  };
  const fs::path relative(name);
  if (name.find('\0') != std::string::npos || relative.is_absolute())
    return refuse("is no name of a file here");
  int parts = 0;
  for (auto const& part : relative) {
    if (!is_part(part.string())) return refuse("is no name of a file here");
    ++parts;
  }
  if (parts == 0 || parts > kMostParts) return refuse("is no name of a file here");
  if (!holds(relative)) return refuse("leads out of the folder");
  std::error_code fault;
  const auto path = canonical_ / relative;
  // A pipe would be waited for without end; a huge file is none that a maker writes.
  if (const auto there = fs::status(path, fault); fs::exists(there)) {
    if (!fs::is_regular_file(there)) return refuse("is no file");
    if (fs::file_size(path, fault) > kLargestFile) return refuse("is over 64 MB");
  }
  return root_ == "." ? relative.string() : (root_ / relative).string();
}

bool Folder::may_read(std::string const& path, Problems& problems) const {
  std::error_code fault;
  const auto real = fs::weakly_canonical(fs::absolute(path, fault), fault);
  Problems why;
  if (!fault && is_inside(real, canonical_) &&
      path_of(real.lexically_relative(canonical_).string(), why))
    return true;
  if (why.any_error())
    problems.add_all(why);
  else
    problems.error(fmt::format("{} leads out of the folder", quoted_for_message(path)),
                   "name a file of the folder that is open");
  return false;
}

bool Folder::holds(fs::path const& relative) const {
  std::error_code fault;
  const auto real = fs::weakly_canonical(canonical_ / relative, fault);
  // What is still a link leads to nothing, wherever that would be.
  return !fault && is_inside(real, canonical_) && !fs::is_symlink(fs::symlink_status(real, fault));
}

std::optional<files::SourceText> Folder::read(std::string const& name, Problems& problems) const {
  const auto path = path_of(name, problems);
  if (!path) return std::nullopt;
  auto bytes = files::read_bytes(*path, problems);
  if (!bytes) return std::nullopt;
  return files::SourceText(name, std::move(*bytes));
}

}  // namespace stripwright::page
