#include "section/polygons.h"

#include <algorithm>
#include <boost/geometry.hpp>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <vector>

#include "diagnostics/problem.h"

namespace stripwright::section {

namespace {

namespace bg = boost::geometry;

Polygon outline(std::vector<Point> const& corners) {
  Polygon polygon;
  bg::assign_points(polygon, corners);
  bg::correct(polygon);
  return polygon;
}

// A chord that spans the angle δ of an arc of radius R is R (1 - cos(δ/2)) = 2 R sin²(δ/4) from
// it at the most: how many such chords the whole angle needs to stay within kArcError.
int chords_for(double angle_rad, Length radius) {
  const double per_chord_rad = 4 * std::asin(std::sqrt(std::min(0.5, kArcError / radius / 2)));
  return std::max(1, static_cast<int>(std::ceil(angle_rad / per_chord_rad)));
}

Point on_arc(Length radius, Length y, double from_crown_rad) {
  const double r = radius.in_millimetres();
  return {r * std::sin(from_crown_rad), y.in_millimetres() + r * std::cos(from_crown_rad)};
}

}  // namespace

Polygon strip_polygon(Length height) {
  const double h = height.in_millimetres();
  const double half_width = face_width(height).in_millimetres() / 2;
  return outline({{0, 0}, {-half_width, h}, {half_width, h}});
}

// The foot of height a divides the face: B is a cot B to the left of it, C a cot C to the right.
Polygon strip_polygon(Length a, StripAngles const& angles) {
  check_internal(
      abs(angles.apex + angles.b + angles.c - Angle::degrees(180)) < Angle::radians(1e-9),
      "the angles of a strip must add up to 180 degrees");
  const double h = a.in_millimetres();
  return outline({{0, 0}, {-h / tan(angles.b), h}, {h / tan(angles.c), h}});
}

Polygon round_strip_polygon(RoundFace const& face, Length h_w) {
  const double flank = flank_length(face, h_w).in_millimetres();
  const Length y_c = centre_from_apex(face, h_w);
  const double corner_rad =
      std::atan2(flank / 2, flank * std::numbers::sqrt3 / 2 - y_c.in_millimetres());
  // The same number on either side of the crown, which is so a corner of the outline.
  const int half = chords_for(corner_rad, face.arc_radius);
  std::vector<Point> corners = {{0, 0}};
  for (int i = -half; i <= half; ++i) {
    corners.push_back(on_arc(face.arc_radius, y_c, corner_rad * i / half));
  }
  return outline(corners);
}

Polygon disc_polygon(Length radius, Length y) {
  check_internal(radius.finite() && radius > Length(), "a disc needs a radius above 0");
  const double full_circle_rad = 2 * std::numbers::pi;
  const int chords = std::max(3, chords_for(full_circle_rad, radius));
  std::vector<Point> corners;
  for (int i = 0; i < chords; ++i) {
    corners.push_back(on_arc(radius, y, full_circle_rad * i / chords));
  }
  return outline(corners);
}

SixStrips round_the_centre(Polygon const& strip, Length apex_from_centre) {
  namespace transform = bg::strategy::transform;
  Polygon outwards;
  bg::transform(
      strip, outwards,
      transform::translate_transformer<double, 2, 2>(0.0, apex_from_centre.in_millimetres()));
  SixStrips strips;
  for (std::size_t i = 0; i < strips.size(); ++i) {
    // The library turns clockwise.
    const double clockwise_deg = -60.0 * static_cast<double>(i);
    bg::transform(outwards, strips[i],
                  transform::rotate_transformer<bg::degree, double, 2, 2>(clockwise_deg));
  }
  return strips;
}

SixStrips glued_up(Length height, Length glue_line) {
  return round_the_centre(strip_polygon(height), glue_line);
}

double area_in_square_millimetres(Polygon const& polygon) { return bg::area(polygon); }

namespace {

struct Reach {
  double least_mm = std::numeric_limits<double>::infinity();
  double most_mm = -std::numeric_limits<double>::infinity();
};

Reach reach(Reach so_far, Polygon const& polygon, Angle direction) {
  for (Point const& p : polygon.outer()) {
    const double along_mm = p.x() * cos(direction) + p.y() * sin(direction);
    so_far.least_mm = std::min(so_far.least_mm, along_mm);
    so_far.most_mm = std::max(so_far.most_mm, along_mm);
  }
  return so_far;
}

}  // namespace

Length extent(Polygon const& polygon, Angle direction) {
  const Reach r = reach({}, polygon, direction);
  return Length::millimetres(r.most_mm - r.least_mm);
}

Length gap(Polygon const& one, Polygon const& other) {
  return Length::millimetres(bg::distance(one, other));
}

std::array<Length, 3> across_flats(SixStrips const& strips) {
  std::array<Length, 3> widths;
  for (std::size_t i = 0; i < widths.size(); ++i) {
    const Angle direction = Angle::degrees(90 + 60.0 * static_cast<double>(i));
    const Reach r = reach(reach({}, strips[i], direction), strips[i + 3], direction);
    widths[i] = Length::millimetres(r.most_mm - r.least_mm);
  }
  return widths;
}

std::array<Length, 6> glue_gaps(SixStrips const& strips) {
  std::array<Length, 6> gaps;
  for (std::size_t i = 0; i < gaps.size(); ++i) {
    gaps[i] = gap(strips[i], strips[(i + 1) % strips.size()]);
  }
  return gaps;
}

// `carries` puts the whole strip within the inner arc of the enamel, R - e. So the ring between
// it and the arc R - e - p covers all of the strip that the disc inside the ring does not.
double power_fibre_share(RoundFace const& face, Length h_w, Length depth) {
  check_internal(depth.finite(), "a depth of power fibre must be a number");
  const Length y_c = centre_from_apex(face, h_w);
  const Length inside = face.culm_radius - face.enamel - depth;
  if (inside <= Length()) return 1;
  const Polygon strip = strip_polygon(h_w);
  std::vector<Polygon> softer;
  bg::intersection(strip, disc_polygon(inside, y_c), softer);
  double softer_area = 0;
  for (Polygon const& part : softer) softer_area += bg::area(part);
  return std::clamp(1 - softer_area / bg::area(strip), 0.0, 1.0);
}

}  // namespace stripwright::section
