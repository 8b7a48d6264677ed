#pragma once

#include <optional>
#include <string>
#include <vector>

#include "culm/culms.h"
#include "culm/node_plan.h"
#include "culm/stack.h"

namespace stripwright::culm {

/// A length whose strips of one section are split already: one piece of a culm file, or several
/// that overlap, cut from it at different places for their nodes.
struct SplitLength {
  Stretch where;           ///< from the thin end: the first strip's start to the last one's end
  std::size_t strips = 0;  ///< that are named; 0 if nobody named them
  bool placed = false;     ///< its strips start at different places
};

/// The lengths that the pieces of one section come from, by where they start. A piece that starts
/// before the first one of a length ends, belongs to it. `strip_length` above 0.
std::vector<SplitLength> split_lengths(std::vector<CulmPiece> const& pieces,
                                       std::string const& section, Length strip_length);

/// What a length of culm is to the work.
enum class LengthState {
  split,     ///< its strips are there
  to_saw,    ///< by the cutting of the stack
  possible,  ///< as good as any other: no cutting of the stack asks for it
};

/// A length of culm for one section, and how the nodes in it can be placed.
struct SectionLength {
  LengthState state = LengthState::possible;
  Stretch where;        ///< from the thin end, what strips cut farther along take included
  Length room;          ///< beyond its end, that nothing else takes
  bool placed = false;  ///< its strips are cut at different places already, so there is no plan
  std::optional<NodeTask> task;
  std::vector<NodePlan> plans;

  /// Whether its nodes can be placed within the rules, or there is nothing to place.
  bool keeps_rules() const;
};

/// The nodes of a culm as stations of a strip, spare and all, that starts at `starts_at` and is not
/// moved, and the displacements that are open to it: multiples of `step` within its spare, and
/// `farther` beyond it towards the thick end, up to 300 mm and 120 of them.
NodeTask node_task(std::vector<Length> const& nodes, Length starts_at, Length farther, Length step,
                   NodeTask const& without);

/// Lengths that are sawn off one after the other from `stretch`, its thin end first; of each its
/// section, in `sections`, whose strips are `strip_lengths` long. Each keeps to its spare where
/// that is enough for the node rules, else it is sawn so much longer as its best way asks for and
/// the stretch has left; the last may take all that is left. `tasks` has what is known of each
/// section but nodes and displacements. Lengths that do not fit are the caller's mistake.
std::vector<SectionLength> lengths_along(Stretch const& stretch,
                                         std::vector<std::size_t> const& sections,
                                         std::vector<Length> const& strip_lengths,
                                         std::vector<NodeTask> const& tasks,
                                         std::vector<Length> const& nodes, Length step);

}  // namespace stripwright::culm
