#pragma once

#include "selection/best_ring.h"

namespace stripwright::selection {

/// The best rings of one section, so many, from one pool; no strip is in two of them. The pool
/// needs six strips for each.
///
/// One ring is proven best unless the time is over. Several are proven best together: the
/// shortfalls added up, then the worst of each aim over all of them. Where they cannot all lack as
/// little to the node rules as one alone (nothing, mostly), or there are too many rings to go
/// through, each is the best of what the ones before it left, and the whole is not called proven.
Found choose_rings(Pool const& pool, std::size_t rings, SearchLimits const& limits);

}  // namespace stripwright::selection
