#include "section/triangle.h"

#include <cmath>
#include <numbers>

#include "diagnostics/problem.h"

namespace stripwright::section {

// In an equilateral triangle of side s the height halves a side: h² + (s/2)² = s², so
// s = 2 h / √3 and the area s h / 2 = h² / √3.
Length face_width(Length height) { return 2 * std::numbers::inv_sqrt3 * height; }

Length flank_length(Length height) { return face_width(height); }

double strip_area_in_square_millimetres(Length height) {
  const double h = height.in_millimetres();
  return h * h * std::numbers::inv_sqrt3;
}

namespace {

// The angle opposite side p of a triangle p, q, r. With s = (p + q + r) / 2, the cosine law
// 2 q r cos α = q² + r² - p² and tan²(α/2) = (1 - cos α) / (1 + cos α) give
//   tan²(α/2) = (s - q)(s - r) / (s (s - p)).
// Unlike the arc cosine, this form keeps its digits for slender triangles too.
Angle angle_opposite(double p, double q, double r) {
  return Angle::radians(
      2 * std::atan2(std::sqrt((p + r - q) * (p + q - r)), std::sqrt((p + q + r) * (q + r - p))));
}

bool usable(Length height) { return height.finite() && height > Length(); }

}  // namespace

// Twice the area is side times height for each side, so the sides are as
// 1/a : 1/b : 1/c, or, free of division, as b c : a c : a b.
std::optional<StripAngles> angles_from_heights(StripHeights const& heights) {
  if (!usable(heights.a) || !usable(heights.b) || !usable(heights.c)) return std::nullopt;
  const double b_to_a = heights.b / heights.a;
  const double c_to_a = heights.c / heights.a;
  const double p = b_to_a * c_to_a;
  const double q = c_to_a;
  const double r = b_to_a;
  if (!(p < q + r && q < p + r && r < p + q)) return std::nullopt;
  return StripAngles{angle_opposite(p, q, r), angle_opposite(q, r, p), angle_opposite(r, p, q)};
}

// The flank from A to C is a / sin C long, and height b, from B square to that flank,
// makes twice the area with it; the face is a (cot B + cot C) = a sin A / (sin B sin C) long
// and makes twice the area with a. So
//   b = a · a sin A / (sin B sin C) / (a / sin C) = a sin A / sin B,   c = a sin A / sin C.
StripHeights heights_from_angles(Length a, StripAngles const& angles) {
  constexpr double kRounding = 1e-9;
  const Angle sum = angles.apex + angles.b + angles.c;
  check_internal(angles.apex > Angle() && angles.b > Angle() && angles.c > Angle() &&
                     abs(sum - Angle::degrees(180)) < Angle::radians(kRounding),
                 "the angles of a strip must be above 0 and add up to 180 degrees");
  const double sin_apex = sin(angles.apex);
  return {a, a * (sin_apex / sin(angles.b)), a * (sin_apex / sin(angles.c))};
}

// Six strips fill 6 A of the full circle; the rest is shared by six seams, each a wedge of
// angle δ = |60° - A| between two flanks of length f. Its open end is the chord
//   2 f sin(δ/2),
// which is f δ to within one part in 24/δ². For A > 60° the outer corners make a regular
// hexagon of side w = 2 f sin(A/2); its apothem √3 w / 2 less the strip's height f cos(A/2)
// leaves the apexes r = 2 f sin(A/2 - 30°) from the centre, 60° and so again r apart.
SeamOpening seam_opening(Length flank, Angle apex) {
  check_internal(flank.finite() && flank > Length() && apex > Angle() && apex < Angle::degrees(180),
                 "a seam needs a flank above 0 and an apex angle between 0 and 180 degrees");
  const Angle short_of_closed = Angle::degrees(60) - apex;
  const SeamPlace at = short_of_closed > Angle()   ? SeamPlace::outside
                       : short_of_closed < Angle() ? SeamPlace::centre
                                                   : SeamPlace::nowhere;
  return {2 * sin(abs(short_of_closed) / 2) * flank, at};
}

}  // namespace stripwright::section
