#pragma once

#include "selection/best_ring.h"

namespace stripwright::selection {

/// The pool without some of its strips, and where each of its candidates stood before.
struct Rest {
  Pool pool;
  std::vector<std::size_t> candidate_was;
};
Rest without(Pool const& pool, std::uint64_t strips);

/// Rings one after another, each the best of the strips that are left. Not proven as a whole: the
/// bound is the least that a single ring can lack to the node rules, as many times.
Found one_after_another(Pool const& pool, std::size_t rings, Stopwatch& watch);

/// The best so many rings together of which each lacks no more to the node rules than the best
/// single ring must, `least`: where there are such, none can lack less in all. `known`, unproven,
/// if there are not or if that cannot be found out.
Found best_together(Pool const& pool, std::size_t rings, Nanometres least, Found known,
                    Stopwatch& watch);

}  // namespace stripwright::selection
