#pragma once

#include "selection/candidates.h"

namespace stripwright::selection {

/// What the glued section should measure at a station.
struct PredictedFlats {
  Station at;
  Length target;
  std::array<Length, kPairs> flats;  ///< over places 1 and 4 of the ring, 2 and 5, 3 and 6

  Length out_of_round() const;
  /// That of the three which is farthest from the target.
  Length worst_deviation() const;
  /// By what share the section's bending stiffness EI would be off, flats of the mean of the three:
  /// (1 + ΔD/D)⁴ - 1, D bare across flats.
  double stiffness_change = 0;
};

/// A node of a strip in a ring.
struct PlacedNode {
  std::size_t place;  ///< in the ring
  Station at;
};

/// Two nodes of neighbours that are nearest to each other.
struct NearestNodes {
  PlacedNode one;
  PlacedNode other;
  Length gap;
};

/// A place to keep clear and the node nearest to it.
struct NearestToPlace {
  PlacedNode node;
  Station place;
  Length distance;
};

/// The step between two neighbours, where their heights over target differ most: the opposite strip
/// may make up for a high one, its neighbours cannot.
struct WorstSeam {
  std::size_t place = 0;  ///< of the first of the two; the other is the next
  Station at;
  Length step;
};

/// All there is to tell of a chosen ring.
struct RingReport {
  Ring ring{};
  RingValue value;
  std::vector<PredictedFlats> stations;
  std::optional<NearestNodes> nearest_nodes;
  std::optional<NearestToPlace> nearest_to_place;
  WorstSeam worst_seam;
  bool within_limits = false;  ///< of the shop's tolerance of flats, at all stations
};

RingReport report_on(SectionPool const& pool, PoolOrder const& order, Ring const& ring);

/// What a strip that was left over could still do in a ring.
struct Substitute {
  std::size_t instead_of = 0;  ///< place in the ring
  std::size_t candidate = 0;
  RingValue value;  ///< of the ring with it
};

/// The place where a strip that is in no ring would do best.
Substitute best_place_for(Pool const& pool, Ring const& ring, std::size_t strip);

}  // namespace stripwright::selection
