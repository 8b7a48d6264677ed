// A number of degrees or of radians? The sine does not guess.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] double ratio = stripwright::sin(Angle::degrees(30)); }

#ifdef MIX
void mix() {
  [[maybe_unused]] double ratio = stripwright::sin(30.0);  // refused
}
#endif
