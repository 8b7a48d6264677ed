#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// A table of readings that grows row by row and loses nothing that was kept, wherever the
/// program or the machine stops.
///
/// A row is kept in two steps. It is first added as a remark, its first byte a `#`, and that
/// brought to the disk; then this one byte is turned into what it should be, and that brought to
/// the disk. A row that was cut short on its way is a remark, and readers pass over it; one byte
/// is either changed or not. Taking back is the second step the other way round, so that what
/// was taken back can still be read by people. Nothing else in the file is ever touched.
class ReadingLog {
 public:
  /// Opens the file for adding; makes it with this header line, whole or not at all, if it is not
  /// there or empty. Nothing, and a problem, if the disk will not or another program holds it
  /// open for adding.
  static std::optional<ReadingLog> open(std::string const& path, std::string_view header,
                                        Problems& problems);

  ReadingLog(ReadingLog&& other) noexcept;
  ReadingLog& operator=(ReadingLog&& other) noexcept;
  ~ReadingLog();

  /// Adds a row, written without a line end; its first byte a quote or a digit. True once it is on
  /// the disk; false and a problem if it could not be, the file then being as before.
  bool keep(std::string_view row, Problems& problems);

  /// Turns the row that begins at this byte of the file into a remark. True once that is on
  /// the disk.
  bool take_back(std::size_t offset, Problems& problems);

  /// Where the row that was kept last begins.
  std::optional<std::size_t> last_row() const { return last_row_; }

 private:
  ReadingLog(int descriptor, std::string path, std::string line_end);
  bool put(std::string_view bytes, std::size_t offset);
  bool disk_problem(std::string_view doing, Problems& problems) const;

  int descriptor_;
  std::string path_;
  std::string line_end_;
  std::optional<std::size_t> last_row_;
};

}  // namespace stripwright::files
