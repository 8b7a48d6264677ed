#include "selection/best_ring.h"

#include <algorithm>
#include <limits>

#include "diagnostics/problem.h"
#include "selection/pair_table.h"

namespace stripwright::selection {
namespace {

constexpr auto kMost = std::numeric_limits<std::int32_t>::max();

/// A pair that may stand beside the one that is looked at.
struct Neighbour {
  std::int64_t key;  ///< what they are sorted by
  std::uint32_t pair;
};

class RingSearch {
 public:
  RingSearch(Pool const& pool, NodeGraph const& graph, LeastShortfall const& least,
             Stopwatch& watch)
      : pool_(pool),
        watch_(watch),
        steps_(steps_of_least(graph, least.value)),
        pairs_(pool, graph, steps_),
        graph_(pool, graph, steps_, pairs_, least.value),
        best_(least.ring) {
    bound_.shortfall = least.value;
  }

  Found run() {
    const bool proven = find_deviation() && find_out_of_round() && find_imbalance() && find_names();
    const auto value = value_of(pool_, best_);
    check_internal(!proven || value == bound_, "the proven best ring is not what it should be");
    return {{best_}, value, proven, bound_};
  }

 private:
  /// The pair with which the first ring becomes possible when pairs are taken in one by one, the
  /// least deviation first: no ring can do with a smaller largest deviation.
  bool find_deviation() {
    PairGraph::Bits beside;
    PairGraph::Bits of_second;
    for (std::size_t p = 0; p < pairs_.size(); ++p) {
      bound_.deviation = pairs_[p].deviation;
      if (watch_.over()) return false;
      watch_.tell("largest deviation", static_cast<double>(p) / static_cast<double>(pairs_.size()));
      graph_.beside(p, beside);
      const bool ring = any_of_bits(beside, [&](std::size_t q) {
        graph_.beside(q, of_second);
        // Each two once: the third pair comes before the second.
        of_second.resize(q / 64 + 1);
        for (std::size_t w = 0; w < of_second.size(); ++w) of_second[w] &= beside[w];
        return any_of_bits(of_second, [&](std::size_t r) { return r < q && take(p, q, r); });
      });
      if (ring) return narrow_down(pairs_[p].deviation);
      graph_.grow(p + 1);
    }
    check_internal(false, "no ring of pairs where there is one of strips");
    return false;
  }

  bool take(std::size_t p, std::size_t q, std::size_t r) {
    const auto ring = graph_.ring_of(p, q, r);
    if (ring) best_ = *ring;
    return ring.has_value();
  }

  /// From now on only pairs up to the largest deviation count, and one of a ring's pairs has it:
  /// without one the ring would be better than can be.
  bool narrow_down(std::int32_t deviation) {
    const auto all = pairs_.count_up_to(deviation);
    graph_.grow(all);
    pairs_.note_flats(pool_, all);
    for (std::size_t p = all; p-- > 0 && pairs_[p].deviation == deviation;)
      decisive_.push_back(static_cast<std::uint32_t>(p));
    std::reverse(decisive_.begin(), decisive_.end());
    return true;
  }

  /// The pairs beside p that `key` has a value for, sorted by it.
  template <class Key>
  void list_neighbours(std::size_t p, Key key) {
    list_.clear();
    graph_.beside(p, beside_);
    any_of_bits(beside_, [&](std::size_t q) {
      if (const std::optional<std::int64_t> value = key(q))
        list_.push_back({*value, static_cast<std::uint32_t>(q)});
      return false;
    });
    std::sort(list_.begin(), list_.end(), [&](Neighbour const& one, Neighbour const& other) {
      return one.key != other.key ? one.key < other.key
                                  : pairs_[one.pair].rank < pairs_[other.pair].rank;
    });
  }

  bool apart(std::size_t q, std::size_t r) const {
    return (pairs_[q].strips & pairs_[r].strips) == 0;
  }

  /// How much the three flats of a ring differ is the largest difference of any two of them.
  /// Beside each pair with the largest deviation, the others are tried the nearest to it first.
  bool find_out_of_round() {
    std::int32_t best = kMost;
    bound_.out_of_round = 0;
    for (std::size_t i = 0; i < decisive_.size() && best > 0; ++i) {
      const std::size_t p = decisive_[i];
      watch_.tell("out of round", static_cast<double>(i) / static_cast<double>(decisive_.size()));
      list_neighbours(p, [&](std::size_t q) -> std::optional<std::int64_t> {
        const auto d = pairs_.difference(p, q, best - 1);
        return d < best ? std::optional<std::int64_t>(d) : std::nullopt;
      });
      for (std::size_t r = 1; r < list_.size() && list_[r].key < best; ++r)
        for (std::size_t q = 0; q < r; ++q) {
          if (watch_.over()) return false;
          if (!apart(list_[q].pair, list_[r].pair)) continue;
          const auto d = pairs_.difference(list_[q].pair, list_[r].pair, best - 1);
          const auto worst = std::max(static_cast<std::int32_t>(list_[r].key), d);
          if (worst < best && take(p, list_[q].pair, list_[r].pair)) best = worst;
        }
    }
    check_internal(best < kMost, "no ring beside the pair that allows one");
    bound_.out_of_round = best;
    return true;
  }

