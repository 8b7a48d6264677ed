// Twice a place has no meaning.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto twice = Station(Length::inches(5)).from_zero() * 2.0; }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto twice = Station(Length::inches(5)) * 2.0;  // refused
}
#endif
