// Only an angle has a sine.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] double ratio = sin(Angle::degrees(30)); }

#ifdef MIX
void mix() {
  [[maybe_unused]] double ratio = sin(Length::millimetres(30));  // refused
}
#endif
