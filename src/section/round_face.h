#pragma once

#include <optional>

#include "section/triangle.h"
#include "units/length.h"

namespace stripwright::section {

/// The outer face of a strip as the round culm left it: an arc. Section in mind, with the apex at
/// the origin and the outer face outwards, along +y.
struct RoundFace {
  Length culm_radius;  ///< R, outside, enamel and all
  Length enamel;       ///< e, its thickness, 0 or more
  Length arc_radius;  ///< R_o, the face at milling: R with the enamel on, R - e with it scraped off
};

// Below, h_w is the height of the finished strip, whose flat face is wholly power fibre: its
// corners just touch the inner arc of the enamel, radius R - e. All functions but `carries`
// stop the program where `carries` is false.

/// Whether the culm is stout enough for a finished strip of height h_w: 0 < h_w < 3/2 (R - e), the
/// largest equilateral triangle there is in a circle of radius R - e. False, too, for radii and
/// enamel that make no culm (not finite, e < 0, R_o not between R - e and R).
bool carries(RoundFace const& face, Length h_w);

/// y_c: how far the centre of the culm's arcs lies outwards from the apex. Below 0 (the centre
/// beyond the apex) on every strip that is thinner than the culm's radius by a good deal.
Length centre_from_apex(RoundFace const& face, Length h_w);

/// E: what is still to come off the face, at the crown, to make it flat and all power fibre.
/// Never below 0. The strip as milled is h_w + E high.
Length crown_allowance(RoundFace const& face, Length h_w);

/// L: the flank as milled, from the apex to the arc.
Length flank_length(RoundFace const& face, Length h_w);

/// Heights b and c of the strip as milled: from an outer corner, which lies on the arc, square to
/// the flank opposite, L sin 60°. No point of the strip is farther from that flank.
Length side_height(RoundFace const& face, Length h_w);

/// The angles of a strip whose face is an arc of radius `arc_radius`, from its three heights as
/// measured: a from the apex to the crown, b and c from the corners on the arc. Angles b and c
/// are those between a flank and the tangent at the crown. Nothing if the readings are no strip's:
/// not above 0 or not finite, `a` not below the arc's radius, or no triangle with all three angles
/// below 90° has them.
std::optional<StripAngles> angles_from_round_heights(Length arc_radius,
                                                     StripHeights const& heights);

}  // namespace stripwright::section
