// A length is not more or less than a plain number.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] bool longer = Length::inches(1) > Length::millimetres(2); }

#ifdef MIX
void mix() {
  [[maybe_unused]] bool longer = Length::inches(1) > 2.0;  // refused
}
#endif
