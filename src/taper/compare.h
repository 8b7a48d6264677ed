#pragma once

#include <optional>
#include <span>
#include <vector>

#include "taper/taper.h"

namespace stripwright {

/// What sets one taper apart from another at a station; both measured on bare cane.
struct TaperDifference {
  Station at;
  Length first;   ///< across flats of the taper that the other is held against
  Length second;  ///< of the other
  /// EI goes with the fourth power of the flats of a solid hexagon: 100 ((D2/D1)⁴ - 1), percent.
  double stiffness_percent = 0;
  /// Mass from the first station up to here, with the square of the flats:
  /// 100 (∫ D2² dx / ∫ D1² dx - 1), percent; none at the first station.
  std::optional<double> mass_percent;

  Length difference() const { return second - first; }
};

/// The stretch of the rod that all of the tapers have; nothing where it has no length.
struct Stretch {
  Station from;
  Station to;
};
std::optional<Stretch> common_stretch(std::span<const Taper> tapers);

/// All stations of the tapers within their common stretch, and its ends; each place once.
std::vector<Station> common_stations(std::span<const Taper> tapers, Stretch stretch);

/// The second taper held against the first at these stations, which increase and lie within both.
/// Both are of bare cane. Masses are integrated exactly (D² is a polynomial between the
/// stations of either taper).
std::vector<TaperDifference> compare_tapers(Taper const& first, Taper const& second,
                                            std::span<const Station> stations);

}  // namespace stripwright
