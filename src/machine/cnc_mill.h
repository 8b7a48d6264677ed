#pragma once

#include <vector>

#include "machine/cutter_points.h"
#include "machine/travel.h"

namespace stripwright::machine {

/// One pass of the cutter over the strip.
struct CncPass {
  Pass pass;
  /// By machine position, from where the cutter comes down to where it goes up again: both lie
  /// beyond the strip's ends by more than the cutter's radius, and between them it runs on the
  /// exact curve, over the taper's extension before and behind the strip.
  std::vector<CutterPoint> way;
};

/// Passes of a milling machine that is moved by a program.
struct CncSettings {
  std::vector<CncPass> passes;
  std::vector<Rest> rests;  ///< what the last pass leaves, from 0.0001 mm on
  Travel travel;            ///< of all passes, from clear height over the first point
  bool can_run = true;      ///< false where no program is to be made: see the problems
};

/// The cutter's passes over each section's strip; for points and `stations` see
/// set_pattern_mill. Unmet, and no program to be made, where the clear height is not above the
/// rough strip and the cutter's way, or travel, feed or spindle leave the machine's limits;
/// unmet too where the cutter leaves more than the tolerance.
CncSettings set_cnc_mill(CncMill const& mill, Job const& job, std::vector<Station> const& stations,
                         Length rough_height, Problems& problems);

/// The moves of one pass, beginning and ending at clear height: over to where it begins, down at
/// the feed, along, up.
std::vector<Move> moves_of(CncPass const& pass, Length clear_height);

}  // namespace stripwright::machine
