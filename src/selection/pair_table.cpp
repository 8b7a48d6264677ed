#include "selection/pair_table.h"

#include <algorithm>
#include <cstdlib>

namespace stripwright::selection {
namespace {

std::int32_t largest_deviation(Candidate const& one, Candidate const& other) {
  std::int32_t most = 0;
  for (std::size_t x = 0; x < one.deviation.size(); ++x)
    most = std::max(most, std::abs(one.deviation[x] + other.deviation[x]));
  return most;
}

/// The candidates of each strip that may stand beside somebody.
std::vector<std::vector<std::uint32_t>> candidates_by_strip(Pool const& pool,
                                                            NodeGraph const& graph,
                                                            std::span<const std::uint8_t> steps) {
  const std::size_t n = graph.classes();
  std::vector<std::vector<std::uint32_t>> out(pool.strips.size());
  for (std::size_t c = 0; c < pool.candidates.size(); ++c) {
    const auto row = steps.subspan(graph.class_of(c) * n, n);
    if (std::any_of(row.begin(), row.end(), [](auto may) { return may != 0; }))
      out[pool.candidates[c].strip].push_back(static_cast<std::uint32_t>(c));
  }
  return out;
}

}  // namespace

PairTable::PairTable(Pool const& pool, NodeGraph const& graph, std::span<const std::uint8_t> steps)
    : stations_(pool.stations) {
  const bool balanced = pool.densities_known();
  const auto of_strip = candidates_by_strip(pool, graph, steps);
  for (std::size_t i = 0; i < of_strip.size(); ++i)
    for (std::size_t j = i + 1; j < of_strip.size(); ++j) {
      const std::int64_t imbalance =
          balanced ? std::abs(*pool.strips[i].density - *pool.strips[j].density) : 0;
      const auto strips = std::uint64_t{1} << i | std::uint64_t{1} << j;
      for (const auto a : of_strip[i])
        for (const auto b : of_strip[j])
          pairs_.push_back({a, b, largest_deviation(pool.candidates[a], pool.candidates[b]),
                            static_cast<std::uint32_t>(pairs_.size()), imbalance, strips});
    }
  std::sort(pairs_.begin(), pairs_.end(), [](Pair const& one, Pair const& other) {
    return one.deviation != other.deviation ? one.deviation < other.deviation
                                            : one.rank < other.rank;
  });
}

std::size_t PairTable::count_up_to(std::int32_t deviation) const {
  return static_cast<std::size_t>(
      std::upper_bound(pairs_.begin(), pairs_.end(), deviation,
                       [](std::int32_t d, Pair const& pair) { return d < pair.deviation; }) -
      pairs_.begin());
}

void PairTable::note_flats(Pool const& pool, std::size_t count) {
  flats_.resize(count * stations_);
  for (std::size_t i = 0; i < count; ++i) {
    auto const& a = pool.candidates[pairs_[i].first].deviation;
    auto const& b = pool.candidates[pairs_[i].second].deviation;
    for (std::size_t x = 0; x < stations_; ++x) flats_[i * stations_ + x] = a[x] + b[x];
  }
}

PairGraph::PairGraph(Pool const& pool, NodeGraph const& graph, std::span<const std::uint8_t> steps,
                     PairTable const& pairs, Nanometres shortfall)
    : pool_(pool),
      graph_(graph),
      steps_(steps),
      pairs_(pairs),
      shortfall_(shortfall),
      classes_(graph.classes()) {}

void PairGraph::make_room() {
  constexpr std::size_t kFewest = 16;
  const std::size_t words = std::max(kFewest, words_ * 2);
  const auto widen = [&](Bits& sets, std::size_t count) {
    Bits wider(count * words);
    for (std::size_t i = 0; i < count; ++i)
      std::copy_n(sets.begin() + static_cast<std::ptrdiff_t>(i * words_), words_,
                  wider.begin() + static_cast<std::ptrdiff_t>(i * words));
    sets = std::move(wider);
  };
  widen(beside_first_, classes_);
  widen(beside_second_, classes_);
  widen(with_strip_, pool_.strips.size());
  words_ = words;
}

void PairGraph::grow(std::size_t count) {
  for (; size_ < count; ++size_) {
    const std::size_t word = size_ / 64;
    if (word >= words_) make_room();
    const std::uint64_t bit = std::uint64_t{1} << size_ % 64;
    auto const& pair = pairs_[size_];
    const std::size_t first = graph_.class_of(pair.first);
    const std::size_t second = graph_.class_of(pair.second);
    for (std::size_t c = 0; c < classes_; ++c) {
      if (may_step(first, c)) beside_first_[c * words_ + word] |= bit;
      if (may_step(second, c)) beside_second_[c * words_ + word] |= bit;
    }
    for (const auto candidate : {pair.first, pair.second})
      with_strip_[pool_.candidates[candidate].strip * words_ + word] |= bit;
  }
}

void PairGraph::beside(std::size_t pair, Bits& out) const {
  const std::size_t first = graph_.class_of(pairs_[pair].first) * words_;
  const std::size_t second = graph_.class_of(pairs_[pair].second) * words_;
  const std::size_t one = pool_.candidates[pairs_[pair].first].strip * words_;
  const std::size_t other = pool_.candidates[pairs_[pair].second].strip * words_;
  out.resize((size_ + 63) / 64);
  for (std::size_t w = 0; w < out.size(); ++w) {
    const auto alike = beside_first_[first + w] & beside_second_[second + w];
    const auto crossed = beside_second_[first + w] & beside_first_[second + w];
    out[w] = (alike | crossed) & ~with_strip_[one + w] & ~with_strip_[other + w];
  }
}

// Round the section stand a, b, c and, opposite, a', b', c'. With the first pair as it is, b and
// b' can change places and so can c and c': that makes four rings. The order of the pairs
// makes no others: a, c', b', a', c, b is the first ring read backwards.
std::optional<Ring> PairGraph::ring_of(std::size_t p, std::size_t q, std::size_t r) const {
  std::optional<Ring> best;
  for (const bool q_turned : {false, true})
    for (const bool r_turned : {false, true}) {
      auto const& [a, a2] = std::pair(pairs_[p].first, pairs_[p].second);
      std::size_t b = pairs_[q].first;
      std::size_t b2 = pairs_[q].second;
      std::size_t c = pairs_[r].first;
      std::size_t c2 = pairs_[r].second;
      if (q_turned) std::swap(b, b2);
      if (r_turned) std::swap(c, c2);
      const Ring ring = {a, b, c, a2, b2, c2};
      Nanometres round = 0;
      bool good = true;
      for (std::size_t i = 0; i < kRingSize && good; ++i) {
        const auto one = graph_.class_of(ring[i]);
        const auto next = graph_.class_of(ring[(i + 1) % kRingSize]);
        good = may_step(one, next);
        round += graph_.step(one, next);
      }
      if (!good || round != 2 * shortfall_) continue;
      const Ring ordered = in_order(ring);
      if (!best || ordered < *best) best = ordered;
    }
  return best;
}

}  // namespace stripwright::selection
