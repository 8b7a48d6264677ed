#include "selection/choose_rings.h"

#include "diagnostics/problem.h"
#include "selection/several_rings.h"

namespace stripwright::selection {

Found choose_rings(Pool const& pool, std::size_t rings, SearchLimits const& limits) {
  check_internal(
      rings > 0 && pool.strips.size() >= kRingSize * rings && pool.strips.size() <= kMostStrips,
      "a pool of too few or too many strips");
  Stopwatch watch(limits);
  if (rings == 1) return best_ring(pool, watch);
  auto found = one_after_another(pool, rings, watch);
  if (found.value.shortfall > 0 || watch.over_now()) return found;
  return best_together(pool, rings, std::move(found), watch);
}

}  // namespace stripwright::selection
