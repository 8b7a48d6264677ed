// The table of pairs, and which of them may stand side by side, from their definitions: coarse
// heights make many pairs alike.

#include "selection/pair_table.h"

#include <tuple>

#include "catch.h"
#include "selection/pools.h"

namespace stripwright::selection {
namespace {

Pool coarse_pool(unsigned seed) {
  PoolKind kind;
  kind.strips = 9;
  kind.shifts = 2;
  kind.stations = 3;
  kind.deviation_levels = 4;
  kind.nodes = 1;
  kind.min_gap = 3;
  kind.density_levels = 5;
  return random_pool(kind, seed);
}

TEST_CASE("pairs stand in the order of their deviation, alike ones in that of their strips") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const auto pool = coarse_pool(seed);
    const NodeGraph graph(pool);
    const std::vector<std::uint8_t> all(graph.classes() * graph.classes(), 1);
    PairTable table(pool, graph, all);
    // Every two candidates of different strips, each two once.
    REQUIRE(table.size() == 9 * 8 / 2 * 2 * 2);
    table.note_flats(pool, table.size());
    const auto order = [&](Pair const& pair) {
      auto const &a = pool.candidates[pair.first], &b = pool.candidates[pair.second];
      return std::tuple(pair.deviation, a.strip, b.strip, pair.first, pair.second);
    };
    for (std::size_t i = 0; i < table.size(); ++i) {
      INFO("seed " << seed << " pair " << i);
      auto const& pair = table[i];
      auto const &a = pool.candidates[pair.first], &b = pool.candidates[pair.second];
      REQUIRE(a.strip < b.strip);
      if (i > 0) REQUIRE(order(table[i - 1]) < order(pair));
      std::int32_t most = 0;
      for (std::size_t x = 0; x < 3; ++x)
        most = std::max(most, std::abs(a.deviation[x] + b.deviation[x]));
      CHECK(pair.deviation == most);
      CHECK(pair.imbalance ==
            std::abs(*pool.strips[a.strip].density - *pool.strips[b.strip].density));
      CHECK(pair.strips == (std::uint64_t{1} << a.strip | std::uint64_t{1} << b.strip));
      const auto upto = table.count_up_to(pair.deviation);
      CHECK(upto > i);
      CHECK((upto == table.size() || table[upto].deviation > pair.deviation));
      // How much its flats differ from those of some other pair.
      auto const& other = table[(i * 7 + 3) % table.size()];
      std::int32_t differ = 0;
      for (std::size_t x = 0; x < 3; ++x)
        differ = std::max(differ, std::abs(a.deviation[x] + b.deviation[x] -
                                           pool.candidates[other.first].deviation[x] -
                                           pool.candidates[other.second].deviation[x]));
      CHECK(table.difference(i, (i * 7 + 3) % table.size(), differ) == differ);
      if (differ > 0) CHECK(table.difference(i, (i * 7 + 3) % table.size(), differ - 1) >= differ);
    }
  }
}

TEST_CASE("two pairs may stand side by side if each strip of one may beside one of the other") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const auto pool = coarse_pool(seed);
    const NodeGraph graph(pool);
    const auto steps = steps_of_least(graph, 0);
    const PairTable table(pool, graph, steps);
    PairGraph pairs(pool, graph, steps, table, 0);
    pairs.grow(table.size() / 2);
    const auto apart = [&](std::size_t a, std::size_t b) {
      auto const &one = pool.candidates[a], &other = pool.candidates[b];
      return gap_shortfall(one.nodes, other.nodes, pool.min_gap) == 0;
    };
    PairGraph::Bits bits;
    for (std::size_t p = 0; p < table.size(); ++p) {
      pairs.beside(p, bits);
      std::vector<std::size_t> found;
      any_of_bits(bits, [&](std::size_t q) {
        found.push_back(q);
        return false;
      });
      std::vector<std::size_t> wanted;
      for (std::size_t q = 0; q < table.size() / 2; ++q) {
        auto const &one = table[p], &other = table[q];
        if ((one.strips & other.strips) != 0) continue;
        if ((apart(one.first, other.first) && apart(one.second, other.second)) ||
            (apart(one.first, other.second) && apart(one.second, other.first)))
          wanted.push_back(q);
      }
      INFO("seed " << seed << " pair " << p);
      CHECK(found == wanted);
    }
  }
}

}  // namespace
}  // namespace stripwright::selection
