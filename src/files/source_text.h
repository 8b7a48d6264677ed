#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// A file's bytes with its name, able to tell where in it a byte stands.
class SourceText {
 public:
  SourceText(std::string name, std::string bytes);

  std::string const& name() const { return name_; }
  /// The bytes, without a byte order mark if there was one.
  std::string_view text() const;

  /// Line and column (from 1, in characters) of a byte of `text()`; beyond its end
  /// the place where it ends.
  Place place(std::size_t offset) const;
  /// The line that a byte of `text()` stands in, without its line end.
  std::string_view line_at(std::size_t offset) const;

  /// A problem at a byte of `text()`, with its line; of a long line the part around it.
  Problem problem(std::size_t offset, std::string what, std::string remedy = {},
                  Severity severity = Severity::error) const;

 private:
  std::size_t line_start(std::size_t offset) const;

  std::string name_;
  std::string bytes_;
  std::size_t skipped_ = 0;  // length of the byte order mark
  // Where each line starts in `text()`; four bytes each, since a file may be nothing but
  // line ends.
  std::vector<std::uint32_t> line_starts_;
};

/// Adds a problem at a byte of the source's text, or counts it where it would not be kept.
void add_problem(Problems& problems, SourceText const& source, std::size_t offset, std::string what,
                 std::string remedy = {}, Severity severity = Severity::error);

/// Reads a whole file; nothing and a problem if it is not there, a folder, not
/// readable, or over 64 MB.
std::optional<SourceText> read_source(std::string const& path, Problems& problems);

/// What no text file of ours may hold, whatever its format: NUL and other control
/// characters, bytes that are not UTF-8, a byte order mark in the midst, a carriage return
/// without its line feed, a line over 1 MB. True if there is none; else the first is told.
bool check_bytes(SourceText const& source, Problems& problems);

/// For YAML as well: a tab in the indent of a line, told for each line. Blank lines may
/// have tabs.
bool check_indents(SourceText const& source, Problems& problems);

}  // namespace stripwright::files
