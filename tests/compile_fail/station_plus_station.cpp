// Two places do not add up; a place and a distance do.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto further = Station(Length::inches(5)) + Length::inches(5); }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto further =
      Station(Length::inches(5)) + Station(Length::inches(5));  // refused
}
#endif
