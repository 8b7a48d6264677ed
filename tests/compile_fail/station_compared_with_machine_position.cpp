// Nor does a place on the rod come before or after one on the machine.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() {
  [[maybe_unused]] bool before = Station(Length::inches(1)) < Station(Length::inches(5));
}

#ifdef MIX
void mix() {
  [[maybe_unused]] bool before =
      Station(Length::inches(1)) < MachinePosition(Length::inches(5));  // refused
}
#endif
