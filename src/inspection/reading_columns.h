#pragma once

#include <optional>

#include "files/csv_reader.h"
#include "inspection/stage.h"

namespace stripwright::inspection {

/// From where the places of readings are counted.
enum class PlaceFrom : unsigned char {
  rod_tip,      ///< `at`: a station
  strip_end,    ///< `from_end`: from the uncut strip's own tip end, spare included
  machine_zero  ///< `machine_at`
};

/// What the header row of a readings file says: which column holds what, in which unit.
struct ReadingColumns {
  /// A column of lengths.
  struct Lengths {
    std::size_t column = 0;
    Unit unit = Unit::inch;
  };

  ReadingKind kind = ReadingKind::strips;
  char separator = ',';             ///< of the columns: a comma, a semicolon or a tab
  std::size_t count = 0;            ///< of all columns
  std::optional<std::size_t> name;  ///< `strip` or `piece`; a groove has none
  std::optional<std::size_t> section;
  std::optional<std::size_t> density;  ///< `density` or `mass`, for choosing; else not looked at
  PlaceFrom place_from = PlaceFrom::rod_tip;
  Lengths place;
  std::array<std::optional<Lengths>, kMostHeights> heights;
};

/// Reads the header row:
///   strips    strip, at_U or from_end_U, and of a_U, b_U, c_U one or more
///   sections  piece, at_U, and of f1_U, f2_U, f3_U one or more
///   groove    machine_at_U, gauge_U
/// and in any of them `section`, with strips `density` or `mass` too, in any order; U is in or mm.
/// Commas, semicolons or tabs stand between the columns (`csv_separator`).
/// Columns whose names carry no unit take `unit`; columns that carry another than `unit` are a
/// mistake. Nothing, and problems, if the file is no text or its header is wrong.
std::optional<ReadingColumns> read_columns(files::SourceText const& source,
                                           std::optional<Unit> unit, Problems& problems);

}  // namespace stripwright::inspection
