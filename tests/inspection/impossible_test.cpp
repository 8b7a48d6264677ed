#include "inspection/impossible.h"

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

TEST_CASE("what is nearer to its target than to ten times or a tenth of it can be") {
  CHECK(can_be(mm(1), mm(1)));
  CHECK(can_be(mm(3.16), mm(1)));
  CHECK_FALSE(can_be(mm(3.17), mm(1)));  // √10 = 3.1623
  CHECK(can_be(mm(0.317), mm(1)));
  CHECK_FALSE(can_be(mm(0.316), mm(1)));
  CHECK_FALSE(can_be(mm(0), mm(1)));
  CHECK_FALSE(can_be(mm(-1), mm(1)));
}

std::string guess(Bench const& bench, std::size_t section,
                  std::vector<std::pair<double, double>> const& readings,
                  ReadingKind kind = ReadingKind::strips) {
  std::vector<DoubtfulReading> odd;
  for (auto const& [x, value] : readings)
    odd.push_back(
        {at(x), 0, mm(value), kind, {}, *bench.targets[section], bench.order().choice.sections});
  return guess_about_strip(odd);
}

TEST_CASE("a whole strip that fits nothing but another place is told so") {
  const Bench bench;
  // Tip strips are 1 + 0.002 x, so measured from the wrong end they are 2 - 0.002 x.
  CHECK(guess(bench, 0, {{0, 2}, {100, 1.8}, {400, 1.21}}) ==
        "are tip and butt swapped? stations count from the tip end");
  CHECK(guess(bench, 0, {{0, 2.01}, {250, 2.5}, {500, 3}}) == "is this a strip of section butt?");
  CHECK(guess(bench, 0, {{0, 2}, {250, 3}, {500, 4}}) ==
        "across flats, where the height of a strip is expected?");
  CHECK(guess(bench, 0, {{0, 1.02}, {250, 1.55}, {500, 2}}).empty());  // off, but not by a tenth
  CHECK(guess(bench, 0, {{0, 1.5}, {250, 2.1}, {500, 1.1}}).empty());  // off, and nothing fits
  CHECK(guess(bench, 0, {}).empty());
  // Its other end would lie at 538 mm, and the strip ends at 530.
  CHECK(guess(bench, 0, {{-28, 2.05}}) ==
        "are tip and butt swapped? stations count from the tip end");
  CHECK(guess(bench, 0, {{-38, 2.07}}).empty());
  const Bench glued(shop_text(kFlat), Stage::glued);
  CHECK(guess(glued, 0, {{0, 1}, {250, 1.5}}, ReadingKind::sections) ==
        "the height of a strip, where across flats is expected?");
}

}  // namespace
