// A function that wants lengths does not take numbers.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() {
  [[maybe_unused]] bool same = same_place(Length::inches(1), Length::millimetres(25.4));
}

#ifdef MIX
void mix() {
  [[maybe_unused]] bool same = same_place(Length::inches(1), 25.4);  // refused
}
#endif
