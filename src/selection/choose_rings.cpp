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
  if (watch.over_now()) return found;
  const auto least = found.bound.shortfall / static_cast<Nanometres>(rings);
  return best_together(pool, rings, least, std::move(found), watch);
}

}  // namespace stripwright::selection
