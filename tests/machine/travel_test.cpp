#include "machine/travel.h"

#include <stdexcept>

#include "catch.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using profiles::mm;

namespace {

CutterPlace place(double x, double z) { return {MachinePosition(mm(x)), mm(z)}; }

}  // namespace

TEST_CASE("travel is the length of the moves, and time that at the feed over the feed") {
  // Fast 3, at the feed a 3-4-5 triangle's 5 and 12 along, fast 4 up.
  const std::vector<Move> moves = {
      {false, place(3, 10)}, {true, place(6, 6)}, {true, place(18, 6)}, {false, place(18, 10)}};
  const auto gone = travel(place(0, 10), moves, mm(8.5));
  CHECK(mm(gone.at_feed) == Approx(17));
  CHECK(mm(gone.fast) == Approx(7));
  CHECK(gone.minutes_at_feed == Approx(2));
  CHECK(mm(travel(place(0, 0), {}, mm(1)).at_feed) == 0);
}

TEST_CASE("a feed of nothing is a caller's mistake") {
  CHECK_THROWS_AS(travel(place(0, 0), {}, mm(0)), std::logic_error);
}
