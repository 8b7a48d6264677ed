#pragma once

#include "machine/section_setup.h"
#include "report/html.h"

namespace stripwright::sheet {

/// Why the strip has its heights: the ledger at both ends of the section and in its middle, where
/// each hundredth goes along it, and the strip drawn at these places.
void add_why(report::Html& html, machine::SectionSetup const& setup, Allowances const& allowances,
             Unit unit);

}  // namespace stripwright::sheet
