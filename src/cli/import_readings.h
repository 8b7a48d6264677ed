#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/options.h"
#include "cli/taper_write.h"
#include "files/source_text.h"
#include "inspection/rod_pieces.h"
#include "inspection/rod_taper.h"
#include "taper/taper.h"

namespace stripwright::cli {

/// What `taper import` is asked for.
struct ImportOptions {
  std::string readings;
  FileTarget to;
  std::string columns;
  std::vector<std::string> pieces;
  std::string unit;
  bool from_butt = false;
  std::string rod_length;
  std::string uncertainty;
  CommonOptions common;  ///< shop, gauge, format
  std::string stations;
  bool leave_out = false;
  std::string measured = "bare";
  std::string between = "linear";
  std::string name;
  std::string about;
  std::vector<std::string> sections;
  std::vector<std::string> ferrules;
};

/// What was made of the readings of a rod.
struct Imported {
  inspection::RodReadings readings;
  std::optional<inspection::ReadingScatter> scatter;  ///< none: nothing is smoothed
  std::optional<Length> uncertainty;                  ///< of one reading
  std::vector<inspection::OddReading> odd;
  std::vector<inspection::RodStation> stations;
  Taper taper;
  std::string made_by;      ///< how the flats came about
  std::string sections_by;  ///< what is to be known of how its sections came about
};

/// Reads the table and makes a taper of it. Nothing, and problems, where that cannot be; readings
/// that are off are warnings.
std::optional<Imported> import_readings(ImportOptions const& options,
                                        files::SourceText const& source, Problems& problems);

}  // namespace stripwright::cli
