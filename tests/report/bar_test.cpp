#include "report/bar.h"

#include "catch.h"

using stripwright::report::bar;

TEST_CASE("a bar is as long as its value, and never longer than its place") {
  CHECK(bar(1, 1, 10) == "##########");
  CHECK(bar(0.5, 1, 10) == "#####");
  CHECK(bar(0.54, 1, 10) == "#####");
  CHECK(bar(0.56, 1, 10) == "######");
  CHECK(bar(0.001, 1, 10) == "#");
  CHECK(bar(0, 1, 10).empty());
  CHECK(bar(-3, 1, 10).empty());
  CHECK(bar(7, 1, 10) == "##########");
}
