#pragma once

#include <cstddef>
#include <vector>

#include "files/map_reader.h"
#include "taper/taper.h"

namespace stripwright {

/// A value with the byte of the file it was written at.
template <class T>
struct Written {
  T value;
  std::size_t offset;
};

/// What is odd about sorted stations, but possible, as warnings: flats under 1 mm or over
/// 25 mm, a fall towards the butt, and on a linear taper a step of slope that no bar
/// follows. At least two stations, increasing.
void warn_of_odd_stations(std::vector<Written<TaperPoint>> const& points, Between between,
                          files::ReadContext const& context);

/// Errors: sections that are empty, run backwards, leave the taper (where it has its
/// two stations), overlap, or have the same file's name. A warning: a gap between two.
/// `sections` sorted from the tip.
void check_sections(std::vector<Written<RodSection>> const& sections, Taper const& taper,
                    files::ReadContext const& context);

/// Errors: a ferrule beyond the taper. Warnings: a ferrule at no section's end, or one
/// whose bore is larger than the flats there. The taper is whole and sound.
void check_ferrules(std::vector<Written<Ferrule>> const& ferrules, Taper const& taper,
                    files::ReadContext const& context);

}  // namespace stripwright
