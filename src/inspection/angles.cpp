#include "inspection/angles.h"

#include <algorithm>
#include <cmath>

#include "section/round_face.h"

namespace stripwright::inspection {
namespace {

using section::StripAngles;
using section::StripHeights;

constexpr Angle kTrue = Angle::degrees(60);

std::array<Angle, 3> as_array(StripAngles const& angles) {
  return {angles.apex, angles.b, angles.c};
}

/// dA/dh for the three angles, one height changed by a hundred-thousandth either way: what
/// the curve bends over that and what the root finding leaves are both far below a millionth.
std::optional<std::array<double, 3>> slopes_per_mm(StripHeights const& heights,
                                                   Length StripHeights::*which,
                                                   FaceMeasured const& face) {
  const Length step = heights.*which * 1e-5;
  StripHeights more = heights;
  StripHeights less = heights;
  more.*which += step;
  less.*which -= step;
  const auto with_more = angles_of(more, face);
  const auto with_less = angles_of(less, face);
  if (!with_more || !with_less) return std::nullopt;
  std::array<double, 3> out{};
  for (std::size_t i = 0; i < 3; ++i)
    out[i] = (as_array(*with_more)[i] - as_array(*with_less)[i]).in_radians() /
             (2 * step.in_millimetres());
  return out;
}

}  // namespace

std::optional<StripAngles> angles_of(StripHeights const& heights, FaceMeasured const& face) {
  const StripHeights whole{heights.a + face.apex_relief, heights.b, heights.c};
  return face.arc_radius ? section::angles_from_round_heights(*face.arc_radius, whole)
                         : section::angles_from_heights(whole);
}

std::optional<JudgedAngles> judge_angles(MeasuredHeights const& heights, FaceMeasured const& face,
                                         Angle tolerance, Decide decide) {
  const auto angles = angles_of(heights.mean, face);
  if (!angles) return std::nullopt;
  std::array<double, 3> squares_rad2{};
  std::array<double, 3> common_rad2{};
  for (const auto which : {&StripHeights::a, &StripHeights::b, &StripHeights::c}) {
    const auto slopes = slopes_per_mm(heights.mean, which, face);
    if (!slopes) return std::nullopt;
    for (std::size_t i = 0; i < 3; ++i) {
      squares_rad2[i] += std::pow((*slopes)[i] * (heights.uncertainty.*which).in_millimetres(), 2);
      common_rad2[i] += std::pow((*slopes)[i] * heights.gauge.in_millimetres(), 2);
    }
  }
  JudgedAngles out;
  out.angles = as_array(*angles);
  for (std::size_t i = 0; i < 3; ++i) {
    out.uncertainties[i] = Angle::radians(std::sqrt(squares_rad2[i]));
    out.common[i] = Angle::radians(std::sqrt(common_rad2[i]));
    out.verdicts[i] =
        verdict(out.angles[i], kTrue - tolerance, kTrue + tolerance, out.uncertainties[i], decide);
    out.conforms[i] = conformance_probability(out.angles[i], kTrue - tolerance, kTrue + tolerance,
                                              out.uncertainties[i]);
  }
  // Height b runs from corner B square to the other flank: b = AB sin A; likewise c = AC sin A.
  out.flank = (heights.mean.b + heights.mean.c) / 2 / sin(angles->apex);
  return out;
}

// Section in mind, the apex at the origin, the height a along +y, corner B on the +x side at L_B
// from the apex. The flank to B makes 90° - B with +y. A new flank at 30° to +y has the outward
// normal n = (cos 30°, -sin 30°). It must leave nothing to be added, so both ends of the old
// flank lie on or outside it: the apex, at 0 along n, and corner B, at
//   L_B (sin(90° - B) cos 30° - cos(90° - B) sin 30°) = L_B sin(60° - B).
// It lies at the lower of the two, m. So the corner loses L_B sin(60° - B) if B < 60°, else the
// apex loses L_B sin(B - 60°) = -m. The other flank likewise. The two new flanks meet where
//   x cos 30° - y/2 = m_B,  -x cos 30° - y/2 = m_C:   y = -m_B - m_C,
// which is what height a loses.
std::optional<AngleAdvice> advice_on_angles(StripHeights const& heights, FaceMeasured const& face) {
  const auto angles = angles_of(heights, face);
  if (!angles) return std::nullopt;
  const double sin_apex = sin(angles->apex);
  const auto wedge = [](Length flank, Angle to_face) {
    const Length along_normal = sin(kTrue - to_face) * flank;
    return Wedge{std::max(Length{}, -along_normal), std::max(Length{}, along_normal)};
  };
  AngleAdvice out;
  out.flank_c = wedge(heights.b / sin_apex, angles->b);
  out.flank_b = wedge(heights.c / sin_apex, angles->c);
  out.height_after = heights.a - out.flank_b.at_apex - out.flank_c.at_apex;
  return out;
}

}  // namespace stripwright::inspection
