#include "section/round_face.h"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <utility>

#include "diagnostics/problem.h"

namespace stripwright::section {

namespace {

Length inner_radius(RoundFace const& face) { return face.culm_radius - face.enamel; }

// From the culm's centre to the finished flat face, whose corners at half width
// h_w / √3 lie on the inner arc, r = R - e: d = √(r² - h_w²/3). As a product, so that
// nothing is lost where the face is nearly as wide as the culm.
Length centre_to_face(RoundFace const& face, Length h_w) {
  const double r = inner_radius(face).in_millimetres();
  const double half_width = std::numbers::inv_sqrt3 * h_w.in_millimetres();
  return Length::millimetres(std::sqrt((r - half_width) * (r + half_width)));
}

void require_carried(RoundFace const& face, Length h_w) {
  check_internal(carries(face, h_w), "a strip must fit into the culm it is cut from");
}

}  // namespace

// The corners fit on the inner arc for h_w < √3 r, r = R - e. But the apex must be inside the
// culm as well: y_c = h_w - √(r² - h_w²/3) < r, which, squared where h_w > r, is
// 4/3 h_w < 2 r. So h_w < 3/2 r says both.
bool carries(RoundFace const& face, Length h_w) {
  const Length r = inner_radius(face);
  // Says too that the enamel is not below 0 and that nothing is infinite.
  const bool culm =
      face.arc_radius > r - kSamePlace && face.arc_radius < face.culm_radius + kSamePlace;
  return culm && h_w > Length() && h_w < 1.5 * r;
}

Length centre_from_apex(RoundFace const& face, Length h_w) {
  require_carried(face, h_w);
  return h_w - centre_to_face(face, h_w);
}

// E = R_o - d, with d from the centre to the finished face. Both are many times E, so
// write R_o - d = (R_o - r) + (r - d), with (r - d)(r + d) = r² - d² = h_w²/3.
Length crown_allowance(RoundFace const& face, Length h_w) {
  require_carried(face, h_w);
  const Length r = inner_radius(face);
  const double h = h_w.in_millimetres();
  const double r_plus_d = (r + centre_to_face(face, h_w)).in_millimetres();
  return (face.arc_radius - r) + Length::millimetres(h * h / 3 / r_plus_d);
}

// A point of a flank, s from the apex, is s (sin 30°, cos 30°); it lies on the arc where
//   s² - 2 s y_c cos 30° + y_c² - R_o² = 0.
// The root above 0 is L = (√3 y_c + √(4 R_o² - y_c²)) / 2.
Length flank_length(RoundFace const& face, Length h_w) {
  const double y_c = centre_from_apex(face, h_w).in_millimetres();
  const double r_o = face.arc_radius.in_millimetres();
  const double root = std::sqrt((2 * r_o - y_c) * (2 * r_o + y_c));
  return Length::millimetres((std::numbers::sqrt3 * y_c + root) / 2);
}

// The point of the whole arc that is farthest from a flank is where its tangent is parallel to the
// flank, at 60° from the crown as seen from the centre. That is beyond the corner for y_c < R_o, so
// the corner itself is the farthest point: L from the apex, at 60° to the flank.
Length side_height(RoundFace const& face, Length h_w) {
  return std::numbers::sqrt3 / 2 * flank_length(face, h_w);
}

namespace {

// The angle t at the apex between the line to the culm's centre, v beyond it, and the flank whose
// corner, s from the apex, lies on the arc of radius R_o = a + v. Apex, centre and corner make
// a triangle with sides s, v, R_o, whose angle at the apex is 180° - t:
//   cos t = (R_o² - v² - s²) / (2 s v),
//   tan²(t/2) = (s + v + R_o)(s + v - R_o) / ((R_o + v - s)(R_o + s - v))
// with s + v - R_o = s - a and R_o + s - v = s + a. Grows with s from 0 at s = a.
double angle_from_crown_line_rad(double s, double a, double arc_radius) {
  const double v = arc_radius - a;
  if (s <= a) return 0;
  if (s >= arc_radius + v) return std::numbers::pi;
  return 2 * std::atan2(std::sqrt((s + v + arc_radius) * (s - a)),
                        std::sqrt((arc_radius + v - s) * (s + a)));
}

}  // namespace

// The height a measured at the crown, square to the tangent there, lies on the line from the apex
// to the culm's centre, y_c = a - R_o from the apex. Let the flanks be at t1 and t2 from that line,
// on either side, and L1 and L2 long; B is the corner of the second. Then
//   A = t1 + t2,   b = L2 sin A,   c = L1 sin A.
// For a trial A this gives L1 and L2, they give t1 and t2, and A is right where
//   t1 + t2 - A = 0.
// A larger A makes L1 and L2 smaller, and so t1 and t2: the left side falls all the way from A = 0
// to 90° and has one root at most. The tangent makes 90° - t1 and 90° - t2 with the flanks.
std::optional<StripAngles> angles_from_round_heights(Length arc_radius,
                                                     StripHeights const& heights) {
  const auto usable = [](Length l) { return l.finite() && l > Length(); };
  if (!usable(arc_radius) || !usable(heights.a) || !usable(heights.b) || !usable(heights.c) ||
      heights.a >= arc_radius) {
    return std::nullopt;
  }
  const double r_o = arc_radius.in_millimetres();
  const double a = heights.a.in_millimetres();
  const auto t = [&](Length height, double apex_rad) {
    return angle_from_crown_line_rad(height.in_millimetres() / std::sin(apex_rad), a, r_o);
  };
  const auto excess = [&](double apex_rad) {
    return t(heights.c, apex_rad) + t(heights.b, apex_rad) - apex_rad;
  };

  // Below a thousandth of a degree no reading tells anything.
  const double least = Angle::degrees(0.001).in_radians();
  const double most = Angle::degrees(90).in_radians();
  if (!(excess(least) > 0 && excess(most) < 0)) return std::nullopt;

  std::uintmax_t rounds = 200;
  const std::pair<double, double> root = boost::math::tools::toms748_solve(
      excess, least, most, boost::math::tools::eps_tolerance<double>(52), rounds);
  const double apex_rad = root.first + (root.second - root.first) / 2;
  const Angle t1 = Angle::radians(t(heights.c, apex_rad));
  const Angle t2 = Angle::radians(t(heights.b, apex_rad));
  if (!(t1 > Angle() && t2 > Angle())) return std::nullopt;
  return StripAngles{t1 + t2, Angle::degrees(90) - t2, Angle::degrees(90) - t1};
}

}  // namespace stripwright::section
