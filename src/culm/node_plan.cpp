#include "culm/node_plan.h"

#include <algorithm>
#include <functional>

#include "selection/node_graph.h"

namespace stripwright::culm {
namespace {

using selection::kRingSize;
using selection::Nanometres;
using selection::Pool;

class Planner {
 public:
  explicit Planner(NodeTask const& task) : task_(task) {
    for (const Length by : task.displacements) {
      nodes_.push_back(selection::nodes_in_section(task.nodes, task.section, by));
      const auto beyond =
          selection::nodes_beyond_ends(task.nodes, task.section, task.spare, by, task.rules);
      own_.push_back(selection::keep_clear_shortfall(nodes_.back(), task.rules) +
                     selection::keep_clear_shortfall(beyond, task.rules));
    }
  }

  std::vector<NodePlan> plans() {
    std::vector<NodePlan> out;
    struct Pattern {
      std::string name;
      std::size_t steps;  // between the first strip and the one that is moved most
      std::function<std::size_t(std::size_t)> of_place;
    };
    const Pattern patterns[] = {
        {"all alike", 0, [](std::size_t) { return 0; }},
        {"two groups of three, every other strip alike", 1, [](std::size_t i) { return i % 2; }},
        {"three groups of two, opposite strips alike", 2, [](std::size_t i) { return i % 3; }},
        {"a spiral, each strip farther than the one before", 5, [](std::size_t i) { return i; }},
    };
    for (auto const& pattern : patterns)
      if (auto plan = best_of(pattern.steps, pattern.of_place)) {
        plan->name = pattern.name;
        out.push_back(std::move(*plan));
      }
    if (!task_.displacements.empty()) out.push_back(best_free());
    return out;
  }

 private:
  using Places = std::array<std::size_t, kRingSize>;  // indices of displacements

  Nanometres shortfall(Places const& places) const {
    Nanometres sum = 0;
    for (std::size_t i = 0; i < kRingSize; ++i)
      sum += own_[places[i]] +
             selection::gap_shortfall(nodes_[places[i]], nodes_[places[(i + 1) % kRingSize]],
                                      selection::to_nanometres(task_.rules.min_gap));
    return sum;
  }

  NodePlan plan_of(Places const& places) const {
    NodePlan out;
    out.shortfall = selection::to_length(shortfall(places));
    for (std::size_t i = 0; i < kRingSize; ++i) {
      out.displaced.push_back(task_.displacements[places[i]]);
      for (const auto a : nodes_[places[i]])
        for (const auto b : nodes_[places[(i + 1) % kRingSize]]) {
          const Length gap = selection::to_length(std::abs(a - b));
          if (!out.nearest || gap < *out.nearest) out.nearest = gap;
        }
    }
    const auto [least, most] = std::minmax_element(out.displaced.begin(), out.displaced.end());
    out.cane = *most - *least;
    return out;
  }

  bool better(NodePlan const& one, NodePlan const& other) const {
    const auto from_zero = [](NodePlan const& plan) {
      Length sum;
      for (const Length by : plan.displaced) sum += abs(by);
      return sum;
    };
    const auto towards_tip = [](NodePlan const& plan) {
      Length sum;
      for (const Length by : plan.displaced) sum += by;
      return sum;
    };
    if (!same_place(one.shortfall, other.shortfall)) return one.shortfall < other.shortfall;
    if (!same_place(one.cane, other.cane)) return one.cane < other.cane;
    if (!same_place(from_zero(one), from_zero(other))) return from_zero(one) < from_zero(other);
    return towards_tip(one) > towards_tip(other) + kSamePlace;
  }

  std::optional<NodePlan> best_of(std::size_t steps,
                                  std::function<std::size_t(std::size_t)> const& of_place) const {
    std::optional<NodePlan> best;
    const std::size_t n = task_.displacements.size();
    for (std::size_t by = 1; by <= n; ++by) {
      if (steps * by >= n && steps > 0) break;
      for (std::size_t first = 0; first + steps * by < n; ++first)
        for (const bool towards_tip : {true, false}) {
          Places places{};
          for (std::size_t i = 0; i < kRingSize; ++i)
            places[i] = first + by * (towards_tip ? of_place(i) : steps - of_place(i));
          auto plan = plan_of(places);
          if (!best || better(plan, *best)) best = std::move(plan);
        }
      if (steps == 0) break;
    }
    return best;
  }

  /// Strips of one culm are alike, so any of them can have any displacement.
  Pool pool(std::size_t from, std::size_t to) const {
    Pool out;
    out.min_gap = selection::to_nanometres(task_.rules.min_gap);
    for (std::size_t s = 0; s < kRingSize; ++s) {
      out.strips.push_back({"", std::nullopt});
      for (std::size_t k = from; k < to; ++k)
        out.candidates.push_back({s, task_.displacements[k], {}, nodes_[k], {}, own_[k]});
    }
    return out;
  }

  NodePlan free_within(std::size_t from, std::size_t to) const {
    const auto choice = pool(from, to);
    const selection::NodeGraph graph(choice);
    const selection::SearchLimits limits;
    selection::Stopwatch watch(limits);
    const auto least = selection::least_shortfall(graph, watch);
    Places places{};
    for (std::size_t i = 0; i < kRingSize; ++i) places[i] = from + least.ring[i] % (to - from);
    return plan_of(places);
  }

  /// The least that any placing lacks; then the shortest stretch of displacements that has one.
  NodePlan best_free() const {
    const std::size_t n = task_.displacements.size();
    NodePlan best = free_within(0, n);
    bool done = false;
    for (std::size_t width = 1; width < n && !done; ++width)
      for (std::size_t from = 0; from + width <= n; ++from) {
        auto plan = free_within(from, from + width);
        if (plan.shortfall > best.shortfall + kSamePlace) continue;
        if (!done || better(plan, best)) best = std::move(plan);
        done = true;
      }
    best.name = "free choice";
    return best;
  }

  NodeTask const& task_;
  std::vector<std::vector<Nanometres>> nodes_;  // of each displacement
  std::vector<Nanometres> own_;
};

}  // namespace

std::vector<NodePlan> node_plans(NodeTask const& task) { return Planner(task).plans(); }

}  // namespace stripwright::culm
