#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"
#include "section/strip_profile.h"
#include "shop/shop.h"

namespace stripwright::sheet {

/// Of the strip figure's drawing, a millimetre of paper.
inline constexpr double kStripFigureUnits = 4;

/// A strip's section drawn to scale.
struct StripFigure {
  report::Canvas drawing;  ///< for `element_at_size(kStripFigureUnits)`
  int scale;               ///< to 1
};

/// The strip's section at places of a rod's section: as it is milled, with its apex down; in it
/// what comes off before or after gluing, and along the flanks half a glue line. All at one
/// scale, of a round number to 1, so that they lie side by side on a page. Places and their
/// names are parallel.
StripFigure strip_figure(section::StripProfile const& strip, Allowances const& allowances,
                         std::vector<Station> const& places, std::vector<std::string> const& names,
                         Unit unit);

}  // namespace stripwright::sheet
