#pragma once

#include "shop/machine_description.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::machine {

/// How one section's strip, its spare included, lies on a machine.
///   tip-first:  machine = strip_at + (x - (from - spare at the tip end))
///   butt-first: machine = strip_at + ((to + spare at the butt end) - x)
class Placement {
 public:
  Placement(Machine const& machine, RodSection const& section, Spare const& spare);

  MachinePosition machine_at(Station at) const;
  Station station_at(MachinePosition at) const;

  Station strip_tip_end() const { return tip_end_; }
  Station strip_butt_end() const { return butt_end_; }
  Length strip_length() const { return butt_end_ - tip_end_; }
  /// The machine positions of the strip's leading and trailing end.
  MachinePosition strip_begins() const { return leading_; }
  MachinePosition strip_ends() const { return leading_ + strip_length(); }
  /// True on the strip, its ends included.
  bool on_strip(MachinePosition at) const;
  bool on_strip(Station at) const;
  Feeds feeds() const { return feeds_; }

 private:
  Feeds feeds_;
  MachinePosition leading_;
  Station tip_end_;
  Station butt_end_;
};

}  // namespace stripwright::machine
