#pragma once

#include <string>
#include <vector>

#include "inspection/rod_readings.h"
#include "taper/taper.h"

namespace stripwright::cli {

/// `tip=0:45`, or `tip=0:45:2` where two of it are to be made; lengths without a unit are in
/// `unit`. A problem where one is not so written; what sections may be, the taper's reader says.
std::vector<RodSection> parse_sections(std::vector<std::string> const& written, Unit unit,
                                       Problems& problems);
/// `45=13/64in`: where the ferrule is, and its bore.
std::vector<Ferrule> parse_ferrules(std::vector<std::string> const& written, Unit unit,
                                    Problems& problems);

/// False, and a problem, where stations cannot have been counted from the rod's tip end: pieces
/// that each were counted from their own end, or a rod that was counted from the other one, would
/// make a taper of nonsense. `from_butt` says that the readings were turned round already.
bool counted_from_the_tip(bool from_butt, files::SourceText const& source,
                          inspection::RodReadings const& readings, Problems& problems);

/// `tip from 0 mm to 700 mm, butt from 700 mm to 1400 mm`.
std::string section_words(std::vector<RodSection> const& sections, Unit unit);

}  // namespace stripwright::cli
