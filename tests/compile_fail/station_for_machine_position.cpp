// A place on the rod is not taken for one on the machine.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] MachinePosition place = MachinePosition(Length::inches(5)); }

#ifdef MIX
void mix() {
  [[maybe_unused]] MachinePosition place = Station(Length::inches(5));  // refused
}
#endif
