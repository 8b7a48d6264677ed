#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "diagnostics/problem.h"
#include "files/source_text.h"

namespace stripwright::page {

/// What a file of the folder is, by its first lines.
enum class FileKind { taper, shop, ring, correction, culms, readings, other };

struct FolderEntry {
  std::string name;  ///< from the folder on: `dogrose.yaml`, `shops/bench.yaml`
  FileKind kind = FileKind::other;
};

/// The maker's folder: the only place of the disk that the pages see. Names go down from it; what
/// is hidden (a dot first), and what a link leads out of it, is not there.
class Folder {
 public:
  /// `root` must be a folder.
  explicit Folder(std::filesystem::path root);

  std::filesystem::path const& root() const { return root_; }

  /// All files that makers write, by name; at most `kMostFiles`, from at most three folders deep.
  std::vector<FolderEntry> list() const;
  /// The names of one kind.
  std::vector<std::string> names(FileKind kind) const;

  /// The path of a file by its name, be it there or not; nothing, and a problem, for a name that
  /// leads elsewhere or is none, and for what is no plain file.
  std::optional<std::string> path_of(std::string const& name, Problems& problems) const;

  /// Whether a path that a file of the folder names, from the current folder on or from the root,
  /// leads to what `path_of` has a path for; else a problem.
  bool may_read(std::string const& path, Problems& problems) const;

  /// Whether what lies at a path from the folder on, or would lie there, lies in the folder: no
  /// link on the way leads out of it, or nowhere.
  bool holds(std::filesystem::path const& relative) const;

  /// A file as it is; its name in messages is that within the folder.
  std::optional<files::SourceText> read(std::string const& name, Problems& problems) const;

  static constexpr std::size_t kMostFiles = 2000;
  /// As commands have it: a file of this kind has a few kilobytes.
  static constexpr std::size_t kLargestFile = 64'000'000;

 private:
  std::filesystem::path root_;       // as it was given
  std::filesystem::path canonical_;  // without links
};

}  // namespace stripwright::page
