#pragma once

#include <span>
#include <vector>

#include "section/height_curve.h"
#include "units/length.h"
#include "units/position.h"

namespace stripwright::machine {

/// One screw's work on a bar: at this place the bar stands at this height (or depth).
struct Support {
  Station at;
  Length height;
};

/// The shape that a bar takes between and beyond its supports. It is a height curve as
/// the strip's profile is one, so that the two can be held against each other. Its corners are
/// its supports.
///
/// spring: an even bar through point supports, free at its ends. Without a load between the
/// supports its moment is linear there and 0 at and beyond the outermost ones, so with an even
/// stiffness its second derivative s'' is too: the natural cubic spline, straight beyond the
/// ends. s'' at the supports follows from the three-moment equation with settlements,
///   s''_(i-1) L_i + 2 s''_i (L_i + L_(i+1)) + s''_(i+1) L_(i+1) = 6 (m_(i+1) - m_i),
/// L_i and m_i the length and mean slope of span i; s'' = 0 at both ends.
///
/// straight: straight from support to support, the end spans' slope goes on beyond.
///
/// Two supports make a straight line, one a level. Supports have to be strictly increasing in
/// place and finite, at least one (else std::logic_error: a caller's mistake).
class BarShape final : public section::HeightCurve {
 public:
  static BarShape spring(std::vector<Support> supports);
  static BarShape straight_between(std::vector<Support> supports);

  Length height(Station at) const override;
  double slope(Station at, section::Side side) const override;
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return straight_; }

  /// s'', the bar's bend (curvature for the small slopes of a bar), in 1/mm.
  double bend_per_millimetre(Station at) const;
  std::span<const Support> supports() const { return supports_; }

 private:
  /// height = a + b t + c t² + d t³, with t the distance from `from`; millimetres.
  struct Piece {
    double from, a, b, c, d;
  };

  BarShape(std::vector<Support> supports, const std::vector<double>& bends, bool straight);
  const Piece& piece_at(double at, section::Side side) const;

  std::vector<Support> supports_;
  std::vector<Station> corners_;
  /// One a span, and before and after them the straight ends.
  std::vector<Piece> pieces_;
  bool straight_;
};

}  // namespace stripwright::machine
