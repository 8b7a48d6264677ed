#pragma once

#include <string>
#include <vector>

#include "machine/section_setup.h"

namespace stripwright::machine {

/// What else there is to know of a pattern or a program of one section, a sentence or two each:
/// what the cutter leaves, what the follower misses, how far it goes and how long that takes. None
/// for machines that are set by screws.
std::vector<std::string> path_notes(SectionSetup const& setup, Unit unit);

/// Minutes as they are said: `40 s`, `12 min`, `1 h 5 min`.
std::string minutes_text(double minutes);

}  // namespace stripwright::machine
