#pragma once

#include "machine/screw_settings.h"
#include "report/plot.h"

namespace stripwright::sheet {

/// What the bars miss: the greatest miss in each span between screws, where it is.
report::Plot miss_figure(machine::BarReport const& bar, RodSection const& section, bool form,
                         Unit unit);

}  // namespace stripwright::sheet
