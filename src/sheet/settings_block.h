#pragma once

#include <string>

#include "machine/section_setup.h"
#include "report/html.h"

namespace stripwright::sheet {

/// What a section's settings are printed from.
struct SettingsOrder {
  std::string const& rod;  ///< its name
  machine::SectionSetup const& setup;
  Machine const& machine;
  Unit unit;
  std::string const& key;  ///< tells the section's fields from those of others
};

/// What to set for one section, in the order in which it is set: for each pass the screws of a form
/// or mill; for a pattern or a program its file, zero points and tools.
void add_settings(report::Html& html, SettingsOrder const& order);

}  // namespace stripwright::sheet
