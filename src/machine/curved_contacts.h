#pragma once

#include <cstddef>
#include <vector>

#include "machine/highest_touch.h"
#include "machine/turning_points.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// Where a round cutter of radius R > 0 touches a curved profile h. Standing over x it is at
///   g(u) = h(u) - (R - sqrt(R² - (u-x)²)),  g'(u) = h'(u) - (u-x)/sqrt(R² - (u-x)²),
/// and touches where g is greatest: at a corner, or where g' passes through 0 on a smooth piece.
///
/// Where h'' < 1/R, g' falls along the piece: such a piece is gentle. Where the cutter's reach
/// holds only gentle pieces and no hollow corner, g' falls all the way, its one zero is bracketed
/// by halving among the corners and found there. Elsewhere every turning point within reach is
/// compared.
class CurvedContacts {
 public:
  CurvedContacts(const section::HeightCurve& profile, Length radius);

  CutterContact at(Station station, section::Side side) const;

  /// Whether the slope jumps up at corner i, so that no round cutter comes down to it.
  bool hollow_corner(std::size_t i) const { return hollows_[i + 1] != hollows_[i]; }
  /// Whether the piece between corner i and the next is gentle.
  bool gentle_piece(std::size_t i) const { return tight_pieces_[i + 1] == tight_pieces_[i]; }

 private:
  struct Piece {
    double steepest;  ///< an upper bound for |h'|
    bool gentle;
  };

  double offset(double x, double u) const;
  double gain(double x, double u, section::Side side) const;
  Piece look_at_piece(double a, double b) const;
  double steepest_between(double a, double b) const;
  CutterContact falling(double x, double reach, section::Side side) const;
  double most_between(double x, plain::Sample const& a, plain::Sample const& b,
                      double steepest) const;
  CutterContact any(double x, double reach, double steepest, section::Side side) const;

  const section::HeightCurve* profile_;
  double radius_;
  std::vector<double> steepest_;  ///< of each piece between corners
  /// How many hollow corners, and not gentle pieces, there are before the i-th.
  std::vector<std::size_t> hollows_, tight_pieces_;
};

/// Whether slopes before and after a place make it hollow for a cutter of this radius: it touches
/// left and right of it at places that are a nanometre or more apart.
bool makes_hollow(Length radius, double slope_before, double slope_after);

}  // namespace stripwright::machine
