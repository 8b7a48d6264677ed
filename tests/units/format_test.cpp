#include "units/format.h"

#include <cmath>
#include <cstdio>
#include <limits>
#include <random>

#include "catch.h"
#include "comma_locale.h"

using namespace stripwright;

TEST_CASE("halves are rounded away from zero") {
  // ISO 80000-1:2009, annex B.3, rule B: of two nearest, the one of greater magnitude
  // (from memory). The C library's own rounding prints the doubles' binary truth instead:
  // 1.005 as 1.00, 2.675 as 2.67.
  struct Row {
    double value;
    int decimals;
    std::string_view text;
  };
  for (const auto& [value, decimals, text] : std::initializer_list<Row>{
           {0, 0, "0"},
           {0, 4, "0.0000"},
           {0.5, 0, "1"},
           {1.5, 0, "2"},
           {2.5, 0, "3"},
           {-0.5, 0, "-1"},
           {-2.5, 0, "-3"},
           {0.49, 0, "0"},
           {0.25, 1, "0.3"},
           {0.35, 1, "0.4"},
           {-0.25, 1, "-0.3"},
           {1.005, 2, "1.01"},
           {2.675, 2, "2.68"},
           {1.0049, 2, "1.00"},
           {0.0680005, 6, "0.068001"},
           {0.0680004, 6, "0.068000"},
           {0.0680004999, 6, "0.068000"},
           {0.000015, 5, "0.00002"},
           {25.4, 5, "25.40000"},
           {0.1 + 0.2, 5, "0.30000"},
           {123456789.5, 0, "123456790"},
           {1e6 / 3, 4, "333333.3333"},
           // The carry runs through.
           {0.9999999, 6, "1.000000"},
           {9.9999996, 6, "10.000000"},
           {99.995, 2, "100.00"},
           {-0.9999999, 6, "-1.000000"},
           // Never -0.
           {-0.0, 0, "0"},
           {-0.0, 3, "0.000"},
           {-0.0004, 3, "0.000"},
           {-1e-300, 5, "0.00000"},
           {-0.0005, 3, "-0.001"},
       }) {
    INFO(value << " to " << decimals << " decimals");
    CHECK(format_fixed(value, decimals) == text);
  }
}

TEST_CASE("what a double cannot tell from a half counts as the half") {
  // 0.0005 in and 12.7 um are the same; the product of doubles is not exactly a half.
  const double exact = 0.00005;
  for (const double almost : {std::nextafter(exact, 0.0), exact, std::nextafter(exact, 1.0)})
    CHECK(format_fixed(almost, 4) == "0.0001");
  // A millionth of the last digit is the border.
  CHECK(format_fixed(0.4999995, 0) == "1");
  CHECK(format_fixed(0.499998, 0) == "0");
  CHECK(format_fixed(-0.4999995, 0) == "-1");
}

TEST_CASE("the rounded value is the one that is printed") {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> values(-2000, 2000);
  for (int i = 0; i < 2000; ++i) {
    const double value = values(random);
    for (int decimals = 0; decimals <= 6; ++decimals) {
      const auto text = format_fixed(value, decimals);
      INFO(value << " printed as " << text);
      CHECK(std::stod(text) == round_to_decimals(value, decimals));
      // Against the C library, whose rounding differs at halves only.
      char expected[64];
      std::snprintf(expected, sizeof expected, "%.*f", decimals, value);
      const double past_half =
          std::fabs(std::fmod(std::fabs(value) * std::pow(10.0, decimals), 1.0) - 0.5);
      if (past_half > 1e-5 && std::stod(expected) != 0) CHECK(text == expected);
    }
  }
}

TEST_CASE("numbers that cannot be printed are an internal error") {
  const double inf = std::numeric_limits<double>::infinity();
  CHECK_THROWS(format_fixed(inf, 2));
  CHECK_THROWS(format_fixed(-inf, 2));
  CHECK_THROWS(format_fixed(std::nan(""), 2));
  CHECK_THROWS(format_fixed(1e16, 0));
  CHECK_THROWS(format_fixed(1e10, 6));
  CHECK_THROWS(format_fixed(1, 10));
  CHECK_THROWS(format_fixed(1, -1));
  CHECK_THROWS(round_to_decimals(inf, 2));
  CHECK(format_fixed(8.9e15, 0) == "8900000000000000");
}

TEST_CASE("lengths are printed in the unit asked for") {
  const auto inch = Length::inches(1);
  CHECK(format_number(inch, Unit::inch, 6) == "1.000000");
  CHECK(format_number(inch, Unit::millimetre, 5) == "25.40000");
  CHECK(format_length(Length::inches(0.25), Unit::inch, 4) == "0.2500 in");
  CHECK(format_length(Length::inches(0.25), Unit::millimetre, 3) == "6.350 mm");
  CHECK(file_decimals(Unit::inch) == 6);
  CHECK(file_decimals(Unit::millimetre) == 5);
  CHECK(unit_name(Unit::inch) == "in");
  CHECK(unit_name(Unit::millimetre) == "mm");
  CHECK(of_unit(2, Unit::inch) == Length::millimetres(50.8));
  CHECK(in_unit(Length::millimetres(50.8), Unit::inch) == 2);
}

TEST_CASE("short forms leave trailing zeros off") {
  CHECK(format_short(Length::inches(0.25), Unit::inch) == "0.25 in");
  CHECK(format_short(Length::inches(5), Unit::inch) == "5 in");
  CHECK(format_short(Length::inches(100), Unit::inch) == "100 in");
  CHECK(format_short(Length::millimetres(-3.5), Unit::millimetre) == "-3.5 mm");
  CHECK(format_short(Length::millimetres(-1e-9), Unit::millimetre) == "0 mm");
  CHECK(format_short(0.5, 6) == "0.5");
  CHECK(format_short(100, 0) == "100");
  CHECK(format_short(1.0 / 3, 4) == "0.3333");
  CHECK(format_short(-0.00001, 3) == "0");
}

TEST_CASE("numbers are printed alike where the decimal sign is a comma") {
  const test::CommaLocale comma;
  if (!comma.set()) {
    WARN("skipped: there is no locale de_DE here (package locales)");
    return;
  }
  // The C library follows the locale: the locale is indeed one with commas.
  char printed[16];
  std::snprintf(printed, sizeof printed, "%.1f", 1.5);
  CHECK(std::string(printed) == "1,5");
  CHECK(format_fixed(1234567.891, 2) == "1234567.89");
  CHECK(format_length(Length::inches(0.25), Unit::inch, 4) == "0.2500 in");
  CHECK(format_short(0.5, 6) == "0.5");
}
