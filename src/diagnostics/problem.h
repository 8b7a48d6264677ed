#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace stripwright {

/// A place in a file; line and column count from 1 (column in characters), 0 where unknown.
struct Place {
  std::string file;
  std::size_t line = 0;
  std::size_t column = 0;
};

enum class Severity {
  warning,  ///< told, but the work goes on
  unmet,    ///< done, but it cannot be set, fitted or proven: exit status 1
  error,    ///< the call or the file is wrong: exit status 2
};

/// One thing that is wrong: where, what, and the way out.
struct Problem {
  Severity severity = Severity::error;
  Place place;
  std::string what;
  std::string remedy;            ///< what to do about it, "" if that is plain
  std::string source_line;       ///< the line it stands in, for the caret, "" if none
  std::size_t line_skipped = 0;  ///< characters at the line's start that `source_line` lacks
};

/// Problems in the order they were found. A file of rubbish has millions of mistakes, and
/// nobody reads past the first twenty: of each severity the first thousand are kept, the
/// rest are counted.
class Problems {
 public:
  void add(Problem problem);
  /// Counts a problem that need not be put into words, because it would not be kept.
  void add_unkept(Severity severity) { ++counts_[index(severity)]; }
  void add_all(Problems const& others);
  /// An error or warning that belongs to no file, such as a bad option.
  void error(std::string what, std::string remedy = {});
  void warn(std::string what, std::string remedy = {});
  void unmet(std::string what, std::string remedy = {});

  bool any_error() const { return errors() > 0; }
  bool any_unmet() const { return counts_[index(Severity::unmet)] > 0; }
  bool empty() const { return list_.empty(); }
  std::size_t errors() const { return counts_[index(Severity::error)]; }
  /// True while a further problem of this severity would be kept.
  bool keeps(Severity severity) const;
  /// Those that were kept.
  std::vector<Problem> const& list() const { return list_; }

  /// The text for stderr: errors first, by place in each file, the first 20 with
  /// `and N more`, and never over 6,000 bytes. Each problem is
  /// `file:line:column: what is wrong`, then the line (cut to 100 columns) with a
  /// caret below, then the way out. Control characters are shown as `?`.
  std::string text() const;

 private:
  static std::size_t index(Severity severity) { return static_cast<std::size_t>(severity); }

  std::vector<Problem> list_;
  std::array<std::size_t, 3> counts_{};  // by severity, kept or not
  std::array<std::size_t, 3> kept_{};
};

/// The known word nearest to the one written (by edits, capitals alike), or "" if
/// none is near.
std::string nearest_word(std::string_view written, std::vector<std::string_view> const& known);

/// Stops the program with a message if a thing that must hold does not; stays on in
/// release, because a wrong table is worse than none. Never for a user's mistake.
void check_internal(bool holds, std::string_view what);

}  // namespace stripwright
