#include "inspection/shift.h"

#include <random>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

std::optional<Shift> shift_of(Bench const& bench, std::string const& rows) {
  const auto strip = bench.judged("strip,at_mm,a_mm,b_mm,c_mm\n" + rows);
  return best_shift(strip, *bench.targets[strip.section], bench.shop.spare, bench.judge);
}

std::string row(double x, double height) {
  return "s," + std::to_string(x) + "," + std::to_string(height) + ",,\n";
}

TEST_CASE("a strip that was made for a place further on is moved there") {
  // Targets rise by 0.002 a mm. A strip thinner by 0.04 everywhere is right 20 mm nearer to the
  // tip; plain limits of -0.02 and +0.03 let it be so from 10 mm on, up to 35, but the spare at the
  // butt end is 30.
  Bench bench;
  bench.judge.decide = Decide::plain;
  std::string thin, thick;
  for (double x = 0; x <= 500; x += 100) {
    thin += row(x, 1 + 0.002 * x - 0.04);
    thick += row(x, 1 + 0.002 * x + 0.04);
  }
  const auto towards_tip = shift_of(bench, thin);
  REQUIRE(towards_tip);
  CHECK(towards_tip->by.in_millimetres() == Approx(10));
  CHECK(towards_tip->until.in_millimetres() == Approx(30));
  CHECK(towards_tip->right_now == 0);
  CHECK(towards_tip->right_then == 6);
  const auto towards_butt = shift_of(bench, thick);
  REQUIRE(towards_butt);
  CHECK(towards_butt->by.in_millimetres() == Approx(-5));
  CHECK(towards_butt->until.in_millimetres() == Approx(-30));
  CHECK(towards_butt->right_then == 6);
}

TEST_CASE("guarded, the shift goes as far as the readings are proven") {
  // u² = 0.004² + 0.003²/12: u = 0.0040927; the band of -0.02 to 0.03 (12.2 u) shrinks by 1.64485 u
  // = 0.0067318 at both ends. Thinner by 0.04: from (0.04 - 0.0132682)/0.002 = 13.366 on.
  const Bench bench;
  const auto shift = shift_of(bench, row(0, 0.96) + row(250, 1.46) + row(500, 1.96));
  REQUIRE(shift);
  CHECK(shift->by.in_millimetres() == Approx(13.3659).epsilon(1e-5));
  CHECK(shift->until.in_millimetres() == Approx(30));
}

TEST_CASE("towards the butt there is the spare of the tip end, towards the tip that of the other") {
  // 40 and 30. Thick by 0.09 a strip has to go (0.09 - 0.03)/0.002 = 30 mm at least, by plain
  // limits, guarded (0.09 - 0.0232682)/0.002 = 33.37; by 0.11 it would be 43.4.
  const Bench bench;
  const auto thick = shift_of(bench, row(100, 1.29) + row(250, 1.59) + row(400, 1.89));
  REQUIRE(thick);
  CHECK(thick->by.in_millimetres() == Approx(-33.3659).epsilon(1e-5));
  CHECK(thick->until.in_millimetres() == Approx(-40));
  CHECK_FALSE(shift_of(bench, row(100, 1.31) + row(250, 1.61) + row(400, 1.91)));
  // Thin by 0.08: (0.08 - 0.0132682)/0.002 = 33.4, and there are 30.
  CHECK_FALSE(shift_of(bench, row(100, 1.12) + row(250, 1.42) + row(400, 1.72)));
}

TEST_CASE("a strip that is right, or that no shift helps, stays") {
  const Bench bench;
  CHECK_FALSE(shift_of(bench, row(0, 1) + row(500, 2)));
  // Thin by more than the spare is worth.
  CHECK_FALSE(shift_of(bench, row(0, 0.8) + row(500, 1.8)));
  // One too thick, one too thin: a shift mends the one and spoils the right ones.
  CHECK_FALSE(
      shift_of(bench, row(0, 1) + row(100, 1.2) + row(200, 1.48) + row(300, 1.6) + row(400, 1.8)));
}

