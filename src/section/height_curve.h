#pragma once

#include <span>

#include "units/position.h"

namespace stripwright::section {

/// Which of the two slopes is meant where a curve has a corner.
enum class Side { towards_tip, towards_butt };

/// The height of a strip along the rod, defined for every station: within the
/// taper by the ledger, beyond it by the taper's extension. Continuous; smooth
/// between neighbouring corners; straight beyond the first and the last corner
/// when `straight()`.
class HeightCurve {
 public:
  virtual ~HeightCurve() = default;

  virtual Length height(Station at) const = 0;
  /// dh/dx, a plain ratio. At a corner the one-sided slope asked for.
  virtual double slope(Station at, Side side) const = 0;
  /// The stations where the slope may jump, increasing, at least one.
  virtual std::span<const Station> corners() const = 0;
  /// True if every piece between corners (and beyond the outermost) is a straight line.
  virtual bool straight() const = 0;
};

}  // namespace stripwright::section
