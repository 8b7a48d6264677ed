#pragma once

#include <vector>

#include "machine/placement.h"
#include "report/canvas.h"

namespace stripwright::sheet {

/// Where the strip lies on a form or bed, true in length and not in height: the strip with its
/// spare hatched, the tip end, the section's ends, the screws (none for machines without) and the
/// machine's positions below.
report::Canvas bed_figure(machine::Placement const& placement, RodSection const& section,
                          std::vector<MachinePosition> const& screws, Unit unit);

}  // namespace stripwright::sheet
