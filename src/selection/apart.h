#pragma once

#include <cstdint>
#include <vector>

#include "selection/pair_table.h"

namespace stripwright::selection {

/// A set of strips, as bits.
using Strips = std::uint64_t;

/// True if the first so many pairs have at least `wanted` that share no strip.
bool enough_apart(PairTable const& pairs, std::size_t count, std::size_t wanted,
                  std::size_t strips);

/// Sets that share nothing: the first of `sets` in lexicographic order of their places that has
/// `wanted` of them, all from `from` on and apart from `taken`.
bool first_apart(std::vector<Strips> const& sets, std::size_t from, std::size_t wanted,
                 Strips taken, std::vector<std::size_t>& chosen, std::size_t end);

}  // namespace stripwright::selection
