#pragma once

#include "report/canvas.h"
#include "selection/prediction.h"
#include "units/unit.h"

namespace stripwright::selection {

/// What pictures of a ring show.
struct RingPicture {
  std::string title;
  std::array<std::string, kRingSize> names;  ///< "" where strips have none yet: `strip 1` and so on
  std::array<Length, kRingSize> shifts;
  std::array<std::vector<Station>, kRingSize> nodes;         ///< within the section
  std::array<std::vector<Station>, kRingSize> nodes_beyond;  ///< cut off, but near its end
  RodSection section;
  NodeRules rules;
  Unit unit = Unit::inch;
};

RingPicture picture_of(std::string title, Pool const& pool, PoolOrder const& order,
                       Ring const& ring, Unit unit);

/// The section's end as it is seen from the butt: six strips with their places and names, the
/// across flats that cross them, and how far each is moved. 400 units wide.
report::Canvas draw_ring(RingPicture const& picture);

/// The section unrolled: a band a strip, nodes where they come to lie, what is to be kept clear in
/// grey, also across the section's ends, where a node that is cut off still counts. The first strip
/// stands once more below the last, for they are neighbours. 720 units wide.
report::Canvas draw_unrolled(RingPicture const& picture);

/// Units to a millimetre on paper, of both.
inline constexpr double kPictureScale = 4;

}  // namespace stripwright::selection
