#pragma once

#include <cstddef>
#include <vector>

#include "machine/straight_profile.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// A stretch of a cutter's path over a straight profile: the cutter slides along a span (the
/// span moved along its normal), or turns about a corner (an arc of the cutter's radius).
struct PathPiece {
  Station from;
  Station to;
  bool turns;      ///< about a corner; else it slides along a span
  Station anchor;  ///< the corner that it turns about, or a place of the span's line,
  Length height;   ///< with the profile's height there
  double slope;    ///< of the span; 0 for an arc
};

/// What a cutter leaves standing in a hollow that is too tight for it.
struct Rest {
  Station at;  ///< where the most is left
  Length size;
  Station cutter_at;  ///< where the cutter stands that touches both sides of the hollow
};

/// The exact path of a round cutter over a straight profile, for cutters standing from `from` to
/// `to`: every piece of it, in time that grows as the number of corners, however many of them lie
/// under the cutter at once.
///
/// Over span i alone the cutter's offset is f_i: an arc about its first corner, the moved
/// span, an arc about its last corner; the path is the highest of all f_i. With
/// g(x, u) = h(u) - (R - sqrt(R² - (x-u)²)), whose second part is concave in x - u, the later span
/// gains on the earlier one as x grows: f_j - f_i never falls for j > i, so two spans change places
/// once at most. The spans are therefore taken in order and those that still lead somewhere are
/// kept on a stack: a new one takes over from the last where they cross, and the last is dropped if
/// it would not lead before that place any more. Each span goes on and off the stack once. At a
/// concave corner the neighbours' crossing is left of it; at a convex one an arc.
class CutterPath {
 public:
  /// The profile has to be straight, the radius above 0, `from` no greater than `to`
  /// (else std::logic_error).
  CutterPath(const section::HeightCurve& profile, Length radius, Station from, Station to);

  const std::vector<PathPiece>& pieces() const { return pieces_; }
  /// Found by halving; outside the interval the outermost piece goes on, as far as it can.
  Length offset(Station x) const;
  double slope(Station x, section::Side side) const;
  Station touches(Station x, section::Side side) const;

  /// One rest for every place where the path has a corner, if it is at least so large, in order.
  std::vector<Rest> rests(Length at_least) const;

 private:
  const PathPiece& piece_at(Station x, section::Side side) const;
  double touch_of(const PathPiece& piece, double x) const;
  double offset_of(const PathPiece& piece, double x) const;

  double radius_;
  plain::StraightProfile profile_;
  std::vector<PathPiece> pieces_;
};

}  // namespace stripwright::machine
