#pragma once

#include "section/height_curve.h"

namespace stripwright::machine {

/// How a round cutter stands over one station.
struct CutterContact {
  Station touches;  ///< where it touches the profile
  Length offset;    ///< its lowest point's height
  double slope;     ///< the offset's, dz/dx
};

/// Of all places that a cutter could touch the highest counts; of two that are equal but for
/// rounding the one that the side asks for.
class HighestTouch {
 public:
  explicit HighestTouch(section::Side side) : side_(side) {}
  /// In millimetres; the slope is the offset's.
  void offer(double touches, double offset, double slope);
  CutterContact contact() const;

 private:
  bool preferred(double touches) const;

  section::Side side_;
  bool found_ = false;
  double touches_ = 0, offset_ = 0, slope_ = 0;
};

}  // namespace stripwright::machine
