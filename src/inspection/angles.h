#pragma once

#include <array>
#include <optional>

#include "inspection/decision.h"
#include "inspection/targets.h"
#include "section/triangle.h"

namespace stripwright::inspection {

/// The angles of a strip at one place from its three heights, with what they are good for.
/// Arrays go apex, b, c.
struct JudgedAngles {
  std::array<Angle, 3> angles;
  std::array<Angle, 3> uncertainties;  ///< standard
  std::array<Angle, 3> common;         ///< the part of it that comes from the gauge itself
  std::array<Verdict, 3> verdicts{};
  std::array<double, 3> conforms{};
  Length flank;  ///< mean length of the two flanks
};

/// Heights a, b, c as measured and their standard uncertainties; of those, what the gauge
/// itself contributes.
struct MeasuredHeights {
  section::StripHeights mean;
  section::StripHeights uncertainty;
  Length gauge;
};

/// The angles that heights make, the apex relief first given back to a. On a round face those
/// at b and c are between flank and the tangent at the crown. Nothing where no strip has such
/// heights.
std::optional<section::StripAngles> angles_of(section::StripHeights const& heights,
                                              FaceMeasured const& face);

/// The angles with their uncertainty and verdicts against 60° and the tolerance. Each u is
///   u_A² = Σ (∂A/∂h)² u_h²   over h = a, b, c,
/// the slopes taken numerically; on a flat face about √2 u/h, on a round one more at b and c.
/// A gauge that is off by the same everywhere would leave the angles as they are; that it is,
/// a caliper's certificate does not say, so its part counts like the others.
std::optional<JudgedAngles> judge_angles(MeasuredHeights const& heights, FaceMeasured const& face,
                                         Angle tolerance, Decide decide);

/// What to plane off one flank to bring it to 60° to the face: a wedge, thickest at one of its
/// ends and nothing at the other. Amounts are taken square to the flank, off this flank alone:
/// strip height, not its half and not its double.
struct Wedge {
  Length at_apex;
  Length at_edge;  ///< the outer edge, where flank and face meet

  Length most() const { return std::max(at_apex, at_edge); }
};

/// What makes the largest equilateral strip with the present face.
struct AngleAdvice {
  Wedge flank_b;        ///< the flank that height b stands on, from the apex to corner C
  Wedge flank_c;        ///< the flank that height c stands on, from the apex to corner B
  Length height_after;  ///< height a of the strip then
};

/// How to bring the angles to 60°. A flank whose angle to the face is over 60° is planed at the
/// apex, one under 60° at its outer edge, each by flank · sin|angle - 60°|; the face stays as
/// it is. Nothing where no strip has such heights.
std::optional<AngleAdvice> advice_on_angles(section::StripHeights const& heights,
                                            FaceMeasured const& face);

}  // namespace stripwright::inspection
