#pragma once

#include <optional>

#include "units/angle.h"
#include "units/length.h"

namespace stripwright::section {

/// A strip's section is a triangle. Corner A is the apex, which goes to the centre of
/// the rod; B and C are the outer corners. Height a runs from the apex, square to the
/// outer face; b and c run from B and C, each square to the flank opposite.
struct StripHeights {
  Length a;
  Length b;
  Length c;
};

/// The angles of the triangle at the corners A, B and C; together 180°.
struct StripAngles {
  Angle apex;
  Angle b;
  Angle c;
};

// The equilateral strip, from its height h. Defined for every number: a height of 0
// gives 0, a negative one is mirrored.

/// Width of the flat outer face, 2 h / √3.
Length face_width(Length height);
/// Length of a flank, apex to outer corner: the same as the face.
Length flank_length(Length height);
/// Area of the section, h² / √3.
double strip_area_in_square_millimetres(Length height);

/// The angles of a flat-faced strip of whatever triangle the three heights belong to.
/// Nothing if no triangle has these heights: one is not above 0 or not finite, or the
/// side that belongs to one (as its reciprocal) is not shorter than the two others together.
std::optional<StripAngles> angles_from_heights(StripHeights const& heights);

/// The three heights of the flat-faced strip that has height `a` and these angles.
/// Angles between 0° and 180° that add up to 180°; others stop the program.
StripHeights heights_from_angles(Length a, StripAngles const& angles);

/// Where six equal strips whose apex angle is not 60° fail to close.
enum class SeamPlace {
  nowhere,  ///< 60°: the flanks meet over their whole length
  outside,  ///< under 60°: the apexes meet, the seam opens at the outer corners
  centre    ///< over 60°: the outer corners meet, the seam opens at the apexes
};

struct SeamOpening {
  Length width;  ///< at the open end of the seam; 0 at its closed end
  SeamPlace at = SeamPlace::nowhere;
};

/// How far each of the six seams stands open where it is widest, for six equal strips
/// with this flank (above 0) and apex angle (between 0° and 180°), without glue.
SeamOpening seam_opening(Length flank, Angle apex);

}  // namespace stripwright::section
