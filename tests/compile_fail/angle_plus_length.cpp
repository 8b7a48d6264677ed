// An angle and a length do not add up.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto sum = Angle::degrees(30) + Angle::radians(1); }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto sum = Angle::degrees(30) + Length::millimetres(1);  // refused
}
#endif
