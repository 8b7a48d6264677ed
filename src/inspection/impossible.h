#pragma once

#include <string>

#include "inspection/targets.h"

namespace stripwright::inspection {

/// True if a value can be a reading of something that should measure `target`: above 0, and
/// within half a power of ten of it (a factor of 3.16), so that it is of the same order of
/// magnitude. What is that far off was not cut wrong, it was read or written wrong.
bool can_be(Length value, Length target);

/// A reading to be guessed about.
struct DoubtfulReading {
  Station at;
  std::size_t height = 0;  ///< index into `heights_of(kind)`
  Length value;
  ReadingKind kind = ReadingKind::strips;
  std::optional<Unit> unit;              ///< in which it was written, if that is known
  Targets const& targets;                ///< of the section it was read in
  std::vector<Targets const*> sections;  ///< all that there are
};

/// Why a value may be off its target by far: the other unit, thousandths of one written as ones, a
/// slip of the point, across flats instead of a strip's height or the other way, stations counted
/// from the butt, another section. The one that fits best, "" if none comes within a quarter of the
/// reading.
std::string guess_about_value(DoubtfulReading const& odd);

/// Why a place, written in a unit, may be off the strip; "" if nothing fits. Lengths in the guess
/// are in `unit`.
std::string guess_about_place(Station at, Unit written, Targets const& targets, Unit unit);

/// For a whole strip that is off by a tenth or more where some of those reasons would bring
/// it within a thirtieth: the reason; "" otherwise. `readings` are the strip's.
std::string guess_about_strip(std::vector<DoubtfulReading> const& readings);

}  // namespace stripwright::inspection
