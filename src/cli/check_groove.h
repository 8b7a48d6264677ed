#pragma once

#include <memory>
#include <optional>

#include "inspection/targets.h"
#include "machine/section_setup.h"

namespace stripwright::cli {

/// What a depth gauge shall show along a set planing form: over the depth that the bars have
/// there, bent through the settings of one pass. The limits are those readings that depths at the
/// limits of the strip would give; where it reads nothing there, they are carried on from the
/// target as the reading goes there.
class GrooveTargets final : public inspection::Targets {
 public:
  /// The form needs a depth gauge; `pass` is one of the set-up's.
  GrooveTargets(machine::SectionSetup const& setup, machine::FormPass const& pass,
                PlaningForm const& form, Tolerance const& tolerance);

  inspection::PlaceTargets at(Station station) const override;
  RodSection const& section() const override { return section_; }
  Station first() const override { return first_; }
  Station last() const override { return last_; }
  Station station_at(MachinePosition at) const override { return placement_.station_at(at); }

  MachinePosition machine_at(Station at) const { return placement_.machine_at(at); }
  /// Screws on the strip and the nearest beyond either end, by machine position: where the form is
  /// to be gauged.
  std::vector<Station> const& screws() const { return screws_; }

 private:
  std::optional<Length> closed_at(Station at) const;
  Length depth_wanted(Station at) const;

  RodSection section_;
  machine::Placement placement_;
  std::shared_ptr<const section::StripProfile> strip_;
  std::optional<machine::BarShape> closed_;
  machine::BarShape bars_;
  machine::GaugePoint point_;
  Tolerance tolerance_;
  std::vector<Station> screws_;
  Station first_;
  Station last_;
};

}  // namespace stripwright::cli
