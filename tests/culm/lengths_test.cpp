#include "culm/lengths.h"

#include "catch.h"

namespace stripwright::culm {
namespace {

constexpr Length mm(double value) { return Length::millimetres(value); }

/// A section of 1000 mm whose strips have 40 mm of spare at both ends.
NodeTask section(double min_gap, double keep_clear) {
  NodeTask out;
  out.section = {"butt", Station(mm(1000)), Station(mm(2000)), 1};
  out.spare = {mm(40), mm(40)};
  out.rules = {mm(min_gap), mm(keep_clear), {Station(mm(1000)), Station(mm(2000))}};
  return out;
}

std::vector<double> stations(NodeTask const& task) {
  std::vector<double> out;
  for (const Station node : task.nodes) out.push_back(node.from_zero().in_millimetres());
  return out;
}

std::vector<std::pair<double, double>> where(std::vector<SectionLength> const& lengths) {
  std::vector<std::pair<double, double>> out;
  for (auto const& each : lengths)
    out.emplace_back(each.where.from.in_millimetres(), each.where.to.in_millimetres());
  return out;
}

TEST_CASE("pieces of a section that overlap are one length, others are lengths of their own") {
  const std::vector<CulmPiece> pieces = {{"butt", mm(2000), {}},
                                         {"tip", mm(25), {"t4", "t5", "t6"}},
                                         {"tip", mm(0), {"t1", "t2", "t3"}},
                                         {"tip", mm(1080), {"t7"}}};
  const auto tips = split_lengths(pieces, "tip", mm(1080));
  REQUIRE(tips.size() == 2);
  CHECK(tips[0].where.from == mm(0));
  CHECK(tips[0].where.to == mm(1105));
  CHECK(tips[0].strips == 6);
  CHECK(tips[0].placed);
  CHECK(tips[1].where.from == mm(1080));
  CHECK(tips[1].strips == 1);
  CHECK_FALSE(tips[1].placed);
  CHECK(split_lengths(pieces, "middle", mm(1080)).empty());
}

// By hand: a strip that starts 1130 along the culm has the culm's node at 1190 60 from its tip end,
// which is 40 beyond the section's: station 1000 - 40 + 60 = 1020.
TEST_CASE("a length has the nodes of the stretch that it is sawn from") {
  CHECK(stations(node_task({mm(120), mm(1190), mm(1570)}, mm(1130), mm(0), mm(5), section(0, 0))) ==
        std::vector<double>{-50, 1020, 1400});
}

TEST_CASE("lengths lie end to end, each with its own nodes, and the last has what is left") {
  const auto lengths = lengths_along({mm(100), mm(2360)}, {0, 0}, {mm(1080)}, {section(25, 25)},
                                     {mm(700), mm(1500)}, mm(5));
  CHECK(where(lengths) == std::vector<std::pair<double, double>>{{100, 1180}, {1180, 2260}});
  CHECK(lengths[0].room == mm(0));
  CHECK(lengths[1].room == mm(100));
  CHECK(stations(*lengths[0].task) == std::vector<double>{1560, 2360});
  CHECK(stations(*lengths[1].task) == std::vector<double>{480, 1280});
  CHECK(lengths[0].task->displacements.back() == mm(40));
  CHECK(lengths[1].task->displacements.back() == mm(140));
  CHECK(lengths[0].keeps_rules());
}

// By hand: neighbours are 90 apart, and a strip moves by 40 either way within its spare, which is
// enough for none but 80. So one group goes 10 beyond its spare: -40 and 50.
TEST_CASE("a length whose spare is too short for its nodes is sawn longer where cane is left") {
  const auto lengths = [&](double to) {
    return lengths_along({mm(0), mm(to)}, {0, 0}, {mm(1080)}, {section(90, 0)}, {mm(540)}, mm(5));
  };
  CHECK(where(lengths(2300)) == std::vector<std::pair<double, double>>{{0, 1090}, {1090, 2170}});
  CHECK(lengths(2300)[0].keeps_rules());
  CHECK(lengths(2300)[1].room == mm(130));
  // What is left would not be enough, so nothing of it is used up in vain.
  CHECK(where(lengths(2160)) == std::vector<std::pair<double, double>>{{0, 1080}, {1080, 2160}});
  CHECK_FALSE(lengths(2160)[0].keeps_rules());
}

TEST_CASE("without nodes lengths have their places all the same") {
  const auto lengths =
      lengths_along({mm(0), mm(2160)}, {0, 0}, {mm(1080)}, {section(25, 25)}, {}, mm(5));
  CHECK(where(lengths) == std::vector<std::pair<double, double>>{{0, 1080}, {1080, 2160}});
  CHECK_FALSE(lengths[0].task);
  CHECK(lengths[0].keeps_rules());
}

}  // namespace
}  // namespace stripwright::culm
