#include "inspection/column_guess.h"

#include <fmt/format.h>

#include <random>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

constexpr int kStrips = 6;

/// Strips of the tip as they should be, each thick or thin as a whole, read with a scatter; the
/// places counted from `counted_from`. Columns as headed.
struct Drawn {
  std::string head = "strip,at_mm,a_mm,b_mm,c_mm";
  double counted_from_mm = 0;
  double strips_differ_mm = 0.02;
  double all_off_mm = 0;
  double a_goes_over_to_b = 0;  ///< share of the way
  std::string enamel = kRound;
};

struct Guesses {
  std::optional<Height> a;
  std::optional<PlaceFrom> place;
};

Guesses guesses(Drawn const& drawn) {
  const Bench bench(shop_text(drawn.enamel));
  std::mt19937 random(3);
  std::normal_distribution<double> noise(0, 0.004);
  std::uniform_real_distribution<double> of_strip(-drawn.strips_differ_mm, drawn.strips_differ_mm);
  std::string csv = drawn.head + "\n";
  for (int s = 0; s < kStrips; ++s) {
    const double off = drawn.all_off_mm + of_strip(random);
    for (const double x : {50, 150, 250, 350, 450}) {
      csv += fmt::format("s{},{}", s, x - drawn.counted_from_mm);
      const auto wanted = bench.targets[0]->at(at(x));
      const double a = wanted[0]->value.in_millimetres(), b = wanted[1]->value.in_millimetres();
      for (std::size_t h = 0; h < kMostHeights; ++h)
        csv += fmt::format(",{:.3f}", wanted[h]->value.in_millimetres() + off + noise(random) +
                                          (h == 0 ? drawn.a_goes_over_to_b * (b - a) : 0));
      csv += '\n';
    }
  }
  Problems problems;
  const files::SourceText source("strips.csv", csv);
  const auto columns = read_columns(source, {}, problems);
  const auto order = bench.order();
  // Of the tip alone: places counted from elsewhere may be of both.
  const ReadingsOrder of_tip{{{order.choice.sections[0]}, {}}, "groove", Unit::millimetre};
  const auto readings = read_readings(source, *columns, of_tip, problems);
  INFO(problems.text());
  REQUIRE(readings);
  return {likelier_height_a(*readings, bench.judge),
          likelier_place(*readings, *columns, of_tip.choice.sections)};
}

TEST_CASE("columns a and b, or a and c, that are swapped are found on a round face") {
  CHECK_FALSE(guesses({}).a);
  CHECK(guesses({.head = "strip,at_mm,b_mm,a_mm,c_mm"}).a == Height::b);
  CHECK(guesses({.head = "strip,at_mm,c_mm,b_mm,a_mm"}).a == Height::c);
  CHECK_FALSE(guesses({.head = "strip,at_mm,a_mm,c_mm,b_mm"}).a);  // b and c are to be the same
  // Whether strips are thick or thin as a whole does not matter.
  CHECK(guesses({.head = "strip,at_mm,b_mm,a_mm,c_mm", .strips_differ_mm = 0.2}).a == Height::b);
  CHECK_FALSE(guesses({.strips_differ_mm = 0.2}).a);
  CHECK_FALSE(guesses({.all_off_mm = 0.1}).a);
  // A crown that is planed off too far is not b unless that fits three times better.
  CHECK_FALSE(guesses({.a_goes_over_to_b = 0.5}).a);
  CHECK_FALSE(guesses({.a_goes_over_to_b = 0.7}).a);
  // On a flat face all heights are the same.
  CHECK_FALSE(guesses({.head = "strip,at_mm,b_mm,a_mm,c_mm", .enamel = kFlat}).a);
}

TEST_CASE("places counted from the strip's end, or not, are found for all strips together") {
  // The tip's strips begin 40 mm before station 0; 0.08 mm of height lie in that.
  CHECK_FALSE(guesses({}).place);
  CHECK(guesses({.counted_from_mm = -40}).place == PlaceFrom::strip_end);
  CHECK(guesses({.head = "strip,from_end_mm,a_mm,b_mm,c_mm"}).place == PlaceFrom::rod_tip);
  CHECK_FALSE(guesses({.head = "strip,from_end_mm,a_mm,b_mm,c_mm", .counted_from_mm = -40}).place);
  CHECK_FALSE(guesses({.all_off_mm = 0.08}).place);   // thick, and not thin
  CHECK_FALSE(guesses({.all_off_mm = -0.04}).place);  // thin, but by half of it
  CHECK_FALSE(guesses({.strips_differ_mm = 0.2}).place);
}

std::optional<PlaceFrom> place_guessed(std::string const& rows) {
  const Bench bench(shop_text(kRound));
  Problems problems;
  const files::SourceText source("strips.csv", "strip,at_mm,a_mm\n" + rows);
  const auto columns = read_columns(source, {}, problems);
  const auto order = bench.order();
  const ReadingsOrder of_tip{{{order.choice.sections[0]}, {}}, "groove", Unit::millimetre};
  const auto readings = read_readings(source, *columns, of_tip, problems);
  INFO(problems.text());
  REQUIRE(readings);
  return likelier_place(*readings, *columns, of_tip.choice.sections);
}

TEST_CASE("few readings make no guess") {
  const Bench bench(shop_text(kRound));
  Problems problems;
  const files::SourceText source("strips.csv",
                                 "strip,at_mm,a_mm,b_mm\ns,0,1.1,1.3\ns,90,1.2,1.4\n");
  const auto columns = read_columns(source, {}, problems);
  const auto readings = read_readings(source, *columns, bench.order(), problems);
  REQUIRE(readings);
  CHECK_FALSE(likelier_height_a(*readings, bench.judge));
  // Three are enough to tell where places are counted from: these are right 40 mm further down.
  const auto row = [](double x) {
    const Bench of(shop_text(kRound));
    return fmt::format("s,{},{:.3f}\n", x + 40, of.targets[0]->at(at(x))[0]->value / mm(1));
  };
  CHECK_FALSE(place_guessed(row(50) + row(150)));
  CHECK(place_guessed(row(50) + row(150) + row(250)) == PlaceFrom::strip_end);
}

}  // namespace
