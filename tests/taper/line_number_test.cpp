#include "taper/line_number.h"

#include "catch.h"

using stripwright::line_number;

TEST_CASE("the fly line that a rod's words name") {
  CHECK(line_number("7 ft 6 in, two sections, for a 5 line; invented") == "5");
  CHECK(line_number("for a 4-5 weight line") == "4-5");
  CHECK(line_number("a 6-weight") == "6");
  CHECK(line_number("4 wt") == "4");
  CHECK(line_number("Line 10.") == "10");
  CHECK(line_number("three sections, line 7, 9 ft") == "7");
  CHECK(line_number("for a 5\nline") == "5");
}

TEST_CASE("no line is named") {
  CHECK(line_number("").empty());
  CHECK(line_number("a rod of 7 ft").empty());
  CHECK(line_number("2 linear feet, outline 3a").empty());
  CHECK(line_number("glue line 0.05 mm").empty());
  CHECK(line_number("0.05 line").empty());
  CHECK(line_number("1954 line").empty());
  CHECK(line_number("line").empty());
  CHECK(line_number("line ").empty());
  CHECK(line_number("in 2 lines").empty());
}
