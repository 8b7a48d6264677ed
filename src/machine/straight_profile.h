#pragma once

#include <cmath>
#include <vector>

#include "section/height_curve.h"

namespace stripwright::machine::plain {

// A round cutter on straight lines. Its centre over x is R + offset, and it touches the strip at
// u = x + s. Everything is written as the offset, and so that nothing cancels: R is up to
// hundreds of millimetres, offsets differ from heights by nanometres.

/// Over a line of slope m = tan α the cutter touches at s = R sin α = R m/sqrt(1+m²), towards
/// the side that rises; its centre is R/cos α above the line.
inline double contact_shift(double radius, double slope) {
  return radius * slope / std::sqrt(1 + slope * slope);
}

/// R (1/cos α - 1) = R (sqrt(1+m²) - 1) = R m²/(1 + sqrt(1+m²)).
inline double line_rise(double radius, double slope) {
  return radius * slope * slope / (1 + std::sqrt(1 + slope * slope));
}

/// R - sqrt(R² - s²) = s²/(R + sqrt(R² - s²)): how much lower the cutter lies that touches
/// a point beside its middle. |s| <= R.
inline double arc_drop(double radius, double s) {
  if (s == 0) return 0;
  const double across = std::sqrt(std::fmax(0.0, (radius - s) * (radius + s)));
  return s * s / (radius + across);
}

/// dz/dx of a cutter that touches a point at x + s: tan α with sin α = s/R.
inline double arc_slope(double radius, double s) {
  return s / std::sqrt((radius - s) * (radius + s));
}

/// A straight profile as numbers in millimetres: corners (u, h), slopes between and beyond.
struct StraightProfile {
  std::vector<double> u;
  std::vector<double> h;
  /// m[k] holds from corner k-1 to corner k: the first before, the last beyond all corners.
  std::vector<double> m;
};

StraightProfile straight_profile(const section::HeightCurve& profile);

}  // namespace stripwright::machine::plain
