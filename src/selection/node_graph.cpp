#include "selection/node_graph.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <map>

#include "diagnostics/problem.h"

namespace stripwright::selection {

NodeGraph::NodeGraph(Pool const& pool) {
  find_classes(pool);
  const std::size_t n = classes();
  steps_.assign(n * n, kNoStep);
  for (std::size_t u = 0; u < n; ++u)
    for (std::size_t v = u; v < n; ++v) {
      if (std::popcount(strips(u) | strips(v)) < 2) continue;
      const Nanometres step =
          2 * gap_shortfall(classes_[u].nodes, classes_[v].nodes, pool.min_gap) + classes_[u].own +
          classes_[v].own;
      steps_[u * n + v] = steps_[v * n + u] = step;
    }
}

void NodeGraph::find_classes(Pool const& pool) {
  std::map<std::pair<std::vector<Nanometres>, Nanometres>, std::size_t> known;
  for (std::size_t c = 0; c < pool.candidates.size(); ++c) {
    auto const& candidate = pool.candidates[c];
    const auto [found, is_new] =
        known.try_emplace({candidate.nodes, candidate.own_shortfall}, classes_.size());
    if (is_new) classes_.push_back({candidate.nodes, candidate.own_shortfall, 0, {}});
    classes_[found->second].strips |= std::uint64_t{1} << candidate.strip;
    classes_[found->second].candidates.push_back(c);
    class_of_.push_back(found->second);
    strip_of_.push_back(candidate.strip);
  }
}

std::size_t NodeGraph::candidate(std::size_t of_class, std::size_t strip) const {
  for (const std::size_t c : classes_[of_class].candidates)
    if (strip_of_[c] == strip) return c;
  check_internal(false, "a strip asked of a class that has it not");
  return 0;
}

namespace {

constexpr std::size_t kNone = kMostStrips;

/// Which strip each place of the ring has, every strip once at the most; places are taken and
/// given back in the manner of a stack.
class Strips {
 public:
  /// True if the classes so far and this one can have different strips.
  bool take(std::uint64_t strips) {
    wanted_[size_] = strips;
    given_[size_] = kNone;
    ++size_;
    std::uint64_t tried = 0;
    if (give(size_ - 1, tried)) return true;
    --size_;
    return false;
  }
  void give_back() { owner_[given_[--size_]] = kNone; }
  std::size_t strip(std::size_t place) const { return given_[place]; }

 private:
  /// A strip for the place, others moving to another of theirs for it (Kuhn's algorithm).
  bool give(std::size_t place, std::uint64_t& tried) {
    for (std::uint64_t left = wanted_[place] & ~tried; left != 0; left &= ~tried) {
      const auto strip = static_cast<std::size_t>(std::countr_zero(left));
      tried |= std::uint64_t{1} << strip;
      if (owner_[strip] == kNone || give(owner_[strip], tried)) {
        owner_[strip] = place;
        given_[place] = strip;
        return true;
      }
    }
    return false;
  }

  std::array<std::uint64_t, kRingSize> wanted_{};
  std::array<std::size_t, kRingSize> given_{};
  std::array<std::size_t, kMostStrips> owner_ = [] {
    std::array<std::size_t, kMostStrips> none{};
    none.fill(kNone);
    return none;
  }();
  std::size_t size_ = 0;
};

class ShortfallSearch {
 public:
  ShortfallSearch(NodeGraph const& graph, Stopwatch& watch) : graph_(graph), watch_(watch) {}

  LeastShortfall run() {
    const std::size_t n = graph_.classes();
    for (std::size_t first = 0; first < n && best_ > 0; ++first) {
      if (watch_.over_now() && found_) break;
      watch_.tell("node gaps", static_cast<double>(first) / static_cast<double>(n));
      find_ways_back(first);
      if (back_[kRingSize - 1][first] >= best_) continue;
      strips_.take(graph_.strips(first));
      places_[0] = first;
      go_on(1, 0);
      strips_.give_back();
    }
    check_internal(found_, "no ring from six strips");
    // With time over, what was not looked at may lack nothing at all.
    return {best_ / 2, watch_.over_now() ? 0 : best_ / 2, ring_};
  }

