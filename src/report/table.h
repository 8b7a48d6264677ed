#pragma once

#include <string>
#include <variant>
#include <vector>

#include "units/unit.h"

namespace stripwright::report {

/// A plain number with the decimals it is printed with, in files and at the bench.
struct Number {
  double value = 0;
  int file_decimals = 0;
  int bench_decimals = 0;
};

/// A place along rod or machine: a length that at the bench is printed no longer than
/// it has to be.
struct Place {
  Length from_zero;
};

/// Nothing, text, a whole number, a plain number, a length or a place.
using Cell = std::variant<std::monostate, std::string, long, Number, Length, Place>;

/// A column: `name` is its name in files (lengths get `_in` or `_mm` behind it),
/// `heading` its words at the bench. A column that is only for files or only for the
/// bench leaves the other name empty.
struct Column {
  std::string name;
  std::string heading;
  bool length = false;  ///< its cells are lengths: the unit stands in the heading
};

/// Rows under headings. It knows nothing of tapers; it is what text, CSV, JSON and
/// HTML are made from.
struct Table {
  std::string title;
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;
};

/// The column's name in files: `strip_milled_in`.
std::string file_name(Column const& column, Unit unit);

/// The heading in one line with its unit, and a cell as it reads, at the bench.
std::string heading_text(Column const& column, Unit unit);
std::string cell_text(Cell const& cell, Unit unit);

/// RFC 4180: CRLF, quotes where needed, a header row. Lengths with the unit's file
/// decimals, empty cells empty.
std::string to_csv(Table const& table, Unit unit);

/// Columns under headings, figures to the right, for a terminal; bench decimals.
/// Headings may have several words: each stands on a line of its own, so that no column
/// is wider than its figures need.
std::string to_text(Table const& table, Unit unit);

}  // namespace stripwright::report
