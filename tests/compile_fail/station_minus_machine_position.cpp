// There is no distance between a place on the rod and one on the machine.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() {
  [[maybe_unused]] Length apart = Station(Length::inches(5)) - Station(Length::inches(1));
}

#ifdef MIX
void mix() {
  [[maybe_unused]] Length apart =
      Station(Length::inches(5)) - MachinePosition(Length::inches(1));  // refused
}
#endif
