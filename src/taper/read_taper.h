#pragma once

#include <optional>

#include "files/source_text.h"
#include "taper/taper.h"

namespace stripwright {

/// Reads a taper file. Mistakes are errors, all told at once, and give nothing.
/// What is odd but possible is a warning: flats under 1 mm or over 25 mm, a fall
/// towards the butt, a step of slope that no bar follows, a gap between sections, a
/// ferrule that is at no section's end or leaves no cane to turn down.
std::optional<Taper> read_taper(files::SourceText const& source, Problems& problems);

}  // namespace stripwright
