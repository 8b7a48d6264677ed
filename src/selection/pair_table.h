#pragma once

#include <optional>
#include <span>

#include "selection/node_graph.h"

namespace stripwright::selection {

/// Two candidates that face each other in a ring.
struct Pair {
  std::uint32_t first = 0;     ///< candidate; its strip comes before the second's
  std::uint32_t second = 0;    ///< candidate
  std::int32_t deviation = 0;  ///< of their flats from the target, the largest over all stations
  std::uint32_t rank = 0;      ///< among all pairs, by names, then shifts
  std::int64_t imbalance = 0;  ///< of density

  std::uint64_t strips = 0;  ///< the two of them, as bits
};

/// All pairs that a ring may have, the least deviation first, of equal ones the first by rank.
class PairTable {
 public:
  /// `steps` says which classes may stand side by side: a candidate that may stand beside nobody is
  /// in no pair.
  PairTable(Pool const& pool, NodeGraph const& graph, std::span<const std::uint8_t> steps);

  std::size_t size() const { return pairs_.size(); }
  Pair const& operator[](std::size_t i) const { return pairs_[i]; }
  /// How many pairs, from the first on, deviate no more than this.
  std::size_t count_up_to(std::int32_t deviation) const;

  /// Notes the flats of the first pairs, for `difference`.
  void note_flats(Pool const& pool, std::size_t count);
  /// The largest difference of the flats of two pairs at a station, or something above `limit`
  /// if it is above.
  std::int32_t difference(std::size_t one, std::size_t other, std::int32_t limit) const {
    std::int32_t const* a = &flats_[one * stations_];
    std::int32_t const* b = &flats_[other * stations_];
    std::int32_t most = 0;
    for (std::size_t x = 0; x < stations_; ++x) {
      const std::int32_t d = a[x] < b[x] ? b[x] - a[x] : a[x] - b[x];
      if (d > most) most = d;
      if (most > limit) return most;
    }
    return most;
  }

 private:
  std::vector<Pair> pairs_;
  std::vector<std::int32_t> flats_;  // of each pair, a station each
  std::size_t stations_ = 0;
};

/// Which pairs can stand side by side in a ring: no strip of one in the other, and the nodes of
/// each strip of one apart from those of a strip of the other. Pairs are taken into it one after
/// another in the order of the table. Sets of pairs are the bits of words.
class PairGraph {
 public:
  using Bits = std::vector<std::uint64_t>;

  PairGraph(Pool const& pool, NodeGraph const& graph, std::span<const std::uint8_t> steps,
            PairTable const& pairs, Nanometres shortfall);

  std::size_t size() const { return size_; }
  /// Takes in pairs until it has so many.
  void grow(std::size_t count);

  /// The pairs that can stand beside one, of those that are taken in.
  void beside(std::size_t pair, Bits& out) const;

  /// The ring that three pairs make, which lacks as much to the node rules as it must: there are
  /// four, of which the first by name is taken; nothing if none of them will do.
  std::optional<Ring> ring_of(std::size_t p, std::size_t q, std::size_t r) const;

 private:
  bool may_step(std::size_t one, std::size_t other) const { return steps_[one * classes_ + other]; }
  void make_room();

  Pool const& pool_;
  NodeGraph const& graph_;
  std::span<const std::uint8_t> steps_;
  PairTable const& pairs_;
  Nanometres shortfall_;
  std::size_t classes_;
  std::size_t size_ = 0;
  std::size_t words_ = 0;  // that each set has
  Bits beside_first_;      // of each class: pairs whose first may stand beside it
  Bits beside_second_;     // of each class: pairs whose second may
  Bits with_strip_;        // of each strip: pairs that have it
};

/// Calls `act` with each member of a set; stops and gives true as soon as `act` does.
template <class Act>
bool any_of_bits(PairGraph::Bits const& bits, Act act) {
  for (std::size_t w = 0; w < bits.size(); ++w)
    for (std::uint64_t left = bits[w]; left != 0; left &= left - 1)
      if (act(w * 64 + static_cast<std::size_t>(__builtin_ctzll(left)))) return true;
  return false;
}

}  // namespace stripwright::selection
