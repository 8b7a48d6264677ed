#include "machine/placement.h"

namespace stripwright::machine {

Placement::Placement(Machine const& machine, RodSection const& section, Spare const& spare)
    : feeds_(machine.feeds),
      leading_(machine.strip_at),
      tip_end_(section.from - spare.tip_end),
      butt_end_(section.to + spare.butt_end) {}

MachinePosition Placement::machine_at(Station at) const {
  return leading_ + (feeds_ == Feeds::tip_first ? at - tip_end_ : butt_end_ - at);
}

Station Placement::station_at(MachinePosition at) const {
  return feeds_ == Feeds::tip_first ? tip_end_ + (at - leading_) : butt_end_ - (at - leading_);
}

bool Placement::on_strip(Station at) const {
  return at > tip_end_ - kSamePlace && at < butt_end_ + kSamePlace;
}

bool Placement::on_strip(MachinePosition at) const { return on_strip(station_at(at)); }

}  // namespace stripwright::machine
