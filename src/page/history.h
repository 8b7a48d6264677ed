#pragma once

#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "diagnostics/problem.h"
#include "page/folder.h"

namespace stripwright::page {

/// A file as it was before it was saved.
struct Earlier {
  std::string id;    ///< for `bytes`
  std::string when;  ///< `2026-01-31 14:05:09`, local time, when it was replaced
};

/// How a saving ended.
enum class Saved { done, same, changed_outside, failed };

/// Saves makers' files whole, and keeps what was there before: in `.stripwright/before/` of the
/// folder, a folder for each file, as deep down as the file. Nothing is ever taken away there but
/// by the maker. One saving at a time.
class History {
 public:
  explicit History(Folder const& folder) : folder_(folder) {}

  /// Replaces the file's bytes, which must still be `old_bytes`; makes it where `old_bytes` is
  /// nothing and no such file is there.
  Saved save(std::string const& name, std::optional<std::string> const& old_bytes,
             std::string const& new_bytes, Problems& problems);

  /// What was there before, the last first.
  std::vector<Earlier> list(std::string const& name) const;
  /// The bytes of one of them; a problem if there is none of that id.
  std::optional<std::string> bytes(std::string const& name, std::string const& id,
                                   Problems& problems) const;

  /// A line that the pages keep about a file: how it was measured last. No work of a maker's: where
  /// it cannot be written it is not.
  void keep_note(std::string const& name, std::string const& line) const;
  /// "" where there is none.
  std::string note(std::string const& name) const;

 private:
  /// Where what is kept about a file lies: in a folder of `.stripwright`.
  std::optional<std::string> shelf(std::string const& folder, std::string const& name,
                                   Problems& problems) const;

  Folder const& folder_;
  std::mutex mutex_;
};

}  // namespace stripwright::page