TEST_CASE("of shifts that make as many right the smallest is taken") {
  // Two readings that want -10 to -20, two that want 12 to 22 (plain, 0.002 a mm): the former are
  // nearer.
  Bench bench;
  bench.judge.decide = Decide::plain;
  const auto wants = [&](double x, double s) { return row(x, 1 + 0.002 * (x - s)); };
  const auto shift =
      shift_of(bench, wants(100, -25) + wants(200, -25) + wants(300, 25) + wants(400, 25));
  REQUIRE(shift);
  // Right while -0.02 <= m - T(x - s) <= 0.03, that is s0 - 10 <= s <= s0 + 15.
  CHECK(shift->by.in_millimetres() == Approx(-10));
  CHECK(shift->right_then == 2);
}

/// How many readings are right after a shift, by judging them anew at their new places.
std::size_t right_after(Bench const& bench, JudgedPiece const& strip, double s) {
  std::size_t right = 0;
  for (auto const& place : strip.places)
    for (std::size_t h = 0; h < kMostHeights; ++h) {
      auto const& each = place.heights[h];
      if (!each) continue;
      const auto target = *bench.targets[strip.section]->at(place.at - mm(s))[h];
      if (verdict(each->read.mean, target.limits, each->uncertainty, bench.judge.decide) ==
          Verdict::right)
        ++right;
    }
  return right;
}

TEST_CASE("no grid of shifts finds more right readings, nor as many nearer") {
  // Crooked tapers, one that falls, one smooth, round faces, repeated readings: against a grid
  // of 0.05 mm, readings judged anew at each step.
  const std::string crooked =
      "format: stripwright-taper-1\nname: Bramble\nunit: mm\nbetween: linear\n"
      "taper: {0: 2, 60: 2.5, 90: 2.9, 120: 2.8, 200: 3.1, 300: 3.6, 330: 4, 500: 4.4}\n";
  std::string smooth = crooked;
  smooth.replace(smooth.find("linear"), 6, "smooth");
  std::mt19937 random(20250317);
  std::uniform_real_distribution<double> off(-0.06, 0.06);
  int helped = 0;
  for (auto const& taper : {crooked, smooth})
    for (auto const& enamel : {kFlat, kRound})
      for (int run = 0; run < 6; ++run) {
        Bench bench(shop_text(enamel), Stage::milled, {}, taper);
        bench.judge.decide = run % 2 == 0 ? Decide::guarded : Decide::plain;
        const double common = off(random);
        std::string rows;
        for (double x = 0; x <= 500; x += 50) {
          const auto targets = bench.targets[0]->at(at(x));
          rows += "s," + std::to_string(x);
          for (std::size_t h = 0; h < 3; ++h)
            rows +=
                "," + std::to_string(targets[h]->value.in_millimetres() + common + off(random) / 3);
          rows += "\n";
        }
        const auto strip = bench.judged("strip,at_mm,a_mm,b_mm,c_mm\n" + rows);
        const auto shift = best_shift(strip, *bench.targets[0], bench.shop.spare, bench.judge);
        const std::size_t now = count(strip)[Verdict::right];
        const std::size_t best = shift ? shift->right_then : now;
        const double by = shift ? shift->by.in_millimetres() : 0;
        std::size_t best_on_grid = 0;
        double nearest = 1e9;
        for (double s = -40; s <= 30; s += 0.05) {
          const auto right = right_after(bench, strip, s);
          if (right > best_on_grid || (right == best_on_grid && std::fabs(s) < nearest))
            best_on_grid = right, nearest = std::fabs(s);
        }
        CHECK(best_on_grid <= best);
        // Limits are good to a nanometre of height; on the flattest piece that is 0.7 µm of shift.
        if (best_on_grid == best) CHECK(std::fabs(by) <= nearest + 1e-3);
        if (!shift) continue;
        ++helped;
        // And it is true: just inside the stretch that is told, so many are right.
        const double inside = (shift->until.in_millimetres() - by) * 1e-3;
        CHECK(right_after(bench, strip, by + inside) == best);
        CHECK(std::fabs(by) <= 40);
      }
  CHECK(helped > 10);
}

}  // namespace
