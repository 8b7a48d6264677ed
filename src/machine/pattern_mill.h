#pragma once

#include <vector>

#include "machine/cutter_points.h"
#include "machine/pattern_curve.h"

namespace stripwright::machine {

/// A point of the table: the cutter over the strip, and the pattern under the follower.
struct PatternPoint {
  CutterPoint cutter;
  Length pattern;
};

/// One pass over the pattern. There is one pattern, for the final strip; in earlier passes
/// the cutter stands higher by the same lift everywhere, which leaves h + lift, or the rough strip
/// where that is lower.
struct PatternPass {
  Pass pass;
  Length lift;  ///< of the cutter; the pattern could be raised by pattern_per_cutter times that
  std::vector<PatternPoint> points;  ///< over the strip, spare included, by machine position
};

/// A corner of the pattern as it is drawn.
struct DrawnPoint {
  MachinePosition x;
  Length height;
};

/// A pattern, and what the machine makes of it.
struct PatternSettings {
  std::vector<PatternPass> passes;
  /// The curved edge, by machine position, within `outline_tolerance`: over the strip and at each
  /// end so far beyond it that the follower has its pattern wherever the cutter touches the strip.
  std::vector<DrawnPoint> outline;
  std::vector<Rest> rests;           ///< what the cutter leaves, from 0.0001 mm on
  std::vector<Unreached> unreached;  ///< where the follower is too large, likewise (at the cutter)
  Length run;  ///< how far the slide goes in one pass while the cutter can touch the strip
};

/// The pattern for each section's strip. Points: see kPointTolerance, for cutter offset and
/// pattern alike, with all `stations` among them. `rough_height` is the rough strip's: it decides
/// how far before the strip's ends the cutter touches it. Unmet where the cutter leaves, or the
/// follower's miss takes off, more than the strip's tolerance inside the section.
PatternSettings set_pattern_mill(PatternMill const& mill, Job const& job,
                                 std::vector<Station> const& stations, Length rough_height,
                                 Problems& problems);

}  // namespace stripwright::machine
