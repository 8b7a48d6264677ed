#pragma once

#include "machine/section_setup.h"
#include "report/table.h"

namespace stripwright::machine {

/// What each station of the sections shall measure: one table for all sections in
/// files (`stations.csv`), one for each at the bench.
report::Table station_table(std::vector<SectionSetup> const& setups);
report::Table station_table(SectionSetup const& setup);

/// The settings of one section: all passes in one table, as in `cutter-<section>.csv`.
report::Table cutter_table(SectionSetup const& setup);
/// The settings of one pass (counted from 0), for the bench.
report::Table cutter_table(SectionSetup const& setup, std::size_t pass);

/// Whole turns and degrees: `1 + 254°`.
std::string turns_and_degrees(double turns);

/// The number of passes in the settings, what the bars miss and what a pass leaves.
std::size_t pass_count(Settings const& settings);
Pass const& pass_of(Settings const& settings, std::size_t pass);
BarReport const& bar_of(Settings const& settings, std::size_t pass);

}  // namespace stripwright::machine
