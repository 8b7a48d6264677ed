#pragma once

#include "machine/section_setup.h"
#include "report/table.h"

namespace stripwright::machine {

/// What each station of the sections shall measure: one table for all sections in
/// files (`stations.csv`), one for each at the bench.
report::Table station_table(std::vector<SectionSetup> const& setups);
report::Table station_table(SectionSetup const& setup);

/// The settings of one section: all passes in one table, as in `cutter-<section>.csv`. Machines
/// that are set by screws have a row a screw, the others a row a point of the cutter's way.
report::Table cutter_table(SectionSetup const& setup);
/// The settings of one pass (counted from 0), for the bench: of a way only the points at stations
/// and ends.
report::Table cutter_table(SectionSetup const& setup, std::size_t pass);
/// The passes in a table: what each leaves over the final strip, and its greatest cut.
report::Table pass_table(SectionSetup const& setup);

/// Whole turns and degrees: `1 + 254°`.
std::string turns_and_degrees(double turns);

/// The number of passes in the settings, and what a pass leaves.
std::size_t pass_count(Settings const& settings);
Pass const& pass_of(Settings const& settings, std::size_t pass);
/// What the bars miss in a pass; null for machines without.
BarReport const* bar_of(Settings const& settings, std::size_t pass);

}  // namespace stripwright::machine
