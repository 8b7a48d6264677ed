#pragma once

#include <algorithm>
#include <functional>
#include <random>

#include "selection/pool.h"

namespace stripwright::selection {

/// What a random pool is like. Small numbers of levels make many rings that are alike.
struct PoolKind {
  std::size_t strips = 8;
  std::size_t shifts = 1;
  std::size_t stations = 4;
  int deviation_levels = 1000;  ///< heights differ by whole steps, so many either way
  std::size_t nodes = 0;        ///< of each strip
  int node_places = 12;         ///< a node lies at one of so many places
  Nanometres min_gap = 0;       ///< in steps of a node's place
  int own_levels = 0;           ///< own shortfalls are 0 to this, where above 0
  int density_levels = 0;       ///< 0: no densities
};

inline Pool random_pool(PoolKind const& kind, unsigned seed) {
  std::mt19937 random(seed);
  const auto upto = [&](int most) {
    return std::uniform_int_distribution<int>(0, std::max(0, most))(random);
  };
  Pool pool;
  pool.stations = kind.stations;
  pool.min_gap = kind.min_gap;
  for (std::size_t s = 0; s < kind.strips; ++s) {
    pool.strips.push_back({"s" + std::to_string(s + 1), std::nullopt});
    if (kind.density_levels > 0) pool.strips.back().density = 1 + upto(kind.density_levels);
    std::vector<Nanometres> nodes;
    for (std::size_t n = 0; n < kind.nodes; ++n) nodes.push_back(upto(kind.node_places));
    std::sort(nodes.begin(), nodes.end());
    for (std::size_t k = 0; k < kind.shifts; ++k) {
      Candidate candidate;
      candidate.strip = s;
      candidate.shift = to_length(static_cast<Nanometres>(k));
      for (std::size_t x = 0; x < kind.stations; ++x)
        candidate.deviation.push_back(upto(2 * kind.deviation_levels) - kind.deviation_levels);
      for (const auto node : nodes) candidate.nodes.push_back(node - static_cast<Nanometres>(k));
      candidate.own_shortfall = upto(kind.own_levels);
      pool.candidates.push_back(candidate);
    }
  }
  return pool;
}

/// Calls `act` with every ring that there is, each once: the first strip first, its neighbour with
/// the lower number next.
inline void every_ring(Pool const& pool, std::uint64_t strips_allowed,
                       std::function<void(Ring const&, std::uint64_t)> const& act) {
  Ring ring{};
  std::function<void(std::size_t, std::uint64_t)> go_on = [&](std::size_t place,
                                                              std::uint64_t used) {
    if (place == kRingSize) {
      if (ring[1] < ring[5]) act(ring, used);
      return;
    }
    for (std::size_t c = 0; c < pool.candidates.size(); ++c) {
      const auto strip = std::uint64_t{1} << pool.candidates[c].strip;
      if ((used & strip) != 0 || (strips_allowed & strip) == 0 || (place > 0 && c < ring[0]))
        continue;
      ring[place] = c;
      go_on(place + 1, used | strip);
    }
  };
  go_on(0, 0);
}

/// The pairs of a ring, each with its earlier candidate first, in their order: what decides
/// between rings that are alike in all aims, before their order round the section does.
inline std::array<std::pair<std::size_t, std::size_t>, kPairs> pairs_of(Pool const& pool,
                                                                        Ring const& ring) {
  std::array<std::pair<std::size_t, std::size_t>, kPairs> out;
  for (std::size_t p = 0; p < kPairs; ++p) out[p] = std::minmax({ring[p], ring[p + kPairs]});
  // By the strips of a pair, and only then by their shifts.
  std::sort(out.begin(), out.end(), [&](auto const& one, auto const& other) {
    const auto strip = [&](std::size_t c) { return pool.candidates[c].strip; };
    return std::tuple(strip(one.first), strip(one.second), one.first, one.second) <
           std::tuple(strip(other.first), strip(other.second), other.first, other.second);
  });
  return out;
}

}  // namespace stripwright::selection
