#include "keytables/written_pattern.h"

#include <random>
#include <regex>
#include <string>
#include <vector>

#include "catch.h"
#include "files/map_reader.h"
#include "units/parse.h"

using namespace stripwright;
using namespace stripwright::keytables;

namespace {

// The standard library's idea of ECMA 262 expressions; JSON Schema takes the same.
struct Patterns {
  std::regex length{length_pattern(Sign::any)};
  std::regex length_no_minus{length_pattern(Sign::no_minus)};
  std::regex number{number_pattern(Sign::any)};
  std::regex number_no_minus{number_pattern(Sign::no_minus)};
  std::regex whole{whole_pattern(Sign::any)};
  std::regex zero{zero_pattern()};
  std::regex name{name_pattern()};
};

bool is(std::string const& text, std::regex const& pattern) {
  return std::regex_search(text, pattern);
}

/// Faults that depend on a value and not on how it is written.
bool fault_of_value(std::string const& fault) {
  for (const auto* words : {"twelve inches or more", "longer than a kilometre", "too large"})
    if (fault.find(words) != std::string::npos) return true;
  return false;
}

/// Compares the patterns with the parser on one text; true if it is a length.
bool check_length(std::string const& text, Patterns const& patterns) {
  INFO("'" << text << "'");
  const auto parsed = parse_length(text, Unit::inch);
  if (!parsed && fault_of_value(parsed.fault)) return false;
  CHECK(is(text, patterns.length) == bool(parsed));
  if (!parsed) return false;
  const bool minus = text.find('-') != std::string::npos;
  CHECK(is(text, patterns.length_no_minus) == !minus);
  CHECK(is(text, patterns.zero) == (*parsed.value == Length{}));
  return true;
}

bool check_number(std::string const& text, Patterns const& patterns) {
  INFO("'" << text << "'");
  const auto parsed = parse_number(text);
  if (!parsed && fault_of_value(parsed.fault)) return false;
  CHECK(is(text, patterns.number) == bool(parsed));
  if (!parsed) return false;
  CHECK(is(text, patterns.number_no_minus) == (text.find('-') == std::string::npos));
  CHECK(is(text, patterns.zero) == (*parsed.value == 0));
  return true;
}

}  // namespace

TEST_CASE("the pattern of lengths takes what is promised and refuses what is not") {
  const Patterns patterns;
  for (const std::string text :
       {"0.25 in",   ".25in",    "13/64 in",    "1 3/8 in",       "7 ft 6 in",
        "7ft6in",    "70 thou",  "6.35 mm",     "2.5 cm",         "1.2 m",
        "120 um",    "5",        "5.",          "-3.5",           " 5 in ",
        "13 / 64in", "7 ft",     "7 ft .5 in",  "7 ft 11 3/8 in", "0",
        "0/8 in",    "0 3/8 in", "0 ft 0.0 in", "0.9 in"}) {
    CHECK(is(text, patterns.length));
    CHECK(check_length(text, patterns));
  }
  for (const std::string text :
       {"",           " ",      "0,068",       "010",        "00.5",   "1e-3",
        "1e308",      ".nan",   "nan",         "inf",        "-.inf",  "1/0 in",
        "1/08 in",    "0x10",   "1:30",        "5 furlong",  "5 inch", "5 IN",
        "5\"",        "7'6\"",  "1 3 in",      "1.5 3/8 in", "1.5/2",  "- 5",
        "--5",        "+5",     ".",           "in",         "7 ft 6", "7 ft 6 mm",
        "7 ft -6 in", "5 in 2", "7 ft 6 in 1", "no",         "~",      "5\tin"}) {
    CHECK_FALSE(is(text, patterns.length));
    CHECK_FALSE(check_length(text, patterns));
  }
}

TEST_CASE("the patterns and the parser agree on random texts") {
  const std::vector<std::string> pieces = {
      "-", " ", " ",  "0",  "0",  "1",    "3",  "8",  "12", "64", "9",  "247", "010", "/", "/",
      ".", ".", "in", "in", "ft", "thou", "mm", "cm", "um", "m",  "e3", ",",   "ft",  "x", "6"};
  const Patterns patterns;
  std::mt19937 random(20240229);
  int lengths = 0;
  int numbers = 0;
  for (int i = 0; i < 30000; ++i) {
    std::string text;
    for (auto n = random() % 8 + 1; n > 0; --n) text += pieces[random() % pieces.size()];
    lengths += check_length(text, patterns);
    numbers += check_number(text, patterns);
  }
  // Neither always refuses.
  CHECK(lengths > 1500);
  CHECK(numbers > 1500);
}

TEST_CASE("a count's pattern takes whole numbers only") {
  const Patterns patterns;
  for (const std::string text : {"2", " 13 ", "5.0", "5.", "0", "-3"})
    CHECK(is(text, patterns.whole));
  for (const std::string text : {"2.5", "4/2", "", "02", "2 in", "1e3", ".0"})
    CHECK_FALSE(is(text, patterns.whole));
}

TEST_CASE("the pattern of names is the reader's idea of a name") {
  const Patterns patterns;
  for (const std::string text : {"tip", "steel form", "Form-2", "a", "7", "-", "a  b"}) {
    CHECK(is(text, patterns.name));
    CHECK(files::is_name(text));
  }
  for (const std::string text : {"", " ", " tip", "tip ", "tip/1", "t_p", "étui", "a\tb", "a.b"}) {
    CHECK_FALSE(is(text, patterns.name));
    CHECK_FALSE(files::is_name(text));
  }
}
