#pragma once

#include <vector>

#include "selection/pool.h"
#include "selection/stopwatch.h"

namespace stripwright::selection {

/// What the nodes of candidates have to do with each other. Candidates with the same nodes (strips
/// of one culm, moved alike) are one class, and only classes are held against each other.
///
/// A step from one strip to its neighbour in the ring counts
///   step(u, v) = 2 gap_shortfall(u, v) + own(u) + own(v),
/// so that the six steps round a ring make up twice its shortfall.
class NodeGraph {
 public:
  explicit NodeGraph(Pool const& pool);

  std::size_t classes() const { return classes_.size(); }
  std::size_t class_of(std::size_t candidate) const { return class_of_[candidate]; }
  /// The strips of a class, as bits.
  std::uint64_t strips(std::size_t of_class) const { return classes_[of_class].strips; }
  /// kNoStep for a class of a single strip with itself, or two classes of the same single strip.
  Nanometres step(std::size_t one, std::size_t other) const {
    return steps_[one * classes() + other];
  }
  /// Far above any shortfall, and small enough that seven of it can be added up.
  static constexpr Nanometres kNoStep = Nanometres{1} << 58;

  /// A candidate of this class and strip.
  std::size_t candidate(std::size_t of_class, std::size_t strip) const;

 private:
  struct Class {
    std::vector<Nanometres> nodes;
    Nanometres own = 0;
    std::uint64_t strips = 0;
    std::vector<std::size_t> candidates;
  };

  void find_classes(Pool const& pool);

  std::vector<Class> classes_;
  std::vector<std::size_t> class_of_;
  std::vector<std::size_t> strip_of_;
  std::vector<Nanometres> steps_;
};

/// The least total shortfall that six different strips can have in a ring.
struct LeastShortfall {
  Nanometres value = 0;
  Nanometres bound = 0;  ///< it cannot be below; equal to `value` once that is proven
  Ring ring{};           ///< one that has it
};

/// Exact, by branch and bound round the ring: it goes on from strip to strip as long as what
/// was counted so far and the shortest way back to the first, in as many steps as are left,
/// stay below the best ring known. The way back may use a strip again, so it is never
/// too long. Needs six strips.
LeastShortfall least_shortfall(NodeGraph const& graph, Stopwatch& watch);

/// Which steps a ring with the least shortfall may have, by class: those on a way of six steps
/// round, strips used again or not, that adds up to it. With a least shortfall of 0 these are the
/// steps that cost nothing.
std::vector<std::uint8_t> steps_of_least(NodeGraph const& graph, Nanometres least_shortfall);

}  // namespace stripwright::selection
