// A number becomes a length only by naming its unit.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] Length length = Length::millimetres(1.0); }

#ifdef MIX
void mix() {
  [[maybe_unused]] Length length = 1.0;  // refused
}
#endif
