#include "selection/several_rings.h"

#include <algorithm>
#include <limits>
#include <unordered_map>

#include "diagnostics/problem.h"
#include "selection/apart.h"

namespace stripwright::selection {
namespace {

Strips strips_of(Pool const& pool, Ring const& ring) {
  Strips out = 0;
  for (const auto c : ring) out |= Strips{1} << pool.candidates[c].strip;
  return out;
}

/// Three pairs that make a ring.
struct Triple {
  std::array<std::uint32_t, kPairs> pairs{};
  std::array<std::uint32_t, kPairs> ranks{};
  std::int32_t out_of_round = 0;
  std::int64_t imbalance = 0;
  Strips strips = 0;
};

class TogetherSearch {
 public:
  TogetherSearch(Pool const& pool, NodeGraph const& graph, std::size_t rings, Nanometres least,
                 Found known, Stopwatch& watch)
      : pool_(pool),
        rings_(rings),
        least_in_all_(least * static_cast<Nanometres>(rings)),
        found_(std::move(known)),
        watch_(watch),
        steps_(steps_of_least(graph, least)),
        pairs_(pool, graph, steps_),
        graph_(pool, graph, steps_, pairs_, least) {
    bound_.shortfall = least_in_all_;
    most_seen_ = found_.value.shortfall > least_in_all_ ? kMostWhereOpen : kMostRings;
  }

  Found run() {
    found_.proven = find_deviation() && find_out_of_round() && find_imbalance() && find_names();
    found_.value = value_of(pool_, found_.rings);
    found_.bound = bound_;
    check_internal(!found_.proven || found_.value == bound_, "proven rings that are not the best");
    return std::move(found_);
  }

 private:
  /// Calls `act` with each ring that has pair p and two that come before it, whose flats differ
  /// by no more than `limit` where those are noted. False if there are too many, or time is over.
  template <class Act>
  bool each_ring_with(std::size_t p, std::int32_t limit, Act act) {
    graph_.beside(p, beside_);
    list_.clear();
    any_of_bits(beside_, [&](std::size_t q) {
      if (q < p && (!noted_ || pairs_.difference(p, q, limit) <= limit))
        list_.push_back(static_cast<std::uint32_t>(q));
      return false;
    });
    for (std::size_t i = 1; i < list_.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) {
        const auto q = list_[i];
        const auto r = list_[j];
        if (watch_.over() || seen_ > most_seen_) return false;
        if ((pairs_[q].strips & pairs_[r].strips) != 0) continue;
        if (noted_ && pairs_.difference(q, r, limit) > limit) continue;
        ++seen_;
        if (!graph_.ring_of(p, q, r)) continue;
        if (!act(triple(p, q, r))) return true;
      }
    return true;
  }

  Triple triple(std::size_t p, std::size_t q, std::size_t r) const {
    Triple out;
    out.pairs = {static_cast<std::uint32_t>(p), static_cast<std::uint32_t>(q),
                 static_cast<std::uint32_t>(r)};
    out.ranks = {pairs_[p].rank, pairs_[q].rank, pairs_[r].rank};
    std::sort(out.ranks.begin(), out.ranks.end());
    if (noted_)
      out.out_of_round = std::max({pairs_.difference(p, q, kMost), pairs_.difference(p, r, kMost),
                                   pairs_.difference(q, r, kMost)});
    out.imbalance = std::max({pairs_[p].imbalance, pairs_[q].imbalance, pairs_[r].imbalance});
    out.strips = pairs_[p].strips | pairs_[q].strips | pairs_[r].strips;
    return out;
  }

  void keep(std::vector<Triple> const& triples) {
    found_.rings.clear();
    for (auto const& each : triples)
      found_.rings.push_back(*graph_.ring_of(each.pairs[0], each.pairs[1], each.pairs[2]));
    std::sort(found_.rings.begin(), found_.rings.end());
  }

