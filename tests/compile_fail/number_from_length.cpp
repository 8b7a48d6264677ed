// A length becomes a number only by naming the unit.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] double ratio = Length::inches(1) / Length::inches(2); }

#ifdef MIX
void mix() {
  [[maybe_unused]] double number = Length::inches(1);  // refused
}
#endif
