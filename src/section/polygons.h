#pragma once

#include <array>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

#include "section/round_face.h"
#include "section/triangle.h"
#include "units/angle.h"
#include "units/length.h"

namespace stripwright::section {

// Sections as outlines, to draw, to clip and to measure as a caliper would. Coordinates are
// millimetres. A lone strip has its apex at the origin and its outer face towards +y; directions
// are counted from +x, anticlockwise.
using Point = boost::geometry::model::d2::point_xy<double>;
using Polygon = boost::geometry::model::polygon<Point>;
/// Strips 1 to 6 in ring order, anticlockwise; the first has its face towards +y.
using SixStrips = std::array<Polygon, 6>;

/// Arcs are drawn as chords whose ends lie on the arc; no chord is farther than this from its arc.
inline constexpr Length kArcError = kSamePlace;

/// The equilateral strip of this height, above 0.
Polygon strip_polygon(Length height);
/// The flat-faced strip of height `a`, above 0, and these angles; corner B at -x, C at +x.
/// Angles that do not add up to 180° stop the program.
Polygon strip_polygon(Length a, StripAngles const& angles);
/// The strip as milled from a round culm: what a 60° wedge takes out of the disc of radius
/// `arc_radius`. Needs `carries(face, h_w)`; stops the program without.
Polygon round_strip_polygon(RoundFace const& face, Length h_w);
/// The disc of this radius, above 0, with its centre at the height `y` on the y axis.
Polygon disc_polygon(Length radius, Length y);

/// Six of one strip round the centre at every 60°, each apex this far from it.
SixStrips round_the_centre(Polygon const& strip, Length apex_from_centre);
/// Six equilateral strips glued up: with glue lines of thickness g each apex is g from the centre,
/// for the flank of a strip is then g sin 30° = g/2 from the middle of its glue line. The
/// flats are 2 (h + g) apart.
SixStrips glued_up(Length height, Length glue_line);

double area_in_square_millimetres(Polygon const& polygon);
/// The width between two parallel jaws square to the direction.
Length extent(Polygon const& polygon, Angle direction);
/// The least distance between two outlines; 0 if they touch or overlap.
Length gap(Polygon const& one, Polygon const& other);
/// f1, f2, f3: over strips 1 and 4, 2 and 5, 3 and 6, square to their faces.
std::array<Length, 3> across_flats(SixStrips const& strips);
/// The gap between each strip and the next in the ring, the last and the first.
std::array<Length, 6> glue_gaps(SixStrips const& strips);

/// Share of the finished strip's area, 0 to 1, that is power fibre: what lies between the inner
/// arc of the enamel and an arc `depth` farther in. Needs `carries(face, h_w)`; stops the program
/// without. A depth of 0 or less has none.
double power_fibre_share(RoundFace const& face, Length h_w, Length depth);

}  // namespace stripwright::section
