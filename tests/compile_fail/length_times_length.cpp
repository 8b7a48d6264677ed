// A length times a length would be an area, and there is no type for one.
#include "units/length.h"

#include "units/angle.h"
#include "units/position.h"

using namespace stripwright;

void twin() { [[maybe_unused]] auto twice = Length::inches(1) * 2.0; }

#ifdef MIX
void mix() {
  [[maybe_unused]] auto area = Length::inches(1) * Length::inches(1);  // refused
}
#endif
