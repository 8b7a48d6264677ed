#include "machine/path_notes.h"

#include "catch.h"

using namespace stripwright::machine;

TEST_CASE("how long a program runs is told in seconds, minutes or hours, never too short") {
  CHECK(minutes_text(0.001) == "1 s");
  CHECK(minutes_text(1.5) == "90 s");
  CHECK(minutes_text(1.99) == "120 s");
  CHECK(minutes_text(2) == "2 min");
  CHECK(minutes_text(2.01) == "3 min");
  CHECK(minutes_text(59) == "59 min");
  CHECK(minutes_text(59.1) == "1 h 0 min");
  CHECK(minutes_text(61) == "1 h 1 min");
  CHECK(minutes_text(150) == "2 h 30 min");
}
