#pragma once

#include <optional>
#include <string>
#include <vector>

#include "selection/node_rules.h"

namespace stripwright::culm {

/// What the placing of nodes has to go by: strips of one culm, which all have its nodes.
struct NodeTask {
  RodSection section;
  Spare spare;  ///< of a strip, beyond the section's ends
  selection::NodeRules rules;
  std::vector<Station> nodes;         ///< of a strip that is not moved
  std::vector<Length> displacements;  ///< that a strip may have towards the tip, increasing
};

/// One way to place the six strips.
struct NodePlan {
  std::string name;               ///< in plain words
  std::vector<Length> displaced;  ///< of each place round the section, towards the tip
  Length shortfall;               ///< of the node rules in all; 0 if it keeps them
  std::optional<Length> nearest;  ///< of two nodes of neighbours
  Length cane;                    ///< between the least and the most displaced strip
};

/// The regular ways to place nodes (common practice): strips not moved against each other; two
/// groups of three, every other strip moved; three groups of two, opposite strips alike; a spiral,
/// each strip moved on from the one before. Of each the one that lacks least, of those the one that
/// takes least cane, nearest to 0, of two as near that towards the tip: that far a strip starts
/// along its culm, which a culm file can say. Last the best free choice by the same measure. Those
/// that cannot be had for want of displacements are left out.
std::vector<NodePlan> node_plans(NodeTask const& task);

}  // namespace stripwright::culm
