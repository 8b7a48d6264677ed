#pragma once

#include "report/plot.h"
#include "taper/taper.h"

namespace stripwright::sheet {

/// The taper over the whole rod: the curve, a dot at each station, where sections end.
report::Plot taper_figure(Taper const& taper, Unit unit);

}  // namespace stripwright::sheet
