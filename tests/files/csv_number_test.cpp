#include <bit>
#include <cstdint>
#include <random>

#include "catch.h"
#include "files/csv_reader.h"

namespace stripwright::files {
namespace {

/// The bits, so that -0 and 0 differ and no tolerance hides anything.
std::uint64_t bits(double value) { return std::bit_cast<std::uint64_t>(value); }

/// What the one grammar says of the same text, in millimetres.
std::optional<double> by_grammar(std::string const& text) {
  const auto parsed = parse_length(text, Unit::millimetre);
  if (!parsed) return std::nullopt;
  return parsed.value->in_millimetres();
}

TEST_CASE("a plain decimal has the bits that the grammar of lengths gives") {
  for (const std::string text :
       {"0", "0.0345", ".5", "5.", "12", "-3.1", "-0", "-.25", " 0.0345 ", "0.1", "0.2", "0.3",
        "999999.999999999", "123456789.01234", "0.00000000000001", "4.35", "2.675", "1.005"}) {
    INFO(text);
    const auto quick = plain_decimal(text);
    const auto slow = by_grammar(text);
    REQUIRE(slow.has_value() == (text != "123456789.01234"));
    REQUIRE(quick);
    if (slow) CHECK(bits(*quick) == bits(*slow));
  }
}

TEST_CASE("a hundred thousand decimals, all with the same bits by both ways") {
  std::mt19937_64 random(20250312);
  std::size_t differ = 0;
  for (int i = 0; i < 100'000; ++i) {
    const auto digits = 1 + random() % 15;
    const auto decimals = random() % (digits + 1);
    auto whole = std::to_string(random() % 1'000'000'000'000'000ULL);
    whole.resize(digits, '7');
    std::string text = whole.substr(0, digits - decimals);
    // A whole part without leading zeros, and small enough to be a length.
    text = std::to_string(std::stoull("0" + text) % 1'000'000);
    if (decimals > 0) text += "." + whole.substr(digits - decimals);
    if (random() % 4 == 0) text = "-" + text;
    const auto quick = plain_decimal(text);
    const auto slow = by_grammar(text);
    if (!slow) continue;
    // Too many digits for the short way is no mistake, another value is.
    if (quick && bits(*quick) != bits(*slow)) ++differ;
  }
  CHECK(differ == 0);
}

TEST_CASE("what is no plain decimal is left to the grammar") {
  for (const char* text : {"",
                           " ",
                           "-",
                           ".",
                           "-.",
                           "010",
                           "00",
                           "-01",
                           "1e3",
                           "1E3",
                           "+1",
                           "0x10",
                           "1,5",
                           "1 3/8",
                           "13/64",
                           "5 in",
                           "0.0345in",
                           "nan",
                           "inf",
                           "1_000",
                           "1.2.3",
                           "--1",
                           "1 2",
                           "1234567890123456",
                           "0.1234567890123456",
                           "12345678.12345678",
                           "99999999999999999999999999",
                           "0.00000000000000000000001"}) {
    INFO(text);
    CHECK_FALSE(plain_decimal(text));
  }
}

TEST_CASE("a field is a length by the one grammar, whichever way it takes") {
  const auto mm = [](std::string_view text, std::optional<Unit> unit) {
    const auto parsed = csv_length(text, unit);
    return parsed ? std::optional(parsed.value->in_millimetres()) : std::nullopt;
  };
  CHECK(mm("0.0345", Unit::inch) == Length::inches(0.0345).in_millimetres());
  CHECK(mm("13/64 in", Unit::millimetre) == 5.159375);
  CHECK(mm("34.5 thou", Unit::millimetre) == Length::inches(0.0345).in_millimetres());
  CHECK(mm("1 3/8", Unit::inch) == 34.925);
  CHECK_FALSE(mm("0.0345", std::nullopt));
  CHECK_FALSE(mm("010", Unit::inch));
  CHECK_FALSE(mm("0,0345", Unit::inch));
  CHECK_FALSE(mm("1e-3", Unit::inch));
  CHECK_FALSE(mm("2000000", Unit::millimetre));  // two kilometres
  CHECK(mm("20000", Unit::millimetre) == 20000.0);
}

}  // namespace
}  // namespace stripwright::files