  std::int32_t roundest() const { return static_cast<std::int32_t>(bound_.out_of_round); }

  bool find_imbalance() {
    if (!pool_.densities_known()) return true;
    auto best = std::numeric_limits<std::int64_t>::max();
    for (std::size_t i = 0; i < decisive_.size() && best > 0; ++i) {
      const std::size_t p = decisive_[i];
      watch_.tell("balance", static_cast<double>(i) / static_cast<double>(decisive_.size()));
      if (pairs_[p].imbalance >= best) continue;
      list_neighbours(p, [&](std::size_t q) -> std::optional<std::int64_t> {
        if (pairs_[q].imbalance >= best || pairs_.difference(p, q, roundest()) > roundest())
          return std::nullopt;
        return pairs_[q].imbalance;
      });
      for (std::size_t r = 1; r < list_.size() && list_[r].key < best && pairs_[p].imbalance < best;
           ++r)
        for (std::size_t q = 0; q < r; ++q) {
          if (watch_.over()) return false;
          if (round_together(list_[q].pair, list_[r].pair) &&
              take(p, list_[q].pair, list_[r].pair)) {
            best = std::max(pairs_[p].imbalance, list_[r].key);
            break;
          }
        }
    }
    bound_.imbalance = best;
    return true;
  }

  bool round_together(std::size_t q, std::size_t r) const {
    return apart(q, r) && pairs_.difference(q, r, roundest()) <= roundest();
  }

  using Ranks = std::array<std::uint32_t, kPairs>;

  Ranks ranks(std::size_t p, std::size_t q, std::size_t r) const {
    Ranks out = {pairs_[p].rank, pairs_[q].rank, pairs_[r].rank};
    std::sort(out.begin(), out.end());
    return out;
  }

  /// The first ranks that a ring with this pair may have, its own and those of the first two
  /// pairs that share no strip with it and each other.
  Ranks first_ranks(std::size_t p, std::vector<std::uint32_t> const& by_rank) const {
    std::array<std::size_t, 2> others{p, p};
    std::uint64_t strips = pairs_[p].strips;
    std::size_t found = 0;
    for (std::size_t i = 0; i < by_rank.size() && found < others.size(); ++i) {
      if ((pairs_[by_rank[i]].strips & strips) != 0) continue;
      strips |= pairs_[by_rank[i]].strips;
      others[found++] = by_rank[i];
    }
    return ranks(p, others[0], others[1]);
  }

  /// Of all rings with the best value the first by name. With two others that come later, a ring
  /// comes later as well, so that beside each pair the first two that will do are the ones.
  bool find_names() {
    std::vector<std::uint32_t> by_rank(graph_.size());
    for (std::size_t i = 0; i < by_rank.size(); ++i) by_rank[i] = static_cast<std::uint32_t>(i);
    const auto earlier = [&](std::uint32_t a, std::uint32_t b) {
      return pairs_[a].rank < pairs_[b].rank;
    };
    std::sort(by_rank.begin(), by_rank.end(), earlier);
    std::sort(decisive_.begin(), decisive_.end(), earlier);
    Ranks best;
    best.fill(std::numeric_limits<std::uint32_t>::max());
    for (std::size_t i = 0; i < decisive_.size(); ++i) {
      const std::size_t p = decisive_[i];
      watch_.tell("names", static_cast<double>(i) / static_cast<double>(decisive_.size()));
      if (pairs_[p].imbalance > bound_.imbalance || first_ranks(p, by_rank) >= best) continue;
      list_neighbours(p, [&](std::size_t q) -> std::optional<std::int64_t> {
        if (pairs_[q].imbalance > bound_.imbalance ||
            pairs_.difference(p, q, roundest()) > roundest())
          return std::nullopt;
        return pairs_[q].rank;
      });
      if (!first_beside(p, best)) return false;
    }
    return true;
  }

  bool first_beside(std::size_t p, Ranks& best) {
    for (std::size_t q = 0; q + 1 < list_.size(); ++q)
      for (std::size_t r = q + 1; r < list_.size(); ++r) {
        if (watch_.over()) return false;
        const auto here = ranks(p, list_[q].pair, list_[r].pair);
        if (here >= best) {
          if (r == q + 1) return true;
          break;
        }
        if (!round_together(list_[q].pair, list_[r].pair) || !take(p, list_[q].pair, list_[r].pair))
          continue;
        best = here;
        return true;
      }
    return true;
  }

  Pool const& pool_;
  Stopwatch& watch_;
  std::vector<std::uint8_t> steps_;
  PairTable pairs_;
  PairGraph graph_;
  std::vector<std::uint32_t> decisive_;  // pairs with the largest deviation
  std::vector<Neighbour> list_;
  PairGraph::Bits beside_;
  Ring best_;
  RingValue bound_;
};

}  // namespace

Found best_ring(Pool const& pool, Stopwatch& watch) {
  const NodeGraph graph(pool);
  const auto least = least_shortfall(graph, watch);
  if (least.bound < least.value || watch.over_now()) {
    const Ring ring = in_order(least.ring);
    return {{ring}, value_of(pool, ring), false, {least.bound, 0, 0, 0}};
  }
  return RingSearch(pool, graph, least, watch).run();
}

}  // namespace stripwright::selection