 private:
  /// back_[k][v]: the shortest way of k + 1 steps from v to the first class, over classes that
  /// do not come before it, for the ring begins with its first.
  void find_ways_back(std::size_t first) {
    const std::size_t n = graph_.classes();
    for (auto& ways : back_) ways.assign(n, NodeGraph::kNoStep);
    for (std::size_t v = first; v < n; ++v) back_[0][v] = graph_.step(v, first);
    for (std::size_t k = 1; k < kRingSize; ++k)
      for (std::size_t v = first; v < n; ++v) {
        if (k == kRingSize - 1 && v != first) continue;
        auto least = NodeGraph::kNoStep;
        for (std::size_t u = first; u < n; ++u)
          least = std::min(least, graph_.step(v, u) + back_[k - 1][u]);
        back_[k][v] = least;
      }
  }

  void go_on(std::size_t place, Nanometres so_far) {
    if (place == kRingSize) {
      best_ = so_far + graph_.step(places_[place - 1], places_[0]);
      found_ = true;
      for (std::size_t i = 0; i < kRingSize; ++i)
        ring_[i] = graph_.candidate(places_[i], strips_.strip(i));
      return;
    }
    struct Next {
      Nanometres at_least;
      std::size_t to;
    };
    std::vector<Next> next;
    const std::size_t from = places_[place - 1];
    auto const& back = back_[kRingSize - 1 - place];
    for (std::size_t to = places_[0]; to < graph_.classes(); ++to) {
      const Nanometres at_least = so_far + graph_.step(from, to) + back[to];
      if (at_least < best_) next.push_back({at_least, to});
    }
    std::stable_sort(next.begin(), next.end(),
                     [](Next const& a, Next const& b) { return a.at_least < b.at_least; });
    for (auto const& [at_least, to] : next) {
      if (at_least >= best_ || (watch_.over() && found_)) return;
      if (!strips_.take(graph_.strips(to))) continue;
      places_[place] = to;
      go_on(place + 1, so_far + graph_.step(from, to));
      strips_.give_back();
    }
  }

  NodeGraph const& graph_;
  Stopwatch& watch_;
  std::array<std::vector<Nanometres>, kRingSize> back_;
  std::array<std::size_t, kRingSize> places_{};
  Strips strips_;
  Nanometres best_ = NodeGraph::kNoStep;  // twice the shortfall
  bool found_ = false;
  Ring ring_{};
};

using Ways = std::vector<double>;  // whole numbers below 2^53: exact, and fast to compare

/// The shortest ways from u to v, first by one, then by the other.
Ways joined(Ways const& one, Ways const& other, std::size_t n) {
  Ways out(n * n, std::numeric_limits<double>::infinity());
  for (std::size_t u = 0; u < n; ++u)
    for (std::size_t k = 0; k < n; ++k) {
      const double first = one[u * n + k];
      double const* second = &other[k * n];
      double* to = &out[u * n];
      for (std::size_t v = 0; v < n; ++v) to[v] = std::min(to[v], first + second[v]);
    }
  return out;
}

}  // namespace

LeastShortfall least_shortfall(NodeGraph const& graph, Stopwatch& watch) {
  return ShortfallSearch(graph, watch).run();
}

std::vector<std::uint8_t> steps_of_least(NodeGraph const& graph, Nanometres least_shortfall) {
  const std::size_t n = graph.classes();
  std::vector<std::uint8_t> out(n * n);
  if (least_shortfall == 0) {
    for (std::size_t u = 0; u < n; ++u)
      for (std::size_t v = 0; v < n; ++v) out[u * n + v] = graph.step(u, v) == 0;
    return out;
  }
  Ways one(n * n);
  for (std::size_t u = 0; u < n; ++u)
    for (std::size_t v = 0; v < n; ++v) one[u * n + v] = static_cast<double>(graph.step(u, v));
  const Ways two = joined(one, one, n);
  const Ways five = joined(two, joined(one, two, n), n);
  const auto round = static_cast<double>(2 * least_shortfall);
  for (std::size_t i = 0; i < n * n; ++i) out[i] = one[i] + five[i] <= round;
  return out;
}

}  // namespace stripwright::selection
