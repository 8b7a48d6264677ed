// A length becomes a place only by naming the axis.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] Station place = Station(Length::inches(5)); }

#ifdef MIX
void mix() {
  [[maybe_unused]] Station place = Length::inches(5);  // refused
}
#endif
