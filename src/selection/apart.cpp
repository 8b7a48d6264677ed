#include "selection/apart.h"

// Boost's graphs still include what Boost itself calls old.
#define BOOST_ALLOW_DEPRECATED_HEADERS
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/max_cardinality_matching.hpp>

namespace stripwright::selection {

bool enough_apart(PairTable const& pairs, std::size_t count, std::size_t wanted,
                  std::size_t strips) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS>;
  Graph graph(strips);
  std::vector<bool> seen(strips * strips);
  for (std::size_t i = 0; i < count; ++i) {
    const auto one = static_cast<std::size_t>(__builtin_ctzll(pairs[i].strips));
    const auto other =
        static_cast<std::size_t>(__builtin_ctzll(pairs[i].strips & (pairs[i].strips - 1)));
    if (seen[one * strips + other]) continue;
    seen[one * strips + other] = true;
    boost::add_edge(one, other, graph);
  }
  std::vector<boost::graph_traits<Graph>::vertex_descriptor> mate(strips);
  boost::edmonds_maximum_cardinality_matching(graph, mate.data());
  return boost::matching_size(graph, mate.data()) >= wanted;
}

bool first_apart(std::vector<Strips> const& sets, std::size_t from, std::size_t wanted,
                 Strips taken, std::vector<std::size_t>& chosen, std::size_t end) {
  if (wanted == 0) return true;
  for (std::size_t i = from; i < end; ++i) {
    if ((sets[i] & taken) != 0) continue;
    chosen.push_back(i);
    if (first_apart(sets, i + 1, wanted - 1, taken | sets[i], chosen, end)) return true;
    chosen.pop_back();
  }
  return false;
}

}  // namespace stripwright::selection
