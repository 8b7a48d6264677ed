#include "inspection/lone_readings.h"

#include <fmt/format.h>

#include <random>

#include "catch.h"
#include "inspection/judging_bench.h"
#include "inspection/strip_summary.h"

using namespace judging;

namespace {

/// Stations 0, 100 ... 500 of the bench's tip, where strips are 1 + 0.002 x high.
constexpr int kPlaces = 6;

using Offs = std::array<double, kPlaces>;

std::string rows(std::string const& name, std::vector<Offs> const& offs) {
  std::string out;
  for (std::size_t i = 0; i < kPlaces; ++i) {
    out += fmt::format("{},{}", name, 100 * i);
    for (auto const& of_height : offs)
      out += fmt::format(",{:.3f}", 1 + 0.2 * static_cast<double>(i) + of_height[i]);
    out += '\n';
  }
  return out;
}

std::string head(std::size_t heights) {
  return heights == 1 ? "strip,at_mm,a_mm\n" : "strip,at_mm,a_mm,b_mm,c_mm\n";
}

JudgedPiece marked(Bench const& bench, std::string const& csv) {
  const auto readings = bench.must_read(csv);
  auto piece = judge(readings.pieces.front(), readings, bench.judge);
  LoneReadings(readings).mark(piece);
  return piece;
}

/// `500 a` and so on, of the first strip.
std::vector<std::string> lone(Bench const& bench, std::string const& csv) {
  std::vector<std::string> out;
  for (auto const& place : marked(bench, csv).places)
    for (auto const& each : place.heights)
      if (each && each->lone)
        out.push_back(
            fmt::format("{} {}", place.at.from_zero().in_millimetres(), word(each->height)));
  return out;
}

std::vector<std::string> lone(std::vector<Offs> const& offs) {
  return lone(Bench(), head(offs.size()) + rows("s", offs));
}

using Names = std::vector<std::string>;

TEST_CASE("a reading that is off alone stands alone, and its neighbours say what it should be") {
  const Offs offs = {0.002, 0.004, 0.001, 0.092, 0.003, 0.002};
  CHECK(lone({offs}) == Names{"300 a"});
  const auto piece = marked(Bench(), head(1) + rows("s", {offs}));
  // Midway between 0.001 and 0.003 over, at a target of 1.6.
  CHECK(piece.places[3].heights[0]->lone->expected.in_millimetres() == Approx(1.602));
  CHECK_FALSE(piece.places[3].heights[0]->lone->others_stay);
  CHECK(piece.places[3].heights[0]->verdict == Verdict::thick);  // the verdict stays
  Offs low = offs;
  low[3] = -0.09;
  CHECK(lone({low}) == Names{"300 a"});
}

TEST_CASE("steps, strips that are over alike, slopes and rough strips are no misreadings") {
  CHECK(lone({{0, 0, 0, 0, 0, 0.2}}).empty());                // a step at the end
  CHECK(lone({{-0.2, 0, 0, 0, 0, 0}}).empty());               // and at the other
  CHECK(lone({{0, 0, 0, 0, 0.2, 0.2}}).empty());              // over two stations
  CHECK(lone({{0, 0, 0, 0.2, 0.2, 0.2}}).empty());            // halfway
  CHECK(lone({{0.2, 0.2, 0.2, 0.2, 0.2, 0.2}}).empty());      // over alike
  CHECK(lone({{0, 0.1, 0.2, 0.3, 0.4, 0.5}}).empty());        // a slope
  CHECK(lone({{0, 0.07, 0.14, 0.14, 0.07, 0}}).empty());      // a belly
  CHECK(lone({{0, 0.1, -0.03, 0.08, -0.05, 0.02}}).empty());  // rough all along
}

TEST_CASE("of a uniformly thick strip the one reading at its target stands alone") {
  CHECK(lone({{0.2, 0.201, 0.2, 0.0, 0.2, 0.199}}) == Names{"300 a"});
}

// Between neighbours at 100 and 240 a place at 120 has six sevenths of the one and a seventh of the
// other: its distance scatters √(1 + 36/49 + 1/49) times as much as one reading. Of the five there
// are, without the odd one, the median is 0.0371 of one reading's; that over 0.6745 is 0.0549, and
// 3.5 of it are 0.192.
TEST_CASE("how a strip scatters is told from places as far apart as they are") {
  const auto odd = [](double off) {
    std::string csv = head(1);
    const std::array<std::pair<double, double>, 8> places = {{{0, 0},
                                                              {100, 0.03},
                                                              {120, -0.02},
                                                              {220, off},
                                                              {240, 0.02},
                                                              {340, -0.03},
                                                              {360, 0.03},
                                                              {460, 0}}};
    for (auto const& [x, over] : places)
      csv += fmt::format("s,{},{:.3f}\n", x, 1 + 0.002 * x + over);
    return lone(Bench(), csv);
  };
  CHECK(odd(0.02 + 0.191).empty());
  CHECK(odd(0.02 + 0.194) == Names{"220 a"});
}

TEST_CASE("with fewer than five places nothing stands alone") {
  const Bench bench;
  const std::string four = "s,0,1,,\ns,100,1.2,,\ns,200,1.5,,\ns,300,1.6,,\n";
  CHECK(lone(bench, head(3) + four).empty());
  CHECK(lone(bench, head(3) + four + "s,400,1.8,,\n") == Names{"200 a"});
}

TEST_CASE("other heights read at the place bear a reading out, or show that it is misread") {
  const Offs flat = {0.001, 0.002, 0, 0.001, 0.002, 0.001};
  Offs jump = flat;
  jump[3] = 0.09;
  CHECK(lone({jump, flat, flat}) == Names{"300 a"});
  CHECK(marked(Bench(), head(3) + rows("s", {jump, flat, flat}))
            .places[3]
            .heights[0]
            ->lone->others_stay);
  CHECK(lone({flat, flat, jump}) == Names{"300 c"});
  CHECK(lone({jump, jump, jump}).empty());  // a bump that is there
  Offs half = flat;
  half[3] = 0.05;
  CHECK(lone({jump, flat, half}).empty());
  // At an end it takes both of the others.
  Offs at_end = flat;
  at_end[5] = 0.09;
  CHECK(lone({at_end}).empty());
  CHECK(lone({at_end, flat, flat}) == Names{"500 a"});
  CHECK(lone({at_end, at_end, at_end}).empty());
}

TEST_CASE("an end is not doubted beside a place that jumps itself") {
  const Offs flat = {0.001, 0.002, 0, 0.001, 0.002, 0.001};
  Offs spot = flat;
  spot[4] = 0.09;
  spot[1] = -0.09;
  const auto once = head(3) + rows("s", {spot, flat, flat});
  CHECK(lone(Bench(), once) == Names{"100 a"});  // a quarter of six places at most
  const std::string again = "s,100,1.11,,\ns,400,1.89,,\n";
  CHECK(lone(Bench(), once + again + again).empty());
}

TEST_CASE("a jump that most strips have at a place is the machine's") {
  const Bench bench;
  const Offs jump = {0.002, 0.004, 0.001, 0.092, 0.003, 0.002};
  const Offs flat = {0.001, 0.002, 0, 0.001, 0.002, 0.001};
  const auto file = [&](Offs const& second, Offs const& third) {
    return head(1) + rows("s", {jump}) + rows("t", {second}) + rows("u", {third});
  };
  CHECK(lone(bench, file(jump, jump)).empty());
  CHECK(lone(bench, file(jump, flat)) == Names{"300 a"});
  CHECK(lone(bench, file(flat, flat)) == Names{"300 a"});
}

TEST_CASE("what was read twice alike counts, and two that differ prove nothing") {
  const Bench bench;
  const auto file = head(1) + rows("s", {{0, 0, 0, 0.15, 0, 0}});
  CHECK(lone(bench, file) == Names{"300 a"});
  CHECK(lone(bench, file + "s,300,1.752\n").empty());
  // Of two that differ nothing is certain, and nothing is advised.
  CHECK(marked(bench, file + "s,300,1.602\n").places[3].verdict() == Verdict::unsure);
}

TEST_CASE("two misreadings are found, the worst first, and no more than a quarter") {
  const Bench bench;
  std::string file = head(1);
  for (int i = 0; i <= 10; ++i)
    file += fmt::format("s,{},{}\n", 50 * i, 1 + 0.1 * i + (i == 3 ? 0.5 : i == 5 ? -0.3 : 0));
  CHECK(lone(bench, file) == Names{"150 a", "250 a"});
}

TEST_CASE("what is said of a strip does not rest on a reading that stands alone") {
  const Bench bench;
  const Offs flat = {0.001, 0.002, 0, 0.001, 0.002, 0.001};
  const auto summed_up = [&](std::vector<Offs> const& offs) {
    const auto readings = bench.must_read(head(offs.size()) + rows("s", offs));
    auto piece = judge(readings.pieces.front(), readings, bench.judge);
    judge_angles(piece, bench.targets[0]->face(), bench.judge);
    LoneReadings(readings).mark(piece);
    auto out = sum_up(piece, bench.judge);
    sum_up_strip(out, piece, *bench.targets[0], bench.shop.spare, bench.judge);
    return out;
  };
  Offs high = flat;
  high[3] = 0.09;
  const auto found = summed_up({high, flat, flat});
  CHECK(found.verdict == Verdict::thick);
  CHECK(found.counts.all() == 18);
  CHECK(found.relied_on.all() == 17);
  REQUIRE(found.read_again.size() == 1);
  CHECK(found.read_again[0].at == at(300));
  CHECK_FALSE(found.take_off);
  CHECK_FALSE(found.shift);
  CHECK(found.mean_deviation.value < mm(0.002));
  CHECK(found.angles->places == 5);
  CHECK(found.angles->mean[0].value.in_degrees() == Approx(60).margin(0.1));
  // A low one lays no good strip aside.
  Offs low = flat;
  low[3] = -0.09;
  const auto thin = summed_up({low});
  CHECK(thin.verdict == Verdict::thin);
  CHECK_FALSE(thin.thinnest);
  CHECK_FALSE(thin.shift);
  CHECK(thin.stiffness_least > -0.01);
  // What is thick besides is told as ever.
  const auto thick = summed_up({{0.06, 0.06, 0.062, 0.2, 0.06, 0.061}});
  CHECK(thick.take_off->amount.in_millimetres() == Approx(0.062));
}

TEST_CASE("while a strip is measured one neighbour is enough to ask for the reading again") {
  const Bench bench;
  const auto ask = [&](std::string const& csv, std::size_t place, std::size_t height,
                       std::vector<std::string> const& others = {}) {
    std::vector<JudgedPiece> pieces;
    pieces.reserve(others.size());
    for (auto const& other : others) pieces.push_back(bench.judged(head(3) + other));
    return lone_while_measuring(bench.judged(head(3) + csv), place, height, pieces);
  };
  CHECK_FALSE(ask("s,0,1.2,,\n", 0, 0));
  const std::string jump = "s,0,1,,\ns,100,1.3,,\n";
  REQUIRE(ask(jump, 1, 0));
  CHECK(ask(jump, 1, 0)->expected.in_millimetres() == Approx(1.2));
  CHECK(ask(jump + "s,200,1.4,,\n", 1, 0));
  CHECK_FALSE(ask(jump + "s,200,1.5,,\n", 1, 0));    // a step, not a jump
  CHECK_FALSE(ask(jump + "s,100,1.301,,\n", 1, 0));  // read twice alike
  CHECK_FALSE(ask("s,0,1,1,\ns,100,1.3,1.3,\n", 1, 1));
  CHECK_FALSE(ask(jump, 1, 0, {jump, jump}));
  CHECK(ask(jump, 1, 0, {jump}));
  // Others that are as high there are so all along.
  const std::string over = "s,0,1.1,,\ns,100,1.3,,\n";
  CHECK(ask(jump, 1, 0, {over, over}));
}

/// The share of strips of which a reading is named: right at random anywhere within their limits,
/// or on target, and read with a scatter of all of the gauge's uncertainty.
double false_alarms(std::size_t strips, int places, bool abc, bool on_target, double u_mm,
                    unsigned seed) {
  Bench bench;
  bench.judge.gauge->standard_uncertainty = mm(u_mm);
  bench.judge.gauge->resolution = mm(0.001);
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> within(-0.02, 0.03);
  std::normal_distribution<double> noise(0, std::hypot(u_mm, 0.001 / std::sqrt(12.0)));
  std::string csv = head(abc ? 3 : 1);
  for (std::size_t s = 0; s < strips; ++s)
    for (int i = 0; i < places; ++i) {
      const double x = 500.0 * i / (places - 1);
      const double off = on_target ? 0 : within(random);
      csv += fmt::format("s{},{}", s, x);
      for (int h = 0; h < (abc ? 3 : 1); ++h)
        csv += fmt::format(",{:.3f}", 1 + 0.002 * x + off + noise(random));
      csv += '\n';
    }
  const auto readings = bench.must_read(csv);
  LoneReadings lone_readings(readings);
  std::size_t named = 0;
  for (auto const& each : readings.pieces) {
    auto piece = judge(each, readings, bench.judge);
    lone_readings.mark(piece);
    if (any_lone(piece)) ++named;
  }
  return static_cast<double>(named) / static_cast<double>(strips);
}

TEST_CASE("of right strips fewer than one in a thousand has a reading named, whatever the gauge") {
  // A micrometer, a caliper, and a gauge far too coarse for the tolerance.
  for (const double u_mm : {0.0023, 0.012, 0.05})
    for (const int places : {5, 9, 17})
      for (const bool abc : {false, true})
        for (const bool on_target : {false, true}) {
          CAPTURE(u_mm, places, abc, on_target);
          CHECK(false_alarms(4000, places, abc, on_target, u_mm, 7) < 0.001);
        }
}

TEST_CASE("a reading misread by twice the tolerance is found in nearly every right strip") {
  const Bench bench;
  std::mt19937 random(11);
  std::normal_distribution<double> noise(0, 0.004);
  int found = 0;
  constexpr int kTries = 1000;
  for (int t = 0; t < kTries; ++t) {
    std::vector<Offs> offs(3);
    for (auto& height : offs)
      for (auto& each : height) each = noise(random);
    offs[0][2] += 0.1;
    if (lone(bench, head(3) + rows("s", offs)) == Names{"200 a"}) ++found;
  }
  CHECK(found > 0.95 * kTries);
}

}  // namespace
