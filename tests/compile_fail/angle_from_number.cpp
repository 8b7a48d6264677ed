// A number becomes an angle only by saying degrees or radians.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] Angle angle = Angle::degrees(30); }

#ifdef MIX
void mix() {
  [[maybe_unused]] Angle angle = 30.0;  // refused
}
#endif
