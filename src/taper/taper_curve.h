#pragma once

#include <memory>
#include <span>
#include <vector>

#include "taper/taper.h"

namespace stripwright {

/// Across flats at any station: through the taper's points by its `between`, and
/// beyond the first and last point straight on with the slope at that end.
///
/// `smooth` is the monotone cubic of Fritsch and Butland by Boost.Math's pchip, which
/// wants four points; three take the same slope rule by hand, two are a straight line.
class TaperCurve {
 public:
  /// At least two points, stations increasing.
  explicit TaperCurve(Taper const& taper);

  Length flats(Station at) const;
  /// d(flats)/dx; at a point of a linear taper the slope towards the butt or the tip.
  double slope_towards_butt(Station at) const;
  double slope_towards_tip(Station at) const;
  /// The stations of the points: where the slope or its change may jump.
  std::span<const Station> points() const { return stations_; }
  bool straight() const { return smooth_ == nullptr; }

 private:
  std::size_t piece_towards_butt(Station at) const;
  double secant(std::size_t piece) const;

  std::vector<Station> stations_;
  std::vector<Length> flats_;
  class Smooth;
  std::shared_ptr<const Smooth> smooth_;  // none for a straight one
};

}  // namespace stripwright
