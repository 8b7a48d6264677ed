#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "inspection/reading_rows.h"
#include "inspection/repeated.h"

namespace stripwright::inspection {

/// What was read at one place of a strip, section or groove.
struct PlaceReadings {
  Station at;
  std::array<Repeated, kMostHeights> heights;  ///< in the order of `heights_of`
  std::uint32_t targets = 0;                   ///< index into `Readings::targets`
  std::uint32_t offset = 0;                    ///< of its first row in the source
};

/// All readings of one strip, section or groove.
struct Piece {
  std::string name;
  std::size_t section = 0;            ///< index into the sections of the choice
  std::vector<PlaceReadings> places;  ///< by station, each once
};

/// The readings of a file, checked, with what each of them should be.
struct Readings {
  ReadingKind kind = ReadingKind::strips;
  std::vector<Piece> pieces;  ///< in order of appearance
  std::vector<PlaceTargets> targets;
  std::size_t left_out = 0;  ///< rows of sections that were not asked for
};

/// What readings are held against when they are read.
struct ReadingsOrder {
  SectionChoice choice;
  std::string nameless = "groove";  ///< the name where the file has no column for it
  Unit unit = Unit::inch;           ///< of messages
};

/// Reads the rows under a header that `read_columns` has read. The section is what the row's
/// column says; else the only one of the choice; else the one that holds all of the strip's
/// stations (without its spare, or, if that tells nothing, with it); else, for each row, the
/// one that alone holds its station. Readings of one height at one place (to a nanometre) are
/// brought together, rows standing in any order.
///
/// Mistakes are errors, all told at once, each at its line, and give nothing: what `read_rows`
/// refuses; a section that does not follow; a place off the strip; and a value that cannot be
/// of this taper: not above 0, or nearer to ten times or a tenth of its target than to the target
/// itself. The last two come with a guess at why. What nearly all rows have in common is told once
/// (`add_once`).
std::optional<Readings> read_readings(files::SourceText const& source,
                                      ReadingColumns const& columns, ReadingsOrder const& order,
                                      Problems& problems);

}  // namespace stripwright::inspection
