// A plain number has no unit, so it cannot be added to a length.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto sum = Length::inches(1) + Length::millimetres(1); }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto sum = Length::inches(1) + 1.0;  // refused
}
#endif
