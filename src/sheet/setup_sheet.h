#pragma once

#include <optional>
#include <string>
#include <vector>

#include "machine/section_setup.h"
#include "sheet/frame.h"

namespace stripwright::sheet {

/// What the sheet of a set-up is made from. All but the head belongs to the caller and has to
/// live as long as the call.
struct SetupOrder {
  Taper const& taper;
  Shop const& shop;
  Machine const& machine;
  std::optional<Gauge> gauge;
  std::vector<machine::SectionSetup> const& setups;
  SheetHead head;
};

/// The page that is printed, or opened on a phone, and taken to the machine: a cover over all
/// sections (strips, lengths to cut, the taper), then a page or more each: what to set in big
/// figures, where the strip lies, what it shall measure, why, and cautions. HTML that asks for
/// nothing from elsewhere; the same input gives the same bytes.
std::string setup_sheet(SetupOrder const& order);

}  // namespace stripwright::sheet
