#pragma once

#include <optional>
#include <vector>

#include "machine/bar_miss.h"
#include "machine/groove.h"
#include "machine/pass_plan.h"
#include "machine/placement.h"
#include "shop/machine_description.h"

namespace stripwright::machine {

/// What all screws have: where they are and what the strip and the setting are there.
struct ScrewPlace {
  long screw = 1;  ///< from 1, by machine position
  MachinePosition machine_at;
  Station taper_at;
  Length strip_milled;  ///< the final strip
  bool on_strip = true;
};

/// One screw of a planing form.
struct FormScrew {
  ScrewPlace place;
  Length depth;                       ///< of the groove: the cutter offset
  bool can_be_set = true;             ///< false where the form cannot close so far
  std::optional<GaugeReading> gauge;  ///< none without a depth gauge, or if it cannot be set
  std::optional<Length> opening;      ///< none without a closed depth
  std::optional<double> turns;        ///< from bars touching
};

/// One screw of a mill.
struct MillScrew {
  ScrewPlace place;
  Length offset;                   ///< cutter offset
  std::optional<Length> dial;      ///< as it is dialled; none where the dial does not reach
  std::optional<Length> residual;  ///< exact minus shown, in offset
  std::optional<double> turns;     ///< of the screw, from offset 0 to the exact offset
  /// From offset 0 to the figure that is dialled; to the exact offset where the dial does not
  /// reach.
  std::optional<double> turns_dialled;
};

/// The bar between its screws in one pass.
struct BarReport {
  std::vector<SpanMiss> spans;  ///< over the section
  Miss greatest;                ///< over the section, spare left out
  /// The greatest is too small to be seen at the bench, and far from the tolerance.
  bool slight = false;
  /// What a form's depth gauge reads over the bars there; none where it does not read.
  std::optional<Length> gauge_there = {};
};

struct FormPass {
  Pass pass;
  std::vector<FormScrew> screws;
  BarReport bar;
};

struct MillPass {
  Pass pass;
  std::vector<MillScrew> screws;
  BarReport bar;
};

/// What every kind of machine is set up for: one section's strip as it lies on it.
struct Job {
  std::shared_ptr<const section::StripProfile> strip;
  Placement placement;
  std::vector<Pass> passes;
  Tolerance tolerance;  ///< of the strip, to judge the bars' miss by
  Unit unit = Unit::inch;
};

/// Settings of a planing form for each pass; what cannot be set goes into problems as unmet,
/// every screw named, with what would help.
std::vector<FormPass> set_planing_form(PlaningForm const& form, Job const& job, Problems& problems);

/// Settings of a screw mill for each pass, likewise.
std::vector<MillPass> set_screw_mill(ScrewMill const& mill, Job const& job, Problems& problems);

/// The screws and what the final strip is at each, by machine position.
std::vector<ScrewPlace> screw_places(std::vector<MachinePosition> const& screws, Job const& job);

/// Unmet if the strip, its spare included, is not wholly between the first and last screw.
void check_reach(std::vector<MachinePosition> const& screws, Job const& job, Problems& problems);

/// The bar through its settings held against what it should be, over the section; a warning if
/// it misses by more than the tolerance. A miss is slight where it is a tenth of the tolerance or
/// less, or where the bench shows no more than 0.0001 in of it and it is a quarter or less.
BarReport bar_report(BarShape const& bar, section::HeightCurve const& target, Job const& job,
                     std::optional<long> pass, Problems& problems);

/// Screws `fit: best` may move: those on the strip and the nearest one beyond each end.
std::vector<bool> free_screws(std::vector<ScrewPlace> const& places, Placement const& placement);

}  // namespace stripwright::machine
