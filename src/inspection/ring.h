#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>

#include "files/source_text.h"
#include "inspection/stage.h"
#include "units/length.h"
#include "units/unit.h"

namespace stripwright {

inline constexpr std::size_t kStripsInARing = 6;

/// Which six strips make a section, in which order, and where their readings are.
struct Ring {
  std::string name;     ///< the ring file's own, without folder and ending
  std::string taper;    ///< path of the taper file
  std::string section;  ///< one of the taper's, as far as anybody knows before it is read
  Unit unit = Unit::inch;
  std::string rod;                                 ///< "" if it is not said
  std::string piece;                               ///< "" if it is not said
  std::array<std::string, kStripsInARing> strips;  ///< six different names
  /// How far each strip was moved towards the tip: at station x it shows its height at x + shift.
  std::array<Length, kStripsInARing> shifts;
  bool marked = true;  ///< f1 crosses strips 1 and 4, f2 2 and 5, f3 3 and 6
  /// Percent of dry mass when a stage was measured, where it is said.
  std::map<inspection::Stage, double> percent_moisture;
  /// Paths of the readings of each stage.
  std::map<inspection::Stage, std::string> readings;
};

/// Reads a ring file. Mistakes are errors, all told at once, and give nothing. Paths in it
/// start from its own folder.
std::optional<Ring> read_ring(files::SourceText const& source, Problems& problems);

}  // namespace stripwright
