#include <random>

#include "catch.h"
#include "selection/pool.h"

namespace stripwright::selection {
namespace {

TEST_CASE("names count as people count") {
  CHECK(name_before("s2", "s10"));
  CHECK_FALSE(name_before("s10", "s2"));
  CHECK(name_before("s", "s1"));
  CHECK(name_before("a10", "b2"));
  CHECK(name_before("s01", "s1"));
  CHECK_FALSE(name_before("s1", "s01"));
  CHECK(name_before("A2 x3", "A2 x20"));
  CHECK_FALSE(name_before("s1", "s1"));
}

/// The name with each of its numbers written in ten digits: in the order of these, as plain texts,
/// names count as people count.
std::string in_ten_digits(std::string const& name) {
  std::string out, number;
  for (const char c : name + '\n') {
    if (c >= '0' && c <= '9') {
      number += c;
      continue;
    }
    if (!number.empty()) out += std::string(10 - number.size(), '0') + number;
    number.clear();
    if (c != '\n') out += c;
  }
  return out;
}

TEST_CASE("names stand as they do with all their numbers written in equally many digits") {
  std::mt19937 random(7);
  const auto name = [&] {
    std::string out;
    for (auto length = random() % 6; length > 0; --length) out += "00112 ab"[random() % 8];
    return out;
  };
  for (int i = 0; i < 20000; ++i) {
    const auto one = name(), other = name();
    const auto padded = in_ten_digits(one), other_padded = in_ten_digits(other);
    INFO("'" << one << "' and '" << other << "'");
    REQUIRE(name_before(one, other) ==
            (padded == other_padded ? one < other : padded < other_padded));
  }
}

}  // namespace
}  // namespace stripwright::selection
