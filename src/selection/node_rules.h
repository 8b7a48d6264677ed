#pragma once

#include <vector>

#include "selection/pool.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::selection {

/// Where nodes are unwelcome in a section.
struct NodeRules {
  Length min_gap;     ///< that nodes of neighbours shall be apart
  Length keep_clear;  ///< of every place below
  std::vector<Station> places;
};

/// The places where a section's nodes are unwelcome: the rod's tip end and the section's joints,
/// and of the maker's own places those on it. The butt end of the rod lies under the grip.
std::vector<Station> places_to_keep_clear(Taper const& taper, RodSection const& section,
                                          std::vector<Station> const& own);

/// The nodes of a strip that lie within the section once it is moved by `shift` towards the tip,
/// increasing. `nodes` are stations of the strip as it lies unmoved.
std::vector<Nanometres> nodes_in_section(std::vector<Station> const& nodes,
                                         RodSection const& section, Length shift);

/// The nodes that are cut off with the spare, but lie so near to a section's end that is to be kept
/// clear that they count there: a node is no line across the strip, it swells over some length to
/// both sides, and a zone that stopped at the end would take one a hair beyond it for harmless.
/// `spare` is what there is of the strip beyond the section's ends, unmoved.
std::vector<Nanometres> nodes_beyond_ends(std::vector<Station> const& nodes,
                                          RodSection const& section, Spare const& spare,
                                          Length shift, NodeRules const& rules);

/// By how much nodes are too near to places that are to be kept clear: of every node and place what
/// they lack.
Nanometres keep_clear_shortfall(std::vector<Nanometres> const& nodes, NodeRules const& rules);

}  // namespace stripwright::selection
