#pragma once

#include <vector>

#include "report/grid_map.h"
#include "report/plot.h"
#include "sheet/check_sheet.h"

namespace stripwright::sheet {

/// The deviations of one section's strips within their limits, a line each; the worst few are
/// named.
report::Plot deviations_figure(CheckOrder const& order, std::size_t section);

/// Places by strips of one section, a sign each. As many maps as keep each on a page.
std::vector<report::GridMap> verdict_maps(CheckOrder const& order, std::size_t section);

}  // namespace stripwright::sheet
