#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "section/height_curve.h"

namespace stripwright::section {

/// Further than any machine or rod reaches, from where the outermost pieces are level or
/// straight for good.
inline constexpr Length kFarAway = Length::millimetres(1e6);

/// Where a function that is monotone from a to b passes 0, if it does so strictly between
/// them: in closed form if it is straight there, else by bracketing to the last bits.
std::optional<Station> crossing(std::function<Length(Station)> const& over, Station a, Station b,
                                bool straight);

/// All places where the curve passes a level, increasing. The curve has to be monotone
/// between its corners.
std::vector<Station> crossings(HeightCurve const& curve, Length level);

/// The lowest and highest of the curve over [from, to], it being monotone between corners.
struct Extent {
  Station lowest_at;
  Length lowest;
  Length highest;
};
Extent extent(HeightCurve const& curve, Station from, Station to);

}  // namespace stripwright::section
