#pragma once

#include <span>
#include <vector>

#include "units/position.h"

namespace stripwright {

/// A measured place of a taper: what was found there, and its standard uncertainty.
struct MeasuredFlats {
  Station at;
  Length flats;
  Length u;  ///< above 0
};

/// The natural cubic smoothing spline through measured flats: of all curves g it makes
///   Σ ((flats_i - g(at_i)) / u_i)² + λ ∫ g''² dx
/// smallest (Green and Silverman, Nonparametric Regression and Generalized Linear Models, 1994,
/// chapter 2; from memory). λ = 0 goes through every point; for λ without bounds it becomes the
/// straight line of weighted least squares. Beyond the ends it goes on straight.
class SmoothingSpline {
 public:
  /// At least three points, stations increasing by more than `kSamePlace`. `stiffness` is λ with
  /// x counted in the points' mean distance, and u and flats in millimetres: a plain number.
  SmoothingSpline(std::span<const MeasuredFlats> points, double stiffness);

  Length flats(Station at) const;
  /// ∫ g''² dx in the same counting: 0 for a straight line.
  double roughness() const;

 private:
  double first_ = 0;       // mm
  double pitch_ = 1;       // mean distance, mm
  std::vector<double> x_;  // in pitches
  std::vector<double> g_;
  std::vector<double> bend_;  // g'' at the points
};

/// Of the smoothing splines through the points the smoothest that is nowhere farther from a point
/// than `times` its uncertainty, and in the root mean square no farther than once (Reinsch,
/// Smoothing by spline functions, 1967; from memory): the largest λ, up to where no straighter line
/// can be told from a straight one.
SmoothingSpline smoothest_within(std::span<const MeasuredFlats> points, double times);

}  // namespace stripwright
