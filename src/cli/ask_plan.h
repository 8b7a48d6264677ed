#pragma once

#include <string>
#include <vector>

#include "cli/check.h"
#include "inspection/reading_columns.h"

namespace stripwright::cli {

/// One reading to be asked for.
struct AskedReading {
  std::size_t section = 0;  ///< of the bench
  std::string name;
  Station at;
  std::size_t height = 0;  ///< index into `heights_of`
};

/// A reading that stands in the file already.
struct KeptReading {
  std::size_t section = 0;
  std::string name;
  Station at;
  std::size_t height = 0;
  Length value;
  std::size_t offset = 0;  ///< of its row
  bool alone = true;       ///< no other reading in its row
};

/// The columns of a new file: a section column where there are several sections, the taper's or
/// the asked-for unit.
std::string new_header(CheckBench const& bench, CheckOptions const& options);

/// All readings of a file in the order of its rows. The section is the row's own or the only one.
std::vector<KeptReading> kept_readings(CheckBench const& bench, files::SourceText const& source,
                                       inspection::ReadingColumns const& columns,
                                       Problems& problems);

/// What to ask for: section by section, strip by strip, from tip to butt (of a groove screw by
/// screw), the heights that --heights names. The strips are those of --strips; if left out those of
/// the file, and further ones up to the number that the rod needs. A problem where an option is
/// wrong or the file has no column for what is to be asked.
std::vector<AskedReading> plan_asking(CheckBench const& bench, CheckOptions const& options,
                                      inspection::ReadingColumns const& columns,
                                      std::vector<KeptReading> const& kept, Problems& problems);

/// The row of one reading, its value as it was typed; the columns of others stay empty.
std::string row_of(CheckBench const& bench, inspection::ReadingColumns const& columns,
                   AskedReading const& asked, std::string_view typed);

}  // namespace stripwright::cli
