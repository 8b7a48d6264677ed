#pragma once

#include <vector>

#include "units/position.h"

namespace stripwright::machine {

/// Where a cutter stands: its place along the machine, and the height of its lowest point.
struct CutterPlace {
  MachinePosition x;
  Length z;
};

/// A straight move to a place.
struct Move {
  bool at_feed;  ///< at the feed; else as fast as the machine goes, cutting nothing
  CutterPlace to;
};

/// How far a cutter goes and how long that takes.
struct Travel {
  Length at_feed;
  Length fast;
  double minutes_at_feed = 0;  ///< fast moves are not in it: their speed is the machine's own
};

/// The travel of the moves one after the other from a place. The feed is the length gone in a
/// minute; 0 or below: std::logic_error.
Travel travel(CutterPlace from, std::vector<Move> const& moves, Length feed_per_minute);

}  // namespace stripwright::machine
