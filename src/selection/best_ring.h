#pragma once

#include "selection/pool.h"
#include "selection/stopwatch.h"

namespace stripwright::selection {

/// What a search has found.
struct Found {
  std::vector<Ring> rings;
  RingValue value;      ///< of all of them
  bool proven = false;  ///< that no others have a better value
  RingValue bound;      ///< no value can be below it; equal to `value` if it is proven
};

/// The best ring of a pool of six strips or more, proven unless the time is over. The aims
/// count in the order of `RingValue`; of rings that are alike in all of them the one whose pairs,
/// the pair with the first strip first, come first by name, and then by shifts nearest to 0.
///
/// How it is found: docs/choosing.md.
Found best_ring(Pool const& pool, Stopwatch& watch);

}  // namespace stripwright::selection