  /// Pairs are taken in one by one. Whether the rings so far have enough among them that share
  /// no strip only depends on which strips each has, so one ring of the same six is enough.
  bool find_deviation() {
    if (!enough_apart(pairs_, pairs_.size(), kPairs * rings_, pool_.strips.size())) return false;
    std::size_t least = 0;
    for (std::size_t most = pairs_.size(); least < most;) {
      const std::size_t middle = least + (most - least) / 2;
      if (enough_apart(pairs_, middle, kPairs * rings_, pool_.strips.size()))
        most = middle;
      else
        least = middle + 1;
    }
    std::unordered_map<Strips, std::size_t> known;
    std::vector<Strips> sets;
    std::vector<Triple> triples;
    for (std::size_t p = 0; p < pairs_.size(); ++p) {
      bound_.deviation = pairs_[std::max(p, least == 0 ? 0 : least - 1)].deviation;
      watch_.tell("largest deviation of several",
                  static_cast<double>(p) / static_cast<double>(pairs_.size()));
      bool done = false;
      const bool whole = each_ring_with(p, kMost, [&](Triple const& ring) {
        if (!known.try_emplace(ring.strips, sets.size()).second) return true;
        std::vector<std::size_t> chosen;
        done = p + 1 >= least && first_apart(sets, 0, rings_ - 1, ring.strips, chosen, sets.size());
        sets.push_back(ring.strips);
        triples.push_back(ring);
        if (!done) return true;
        std::vector<Triple> taken = {ring};
        for (const auto i : chosen) taken.push_back(triples[i]);
        keep(taken);
        return false;
      });
      if (done) return narrow_down(pairs_[p].deviation);
      if (!whole) return false;
      graph_.grow(p + 1);
    }
    bound_ = {least_in_all_, 0, 0, 0};
    return false;
  }

  bool narrow_down(std::int32_t deviation) {
    const auto all = pairs_.count_up_to(deviation);
    graph_.grow(all);
    pairs_.note_flats(pool_, all);
    noted_ = true;
    roundest_ = static_cast<std::int32_t>(value_of(pool_, found_.rings).out_of_round);
    return true;
  }

  /// Of the rings with the same strips the best by `aim`, or the first by name, all within what
  /// is known of the earlier aims.
  template <class Better>
  bool collect(Better better) {
    std::unordered_map<Strips, std::size_t> known;
    all_.clear();
    for (std::size_t p = 0; p < graph_.size(); ++p) {
      watch_.tell("rings together", static_cast<double>(p) / static_cast<double>(graph_.size()));
      const bool whole = each_ring_with(p, roundest_, [&](Triple const& ring) {
        if (ring.imbalance > most_imbalance_) return true;
        const auto [at, is_new] = known.try_emplace(ring.strips, all_.size());
        if (is_new)
          all_.push_back(ring);
        else if (better(ring, all_[at->second]))
          all_[at->second] = ring;
        return true;
      });
      if (!whole) return false;
    }
    std::sort(all_.begin(), all_.end(), better);
    sets_.clear();
    for (auto const& each : all_) sets_.push_back(each.strips);
    return true;
  }

  /// The least worst of an aim: rings are taken in by it until enough of them share no strip.
  template <class Aim>
  std::optional<Aim> least_worst(Aim Triple::*aim) {
    const auto better = [aim](Triple const& one, Triple const& other) {
      return one.*aim != other.*aim ? one.*aim < other.*aim : one.ranks < other.ranks;
    };
    if (!collect(better)) return std::nullopt;
    std::vector<std::size_t> chosen;
    for (std::size_t last = 0; last < sets_.size(); ++last) {
      chosen.clear();
      if (watch_.over()) return std::nullopt;
      if (!first_apart(sets_, 0, rings_ - 1, sets_[last], chosen, last)) continue;
      chosen.push_back(last);
      keep_chosen(chosen);
      return all_[last].*aim;
    }
    return std::nullopt;
  }

