#pragma once

#include <optional>

#include "units/angle.h"
#include "units/length.h"

namespace stripwright::machine {

/// The groove between the two bars of a planing form. Both flanks lean by half the included
/// angle a = θ/2 from the upright; they meet, thought on, at `depth` below the top.
///
/// The bevels are ground only so deep that the closed form's groove is `closed_depth` deep.
/// Bars that are opened further leave a slot as wide as they stand apart below it.
struct Groove {
  Length depth;
  /// Not known: slots are not judged.
  std::optional<Length> closed_depth = {};
  Angle included = Angle::degrees(60);
};

/// Opening of the groove at the top, w = 2 d tan a; 0 for a depth of 0 or less.
Length top_width(const Groove& groove);

/// How far the bars stand apart, w = 2 (d - d0) tan a; negative where they would have to
/// overlap. Not known without a closed depth.
std::optional<Length> opening(const Groove& groove);

/// The change of opening that changes the depth so much: Δw = 2 Δd tan a, at 60° 1.1547 Δd.
Length opening_for(Length depth_change, Angle included = Angle::degrees(60));

/// Turns of a screw that opens the bars by `lead` a turn; `lead` above 0 (else std::logic_error).
double turns_for(Length opening, Length lead);

/// The point of a depth gauge that is zeroed on the top of the bars. Cones have the groove's own
/// angle.
struct GaugePoint {
  enum class Kind { sharp, flat, ball };
  Kind kind = Kind::sharp;
  /// Of the flat that the cone is cut off at, or of the ball; not used for a sharp cone. At least
  /// 0.
  Length diameter;
};

/// What the gauge's point rests on.
enum class Bearing {
  flanks,  ///< on both flanks, as it should
  edges,   ///< a ball too large for the groove: on the two top edges
  slot,    ///< a ball so small that it drops between the bars: no reading
  none     ///< a flat too large, or no groove: on the top of the bars, no reading
};

struct BallRange {
  Length least;
  Length most;
};

struct GaugeReading {
  Bearing on = Bearing::none;
  /// Below the top of the bars; empty for `slot` and `none`.
  std::optional<Length> reading;
};

/// What a depth gauge shows over a groove. With ρ and f the ball's radius and the flat's diameter:
///
/// sharp: d.
/// flat: d - (f/2)/tan a, where the groove is at least f wide at the top.
/// ball: its centre is ρ/sin a above the flanks' meeting, so it reads d - ρ (1/sin a - 1); it
///   touches the flanks at the height ρ cos² a/sin a above it (3/4 of the diameter at 60°), which
///   has to lie on the bevels, from d - d0 to d. Higher, it rests on the edges and reads ρ -
///   sqrt(ρ² - w²/4), w the top width; lower, it drops into the slot.
/// (The same triangle as in the handbooks' rule for a V groove over pins.)
GaugeReading gauge_reading(const Groove& groove, const GaugePoint& point);

/// How much more the gauge reads for each bit of depth more: 1 on flanks; on edges
/// h tan a/sqrt(ρ² - h²), h half the top width, which comes to 1 where the flanks begin to bear.
/// 1 too where there is no reading.
double reading_per_depth(const Groove& groove, const GaugePoint& point);

/// The balls that bear on this groove's flanks; from 0 on where the closed depth is not known.
/// At 60° from 4(d - d0)/3 to 4d/3. Of a groove of depth 0 or less, none: both 0.
BallRange balls_that_bear(const Groove& groove);

struct DepthRead {
  Bearing on = Bearing::none;
  /// Empty where no depth of this groove gives such a reading.
  std::optional<Length> depth;
};

/// The other way round: how deep the groove is that gives this reading. `groove.depth` is not
/// looked at. A reading of 0 or less (a flat may then rest on the top) has no depth, nor has one
/// that a ball could only show from within the slot.
DepthRead depth_from_reading(const Groove& groove, const GaugePoint& point, Length reading);

}  // namespace stripwright::machine
