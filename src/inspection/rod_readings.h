#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/csv_reader.h"
#include "units/position.h"

namespace stripwright::inspection {

/// How the table of a rod that is there is to be read.
struct RodTable {
  std::vector<std::string> columns;  ///< station and flats, by name or by number from 1; or none
  std::vector<std::string> pieces;   ///< only these, where the table has a column `piece`; or none
  std::optional<Unit> unit;          ///< of columns whose heading has none
  bool from_butt = false;            ///< stations are counted from the butt end
  std::string length;  ///< from tip end to butt end, for `from_butt`, in the stations' unit; or ""
};

/// One across-flats that was read.
struct FlatsReading {
  Station at;
  Length flats;
  std::string piece;       ///< "" where there is no such column
  std::string column;      ///< `f2`, or what the column is called
  std::size_t offset = 0;  ///< of its field in the source
};

/// What was read of a rod, by station.
struct RodReadings {
  std::vector<FlatsReading> readings;
  std::vector<std::string> pieces;  ///< in order of appearance
  Unit unit = Unit::inch;           ///< of the stations
  bool of_sections = false;         ///< a table of readings, with a column for each pair of flats
};

/// Reads a table of two columns, station and across flats, or one of readings: `piece, at_U, f1_U,
/// f2_U, f3_U`. Columns are separated by commas, tabs or semicolons (`csv_separator`); the headings
/// carry the unit (`column_name`), or `table.unit` says it. Of two columns the first is the
/// station, unless their headings say it is the other way round. Without headings the columns are
/// counted. Rows in any order; blank lines and `#` lines are skipped; empty fields of f1 to f3 are
/// left out.
///
/// Mistakes are errors, all told at once, each at its line, and give nothing: no lengths, decimal
/// commas among them; too many or too few fields; flats outside 0 to 100 mm; a second
/// row for a station in a table of two columns; columns or pieces that are not there.
std::optional<RodReadings> read_rod(files::SourceText const& source, RodTable const& table,
                                    Problems& problems);

}  // namespace stripwright::inspection
