#pragma once

#include "report/plot.h"
#include "section/strip_profile.h"

namespace stripwright::sheet {

/// Where each hundredth goes, along one section: what every step of the ledger adds to the
/// strip's height or takes from it, and all of them together. Steps that do nothing anywhere are
/// left out.
report::Plot ledger_figure(section::StripProfile const& strip, Unit unit);

}  // namespace stripwright::sheet
