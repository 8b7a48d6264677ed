// One over a length is no length.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto half = Length::inches(1) / 2.0; }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto inverse = 2.0 / Length::inches(1);  // refused
}
#endif
