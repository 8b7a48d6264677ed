// Nor does writing the type out make a number a length.
#include "units/angle.h"
#include "units/length.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto length = Length::millimetres(1.0); }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto length = Length(1.0);  // refused
}
#endif
