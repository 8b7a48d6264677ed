// A place is not a length until the zero is named.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] Length length = Station(Length::inches(5)).from_zero(); }

#ifdef MIX
void mix() {
  [[maybe_unused]] Length length = Station(Length::inches(5));  // refused
}
#endif