  void keep_chosen(std::vector<std::size_t> const& chosen) {
    std::vector<Triple> taken;
    for (const auto i : chosen) taken.push_back(all_[i]);
    keep(taken);
  }

  bool find_out_of_round() {
    const auto least = least_worst(&Triple::out_of_round);
    if (!least) return false;
    bound_.out_of_round = roundest_ = *least;
    return true;
  }

  bool find_imbalance() {
    if (!pool_.densities_known()) return true;
    const auto least = least_worst(&Triple::imbalance);
    if (!least) return false;
    bound_.imbalance = most_imbalance_ = *least;
    return true;
  }

  bool find_names() {
    if (!collect([](Triple const& one, Triple const& other) { return one.ranks < other.ranks; }))
      return false;
    std::vector<std::size_t> chosen;
    if (!first_apart(sets_, 0, rings_, 0, chosen, sets_.size())) return false;
    keep_chosen(chosen);
    return true;
  }

  static constexpr auto kMost = std::numeric_limits<std::int32_t>::max();
  /// What a search goes through before it gives up: a minute's work.
  static constexpr std::size_t kMostRings = 500'000'000;
  /// Less where it is open whether there are any rings of the kind that is looked for.
  static constexpr std::size_t kMostWhereOpen = kMostRings / 10;

  Pool const& pool_;
  std::size_t rings_;
  Nanometres least_in_all_;
  Found found_;
  Stopwatch& watch_;
  std::vector<std::uint8_t> steps_;
  PairTable pairs_;
  PairGraph graph_;
  PairGraph::Bits beside_;
  std::vector<std::uint32_t> list_;
  std::vector<Triple> all_;
  std::vector<Strips> sets_;
  RingValue bound_;
  std::int32_t roundest_ = kMost;
  std::int64_t most_imbalance_ = std::numeric_limits<std::int64_t>::max();
  std::size_t seen_ = 0;
  std::size_t most_seen_ = kMostRings;
  bool noted_ = false;
};

}  // namespace

Rest without(Pool const& pool, std::uint64_t strips) {
  Rest out;
  out.pool.stations = pool.stations;
  out.pool.min_gap = pool.min_gap;
  std::vector<std::size_t> is_now(pool.strips.size());
  for (std::size_t s = 0; s < pool.strips.size(); ++s) {
    if (strips >> s & 1) continue;
    is_now[s] = out.pool.strips.size();
    out.pool.strips.push_back(pool.strips[s]);
  }
  for (std::size_t c = 0; c < pool.candidates.size(); ++c) {
    if (strips >> pool.candidates[c].strip & 1) continue;
    out.pool.candidates.push_back(pool.candidates[c]);
    out.pool.candidates.back().strip = is_now[pool.candidates[c].strip];
    out.candidate_was.push_back(c);
  }
  return out;
}

Found one_after_another(Pool const& pool, std::size_t rings, Stopwatch& watch) {
  Found out;
  Strips used = 0;
  for (std::size_t i = 0; i < rings; ++i) {
    const auto rest = without(pool, used);
    const auto one = best_ring(rest.pool, watch);
    Ring ring{};
    for (std::size_t k = 0; k < kRingSize; ++k) ring[k] = rest.candidate_was[one.rings[0][k]];
    out.rings.push_back(ring);
    used |= strips_of(pool, ring);
    // What no single ring can be below, none of several can.
    if (i == 0) out.bound.shortfall = one.bound.shortfall * static_cast<Nanometres>(rings);
  }
  out.value = value_of(pool, out.rings);
  return out;
}

Found best_together(Pool const& pool, std::size_t rings, Nanometres least, Found known,
                    Stopwatch& watch) {
  const NodeGraph graph(pool);
  return TogetherSearch(pool, graph, rings, least, std::move(known), watch).run();
}

}  // namespace stripwright::selection
