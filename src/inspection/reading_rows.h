#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <vector>

#include "inspection/reading_columns.h"
#include "inspection/targets.h"

namespace stripwright::inspection {

/// One row of a readings file, as it is written: kept small, for there may be very many.
struct ReadingRow {
  std::uint32_t name = 0;                   ///< index into `ReadingRows::names`
  std::uint32_t offset = 0;                 ///< of the row in the source
  std::optional<std::uint8_t> section;      ///< as the column says, index into the order's sections
  Length place;                             ///< from where the columns say
  std::array<Length, kMostHeights> values;  ///< not finite where nothing is written
};

struct ReadingRows {
  std::deque<std::string> names;  ///< in order of appearance
  std::vector<ReadingRow> rows;
  std::size_t left_out = 0;  ///< rows of sections that were not asked for
  std::size_t seen = 0;      ///< rows in all, those that cannot be read among them
};

/// The sections that rows may belong to.
struct SectionChoice {
  std::vector<Targets const*> sections;
  std::vector<std::string> left_out;  ///< of the taper, but not asked for
};

/// Reads the rows under the header; every bad one is told by its line. `nameless` stands for
/// the name where there is no column for it.
ReadingRows read_rows(files::SourceText const& source, ReadingColumns const& columns,
                      SectionChoice const& choice, std::string_view nameless, Problems& problems);

/// True if the row has a value for the height at this index.
inline bool has(ReadingRow const& row, std::size_t height) { return row.values[height].finite(); }

}  // namespace stripwright::inspection
