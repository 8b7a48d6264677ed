#pragma once

#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "inspection/conformance.h"
#include "machine/cnc_mill.h"
#include "machine/correction.h"
#include "machine/pattern_mill.h"
#include "machine/rough_strip.h"
#include "machine/screw_settings.h"
#include "section/strip_profile.h"

namespace stripwright::machine {

/// What the strip shall measure at one station.
struct StationRow {
  Station at;
  section::Ledger ledger;
  inspection::Limits strip;  ///< limits of height a as milled
  /// The first and the last step of the shop's gauge that prove height a right; none without a
  /// gauge, or where it is too coarse. As they are printed at the bench: what is printed is proven.
  std::optional<inspection::Limits> proven;
};

using Settings =
    std::variant<std::vector<FormPass>, std::vector<MillPass>, PatternSettings, CncSettings>;

/// All that one section needs at one machine.
struct SectionSetup {
  RodSection section;
  std::shared_ptr<const section::StripProfile> strip;
  Placement placement;
  std::vector<StationRow> stations;
  RoughStrip rough;
  Settings settings;
  bool in_passes = false;  ///< the machine has `passes`, be it that one is enough
};

/// What a set-up is made from.
struct SetupOrder {
  Taper const& taper;
  Shop const& shop;
  Machine const& machine;
  std::optional<Gauge> gauge;
  std::vector<RodSection> sections;
  Unit unit = Unit::inch;                              ///< of messages
  std::optional<machine::Correction> correction = {};  ///< what the machine was found to be off
};

/// Sets the machine up for each section. Errors (a strip that cannot be) and what is
/// unmet (a setting that cannot be made) go into problems; with an error the result is
/// not to be used.
std::vector<SectionSetup> set_up(SetupOrder const& order, Problems& problems);

/// The station rows alone; `unit` is the one that they are printed in.
std::vector<StationRow> station_rows(section::StripProfile const& strip,
                                     std::vector<Station> const& stations, Shop const& shop,
                                     std::optional<Gauge> const& gauge, Unit unit);

}  // namespace stripwright::machine
