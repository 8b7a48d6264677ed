#include <clocale>

#include "catch.h"
#include "comma_locale.h"
#include "units/parse.h"

using namespace stripwright;

namespace {

Length read(std::string_view text, std::optional<Unit> bare = std::nullopt) {
  INFO("'" << text << "'");
  const auto parsed = parse_length(text, bare);
  INFO(parsed.fault);
  REQUIRE(parsed);
  CHECK(parsed.fault.empty());
  return *parsed.value;
}

std::string fault(std::string_view text, std::optional<Unit> bare = Unit::inch) {
  INFO("'" << text << "'");
  const auto parsed = parse_length(text, bare);
  REQUIRE_FALSE(parsed);
  CHECK_FALSE(parsed.remedy.empty());
  return parsed.fault;
}

bool has(std::string const& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

constexpr Length in(double count) { return Length::inches(count); }
constexpr Length mm(double count) { return Length::millimetres(count); }

}  // namespace

// The inch is 25.4 mm exactly, the foot 0.3048 m (NIST SP 811, appendix B.6, after the
// agreement of 1959; from memory).
TEST_CASE("equal lengths are equal to the last bit, whatever unit they are written in") {
  CHECK(read("1 in").in_millimetres() == 25.4);
  CHECK(read("254 cm") == read("100 in"));
  CHECK(read("7 ft 6 in") == read("90 in"));
  CHECK(read("1 ft") == read("304.8 mm"));
  CHECK(read("10 ft") == read("3.048 m"));
  CHECK(read("1000 thou") == read("1 in"));
  CHECK(read("70 thou") == read("0.07 in"));
  CHECK(read("5 in") == read("127 mm"));
  for (int n = 1; n <= 200; ++n)
    CHECK(read(std::to_string(5 * n) + " in") == read(std::to_string(127 * n) + " mm"));
  CHECK(read("2.5 cm") == read("25 mm"));
  CHECK(read("1.2 m") == read("1200 mm"));
  CHECK(read("120 um") == read("0.12 mm"));
  CHECK(read("1/2 in") == read("12.7 mm"));
  CHECK(read("1 3/8 in") == read("1.375 in"));
  CHECK(read("13/64 in") == read("0.203125 in"));
}

TEST_CASE("every form of a length, with and without blanks") {
  CHECK(read("0.25 in") == in(0.25));
  CHECK(read(".25in") == in(0.25));
  CHECK(read("5. in") == in(5));
  CHECK(read("13/64 in") == in(13.0 / 64));
  CHECK(read("13 / 64in") == in(13.0 / 64));
  CHECK(read("1 3/8 in") == in(1.375));
  CHECK(read("1  3/8in") == in(1.375));
  CHECK(read("7 ft 6 in") == in(90));
  CHECK(read("7ft6in") == in(90));
  CHECK(read("7 ft") == in(84));
  CHECK(read("6 ft 11 3/8 in") == in(83.375));
  CHECK(read("0 ft .5 in") == in(0.5));
  CHECK(read("70 thou") == in(0.07));
  CHECK(read("6.35 mm") == mm(6.35));
  CHECK(read("6.35mm") == mm(6.35));
  CHECK(read("  6.35   mm  ") == mm(6.35));
  CHECK(read("2.5 cm") == mm(25));
  CHECK(read("1.2 m") == mm(1200));
  CHECK(read("120 um") == mm(0.12));
  CHECK(read("0 mm") == mm(0));
  CHECK(read("-3.5 in") == in(-3.5));
  CHECK(read("-7 ft 6 in") == in(-90));
  CHECK(read("0.068000000000000000000000000000000000 in") == in(0.068));
}

TEST_CASE("a bare number takes the unit it is given, and none without one") {
  CHECK(read("5", Unit::inch) == in(5));
  CHECK(read("5", Unit::millimetre) == mm(5));
  CHECK(read("1 3/8", Unit::inch) == in(1.375));
  CHECK(read("5 mm", Unit::inch) == mm(5));
  CHECK(has(fault("5", std::nullopt), "without a unit"));
  CHECK(has(fault("1 3/8", std::nullopt), "without a unit"));
}

TEST_CASE("what is no length is refused, and the message says what it is") {
  struct Refused {
    std::string_view text;
    std::string_view says;
  };
  for (const auto& [text, says] : std::initializer_list<Refused>{
           {"", "no length given"},
           {"   ", "no length given"},
           {"0,068", "comma"},
           {"1,5 mm", "comma"},
           {"1.5,5", "comma"},
           {"010", "leading zero"},
           {"00", "leading zero"},
           {"00.5 in", "leading zero"},
           {"1 010/12", "not plain whole numbers"},
           {"1/08 in", "not plain whole numbers"},
           {"1e3", "exponent"},
           {"1e-3 in", "exponent"},
           {"1E5", "exponent"},
           {"1e308", "exponent"},
           {"5e", "exponent"},
           {".nan", "not a finite number"},
           {"NaN", "not a finite number"},
           {".inf", "not a finite number"},
           {"-.INF", "not a finite number"},
           {"-inf", "not a finite number"},
           {"+infinity", "not a finite number"},
           {"0x10", "another base"},
           {"-0x10", "another base"},
           {"0o17", "another base"},
           {"0B101", "another base"},
           {"1:30", "something after the number: ':30'"},
           {"1_000", "something after the number: '_000'"},
           {"no", "no number"},
           {"in", "no number"},
           {".", "no number"},
           {"- 5", "no number"},
           {"--5", "no number"},
           {"+5", "no number"},
           {"~", "no number"},
           {"1/0 in", "0 below the line"},
           {"1 1/0 in", "0 below the line"},
           {"1.5/2 in", "not plain whole numbers"},
           {"1/2.5 in", "something after the number"},
           {"1/ in", "not plain whole numbers"},
           {"1/-2 in", "not plain whole numbers"},
           {"1/1234567890123456", "not plain whole numbers"},
           {"1.5 3/8 in", "two numbers"},
           {"1 3 in", "two numbers"},
           {"1/2/3 in", "something after the number"},
           {"5 furlong", "unknown unit 'furlong'"},
           {"5 inch", "unknown unit 'inch'"},
           {"5 IN", "unknown unit 'IN'"},
           {"5 em", "unknown unit 'em'"},
           {"5\"", "mark for inch or foot"},
           {"7'6\"", "mark for inch or foot"},
           {"7 ft 6", "feet followed by"},
           {"7 ft 6 mm", "feet followed by"},
           {"7 ft 12 in", "twelve inches"},
           {"7 ft 11 9/8 in", "twelve inches"},
           {"7 ft -6 in", "something after the number"},
           {"7 ft 6 in 3", "something after the number"},
           {"5 in in", "something after the number"},
           {"5 in.", "something after the number"},
           {"5\tin", "something after the number"},
           {"5\xC2\xA0in", "no-break space"},
           {"5\xE2\x80\xAFmm", "no-break space"},
           {"\xC2\xBD in", "no number"},
           {"1001 m", "longer than a kilometre"},
           {"-1001 m", "longer than a kilometre"},
           {"99999999999999999999", "longer than a kilometre"},
       }) {
    INFO("'" << text << "' should be refused as: " << says);
    CHECK(has(fault(text), says));
  }
  CHECK(has(fault(std::string(41, '1')), "too many digits"));
  CHECK(has(fault("0." + std::string(400, '0') + "1"), "too many digits"));
}

TEST_CASE("a fault quotes the text, cut short, and the remedy shows how to write it") {
  const auto parsed = parse_length("0,068", Unit::inch);
  CHECK(parsed.fault == "'0,068': a comma in a number");
  CHECK(parsed.remedy == "write a decimal point: 0.068, not 0,068");
  CHECK(has(parse_length("5 ell", {}).remedy, "in, ft, thou, mm, cm, m, um"));
  CHECK(has(parse_length("x", {}).remedy, "7 ft 6 in"));
  CHECK(quoted_for_message("tip") == "'tip'");
  CHECK(quoted_for_message(std::string(40, 'x')) == "'" + std::string(40, 'x') + "'");
  CHECK(quoted_for_message(std::string(41, 'x')) == "'" + std::string(40, 'x') + "...'");
  CHECK(quoted_for_message("a\x1b[31m\n\x7f") ==
        "'a?[31m?"
        "?'");
  std::string umlauts;
  for (int i = 0; i < 41; ++i) umlauts += "\xC3\xBC";
  CHECK(quoted_for_message(umlauts) == "'" + umlauts.substr(0, 80) + "...'");
}

TEST_CASE("plain numbers follow the same rules for digits, and have no unit") {
  const auto read_number = [](std::string_view text) {
    INFO("'" << text << "'");
    const auto parsed = parse_number(text);
    REQUIRE(parsed);
    return *parsed.value;
  };
  CHECK(read_number("0.0018") == 0.0018);
  CHECK(read_number(" 9 ") == 9);
  CHECK(read_number("-2") == -2);
  CHECK(read_number("1/4") == 0.25);
  CHECK(read_number("1 1/4") == 1.25);
  CHECK(read_number("1000000000") == 1e9);
  struct Refused {
    std::string_view text;
    std::string_view says;
  };
  for (const auto& [text, says] : std::initializer_list<Refused>{{"", "no number given"},
                                                                 {"5 in", "after the number"},
                                                                 {"0,5", "comma"},
                                                                 {"09", "leading zero"},
                                                                 {"1e3", "exponent"},
                                                                 {".nan", "not a finite"},
                                                                 {"0x1F", "another base"},
                                                                 {"1/0", "0 below the line"},
                                                                 {"1000000001", "too large"},
                                                                 {"yes", "no number"}}) {
    INFO("'" << text << "' should be refused as: " << says);
    const auto parsed = parse_number(text);
    REQUIRE_FALSE(parsed);
    CHECK(has(parsed.fault, says));
    CHECK_FALSE(parsed.remedy.empty());
  }
}

TEST_CASE("a file's unit is in or mm, and nothing else") {
  CHECK(*parse_unit("in").value == Unit::inch);
  CHECK(*parse_unit("mm").value == Unit::millimetre);
  for (const std::string_view text : {"", "IN", "inch", "cm", " in", "in "})
    CHECK_FALSE(parse_unit(text));
}

TEST_CASE("lengths are read alike where the decimal sign is a comma") {
  const test::CommaLocale comma;
  if (!comma.set()) {
    WARN("skipped: there is no locale de_DE here (package locales)");
    return;
  }
  CHECK(read("0.25 in") == in(0.25));
  CHECK(has(fault("0,25 in"), "comma"));
  CHECK(*parse_number("0.0018").value == 0.0018);
}
