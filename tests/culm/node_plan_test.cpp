#include "culm/node_plan.h"

#include <algorithm>
#include <random>

#include "catch.h"
#include "selection/candidates.h"

namespace stripwright::culm {
namespace {

constexpr Length mm(double value) { return Length::millimetres(value); }

NodeTask task(std::vector<double> const& nodes, std::vector<double> const& displacements,
              double min_gap, double keep_clear) {
  NodeTask out;
  out.section = {"tip", Station(mm(0)), Station(mm(1000)), 1};
  out.rules = {mm(min_gap), mm(keep_clear), {Station(mm(0)), Station(mm(1000))}};
  out.spare = {mm(40), mm(40)};
  for (const double node : nodes) out.nodes.emplace_back(mm(node));
  for (const double by : displacements) out.displacements.push_back(mm(by));
  return out;
}

/// What a placing lacks, straight from the rules.
double lacks(NodeTask const& task, std::vector<double> const& displaced) {
  double sum = 0;
  const auto at = [&](std::size_t place, Station node) {
    return node.from_zero().in_millimetres() - displaced[place];
  };
  const auto inside = [&](double x) { return x >= 0 && x <= 1000; };
  // What there is of a strip beyond its section: less on the side that it is moved to the other
  // end of; one that is moved by more than its spare ends with the section.
  const auto on_strip = [&](std::size_t place, double x) {
    return x >= -40 - std::min(displaced[place], 40.0) &&
           x <= 1000 + std::max(0.0, 40 - displaced[place]);
  };
  for (std::size_t i = 0; i < 6; ++i)
    for (const Station a : task.nodes) {
      const double x = at(i, a);
      if (!on_strip(i, x)) continue;
      for (const double place : {0.0, 1000.0})
        sum += std::max(0.0, task.rules.keep_clear.in_millimetres() - std::abs(x - place));
      if (!inside(x)) continue;
      for (const Station b : task.nodes) {
        const double y = at((i + 1) % 6, b);
        if (inside(y)) sum += std::max(0.0, task.rules.min_gap.in_millimetres() - std::abs(x - y));
      }
    }
  return sum;
}

std::vector<double> in_mm(std::vector<Length> const& lengths) {
  std::vector<double> out;
  for (const Length each : lengths) out.push_back(each.in_millimetres());
  return out;
}

TEST_CASE("every plan lacks what the rules say of its placing, and has its pattern") {
  std::mt19937 random(5);
  for (int round = 0; round < 40; ++round) {
    std::vector<double> nodes;
    for (int at = 40; at < 1100; at += std::uniform_int_distribution<int>(150, 350)(random))
      nodes.push_back(at);
    const auto given = task(nodes, {-40, -20, 0, 20, 40, 60, 80}, 30, 25);
    const auto plans = node_plans(given);
    REQUIRE(plans.size() == 5);
    for (auto const& plan : plans) {
      CAPTURE(plan.name, round);
      CHECK(plan.shortfall.in_millimetres() ==
            Approx(lacks(given, in_mm(plan.displaced))).margin(1e-6));
    }
    const auto alike = in_mm(plans[0].displaced);
    CHECK(std::count(alike.begin(), alike.end(), alike[0]) == 6);
    const auto threes = in_mm(plans[1].displaced);
    CHECK((threes[0] == threes[2] && threes[2] == threes[4] && threes[1] == threes[3] &&
           threes[3] == threes[5] && threes[0] != threes[1]));
    const auto twos = in_mm(plans[2].displaced);
    CHECK((twos[0] == twos[3] && twos[1] == twos[4] && twos[2] == twos[5]));
    CHECK(twos[1] - twos[0] == Approx(twos[2] - twos[1]));
    const auto spiral = in_mm(plans[3].displaced);
    for (std::size_t i = 1; i < 5; ++i)
      CHECK(spiral[i + 1] - spiral[i] == Approx(spiral[1] - spiral[0]));
  }
}

TEST_CASE("the free choice lacks as little as the best of all placings tried") {
  std::mt19937 random(6);
  const std::vector<double> displacements = {-30, 0, 20, 50};
  for (int round = 0; round < 20; ++round) {
    std::vector<double> nodes;
    for (int at = 20; at < 1100; at += std::uniform_int_distribution<int>(60, 200)(random))
      nodes.push_back(at);
    const auto given = task(nodes, displacements, 45, 25);
    double best = 1e9;
    for (int code = 0; code < 4096; ++code) {
      std::vector<double> displaced;
      for (int i = 0; i < 6; ++i)
        displaced.push_back(displacements[static_cast<std::size_t>(code >> (2 * i) & 3)]);
      best = std::min(best, lacks(given, displaced));
    }
    const auto plans = node_plans(given);
    CHECK(plans.back().shortfall.in_millimetres() == Approx(best).margin(1e-6));
  }
}

TEST_CASE("of placings that are alike in all else that towards the tip is taken") {
  const auto plans = node_plans(task({500}, {-20, 0, 20}, 20, 25));
  CHECK(in_mm(plans[1].displaced) == std::vector<double>{0, 20, 0, 20, 0, 20});
}

TEST_CASE("a node just beyond the joint makes strips move away from it") {
  // 5 beyond the joint at 1000, wanted 25 clear of it: 20 more, towards the butt.
  const auto given = task({1005}, {-30, -20, 0, 20}, 0, 25);
  const auto plan = node_plans(given).back();
  CHECK(plan.shortfall == Length{});
  for (const Length by : plan.displaced) CHECK(by.in_millimetres() == Approx(-20));
}

TEST_CASE("patterns that would take more than there is are left out") {
  CHECK(node_plans(task({500}, {0}, 30, 25)).size() == 2);          // all alike, free choice
  CHECK(node_plans(task({500}, {0, 10}, 30, 25)).size() == 3);      // and two groups of three
  CHECK(node_plans(task({500}, {0, 10, 20}, 30, 25)).size() == 4);  // and three of two
}

}  // namespace
}  // namespace stripwright::culm
