// Cutting a stack of culms against trying every way there is.

#include "culm/stack.h"

#include <algorithm>
#include <functional>
#include <random>

#include "catch.h"

namespace stripwright::culm {
namespace {

constexpr Length mm(double value) { return Length::millimetres(value); }

std::size_t most_rods_by_trying(std::vector<StackCulm> const& culms,
                                std::vector<Length> const& lengths,
                                std::vector<std::size_t> const& make,
                                std::vector<std::size_t> const& already) {
  std::size_t best = 0;
  std::vector<std::size_t> made = already;
  std::function<void(std::size_t, Length)> go_on = [&](std::size_t culm, Length left) {
    if (culm == culms.size()) {
      std::size_t rods = SIZE_MAX;
      for (std::size_t s = 0; s < make.size(); ++s) rods = std::min(rods, made[s] / make[s]);
      best = std::max(best, rods);
      return;
    }
    const Length next = culm + 1 < culms.size() ? culms[culm + 1].length : Length{};
    go_on(culm + 1, next);
    for (std::size_t s = 0; s < lengths.size(); ++s) {
      if (lengths[s] > left) continue;
      made[s] += culms[culm].sections_of_piece[s];
      go_on(culm, left - lengths[s]);
      made[s] -= culms[culm].sections_of_piece[s];
    }
  };
  go_on(0, culms.front().length);
  return best;
}

TEST_CASE("a stack gives as many rods as the best of all ways to cut it") {
  std::mt19937 random(11);
  const auto upto = [&](std::size_t least, std::size_t most) {
    return std::uniform_int_distribution<std::size_t>(least, most)(random);
  };
  for (int round = 0; round < 200; ++round) {
    const std::size_t sections = upto(1, 3);
    std::vector<Length> lengths;
    std::vector<std::size_t> make;
    for (std::size_t s = 0; s < sections; ++s) {
      lengths.push_back(mm(static_cast<double>(upto(900, 1500))));
      make.push_back(upto(1, 2));
    }
    std::vector<StackCulm> culms;
    for (std::size_t c = upto(1, 3); c > 0; --c) {
      culms.push_back({mm(static_cast<double>(upto(800, 3900))), {}});
      for (std::size_t s = 0; s < sections; ++s)
        culms.back().sections_of_piece.push_back(upto(0, 3));
    }
    std::vector<std::size_t> already;
    for (std::size_t s = 0; s < sections; ++s) already.push_back(upto(0, 2) * upto(0, 1));
    const auto plan = plan_stack(culms, lengths, make, already);
    CAPTURE(round);
    CHECK(plan.rods == most_rods_by_trying(culms, lengths, make, already));
    // The cuts fit, and give what the plan says.
    std::vector<std::size_t> made = already;
    for (std::size_t c = 0; c < culms.size(); ++c) {
      Length used;
      for (std::size_t s = 0; s < sections; ++s) {
        used += lengths[s] * static_cast<double>(plan.pieces[c][s]);
        made[s] += plan.pieces[c][s] * culms[c].sections_of_piece[s];
      }
      CHECK(used < culms[c].length + kSamePlace);
    }
    CHECK(made == plan.sections);
  }
}

TEST_CASE("what is left of a culm lies between the pieces, whatever their order") {
  const auto left = [](double culm, std::vector<std::pair<double, double>> const& cut,
                       double least) {
    std::vector<Stretch> pieces;
    for (auto const& [from, to] : cut) pieces.push_back({mm(from), mm(to)});
    std::vector<std::pair<double, double>> out;
    for (auto const& each : stretches_left(mm(culm), pieces, mm(least)))
      out.emplace_back(each.from.in_millimetres(), each.to.in_millimetres());
    return out;
  };
  using Stretches = std::vector<std::pair<double, double>>;
  CHECK(left(3000, {}, 100) == Stretches{{0, 3000}});
  CHECK(left(3000, {{0, 1200}}, 100) == Stretches{{1200, 3000}});
  CHECK(left(3000, {{1500, 2700}, {0, 1200}}, 100) == Stretches{{1200, 1500}, {2700, 3000}});
  CHECK(left(3000, {{1500, 2700}, {0, 1200}}, 301).empty());
  CHECK(left(3000, {{0, 1200}, {25, 1225}, {50, 1100}}, 100) == Stretches{{1225, 3000}});
  CHECK(left(3000, {{2500, 3700}}, 100) == Stretches{{0, 2500}});
  CHECK(left(3000, {{3100, 4000}}, 100) == Stretches{{0, 3000}});
}

}  // namespace
}  // namespace stripwright::culm
