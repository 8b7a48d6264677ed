#pragma once

#include <optional>
#include <string>

#include "machine/placement.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// The rough triangle to start from.
struct RoughStrip {
  Length height;       ///< of a plain one; of a tapered one where it is highest
  Length face_width;   ///< of a triangle so high
  Length split_width;  ///< the same and what a split loses
  /// Where the strip has to be tapered beforehand: so much over the milled strip everywhere. None
  /// where a plain one is started from.
  std::optional<Length> over_taper = {};
};

/// The rough strip that a machine's passes start from; machines that do not count their passes
/// from one take a plain one, higher than the strip's highest place by the shop's allowance.
RoughStrip rough_strip(section::HeightCurve const& strip, Placement const& placement,
                       Machine const& machine, RoughAllowance const& allowance);

/// What has to be done to a rough strip that is tapered beforehand, a sentence for all who make or
/// mill it; "" where a plain one does.
std::string tapered_beforehand(RoughStrip const& rough, Unit unit);

}  // namespace stripwright::machine
