#pragma once

#include <optional>

#include "machine/section_setup.h"
#include "report/html.h"

namespace stripwright::sheet {

/// What a section's measures are printed from.
struct MeasureOrder {
  machine::SectionSetup const& setup;
  Shop const& shop;
  std::optional<Gauge> const& gauge;
  Unit unit;
};

/// What each strip is held against, station by station: as it is milled, with the limits of all
/// its heights; then ready to glue, and the section's flats glued, bare and varnished.
void add_measures(report::Html& html, MeasureOrder const& order);

}  // namespace stripwright::sheet
