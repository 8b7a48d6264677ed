#include "inspection/group_summary.h"

#include <cmath>
#include <random>

#include "catch.h"
#include "inspection/interval.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

std::vector<StationDeviation> together(Bench const& bench, std::string const& rows) {
  const auto readings = bench.must_read("strip,at_mm,a_mm,b_mm,c_mm\n" + rows);
  GroupSummary group(bench.judge.gauge);
  for (auto const& piece : readings.pieces) group.add(judge(piece, readings, bench.judge));
  return group.stations();
}

TEST_CASE("strips off alike are the machine's doing, scattered ones are not") {
  const Bench bench;
  const auto alike = together(bench,
                              "s1,0,1.020,,\ns1,250,1.53,,\n"
                              "s2,0,1.022,,\ns2,250,1.47,,\n"
                              "s3,0,1.024,,\ns3,250,1.51,,\n");
  REQUIRE(alike.size() == 2);
  CHECK(alike[0].strips == 3);
  CHECK(alike[0].mean.in_millimetres() == Approx(0.022));
  CHECK(alike[0].spread.in_millimetres() == Approx(0.002));
  CHECK(alike[0].cause == Cause::machine);
  // u² = u_gauge² + s²/3; ν = u⁴/((s²/3)²/2).
  const double v2 = 4e-6 / 3, u2 = 16e-6 + v2;
  CHECK(alike[0].standard_error.in_millimetres() == Approx(std::sqrt(u2)).epsilon(1e-9));
  CHECK(alike[0].degrees_of_freedom == Approx(2 * u2 * u2 / (v2 * v2)).epsilon(1e-9));
  CHECK(alike[0].high - alike[0].mean == half_width(mm(std::sqrt(v2)), 3, mm(0.004)));
  CHECK((alike[0].mean - alike[0].low).in_millimetres() ==
        Approx(half_width(mm(std::sqrt(v2)), 3, mm(0.004)).in_millimetres()));
  CHECK(alike[1].mean.in_millimetres() == Approx(0.01 / 3));
  CHECK(alike[1].cause == Cause::scatter);
}

TEST_CASE("a machine that cuts too thin is the machine too, and a double's rounding is none") {
  const Bench bench;
  const auto thin = together(bench, "s1,0,0.980,,\ns2,0,0.978,,\ns3,0,0.976,,\n");
  CHECK(thin[0].mean.in_millimetres() == Approx(-0.022));
  CHECK(thin[0].high < mm(0));
  CHECK(thin[0].cause == Cause::machine);
  // Right on the target, and no gauge that could err: what is left are the last bits of 1 + 0.002
  // x.
  std::string rows;
  for (int s = 1; s <= 3; ++s)
    for (int i = 1; i < 100; ++i)
      rows += "s" + std::to_string(s) + "," + std::to_string(i) + ".7," +
              std::to_string(1 + 0.002 * (i + 0.7)) + ",,\n";
  Bench certain;
  certain.judge.gauge.reset();
  int off_by_bits = 0;
  for (auto const& each : together(certain, rows)) {
    CHECK(each.cause == Cause::scatter);
    if (each.mean != mm(0)) ++off_by_bits;
  }
  CHECK(off_by_bits > 0);
}

TEST_CASE("strips that read alike to the step are not more certain than the step allows") {
  const Bench bench;
  const auto found = together(bench, "s1,0,1.01,,\ns2,0,1.01,,\ns3,0,1.01,,\n");
  CHECK(found[0].spread == mm(0));
  CHECK(found[0].standard_error.in_millimetres() == Approx(std::sqrt(16e-6 + 9e-6 / 12 / 3)));
}

TEST_CASE("a strip counts once, with the mean of its heights; one strip alone tells no cause") {
  const Bench bench;
  const auto found = together(bench, "s1,0,1.06,1.03,1.00\n");
  CHECK(found[0].strips == 1);
  CHECK(found[0].mean.in_millimetres() == Approx(0.03));
  CHECK(found[0].cause == Cause::unknown);
  CHECK(found[0].degrees_of_freedom == 0);
  CHECK(found[0].standard_error.in_millimetres() == Approx(std::sqrt(16e-6 + 9e-6 / 12 / 3)));
}

TEST_CASE("a reading that stands alone does not count, nor a strip that has no other there") {
  const Bench bench;
  const auto readings =
      bench.must_read("strip,at_mm,a_mm,b_mm,c_mm\ns1,0,1.06,1.03,1.00\ns2,0,1.20,,\n");
  GroupSummary group(bench.judge.gauge);
  for (auto const& piece : readings.pieces) {
    auto judged = inspection::judge(piece, readings, bench.judge);
    judged.places[0].heights[0]->lone = Lone{};
    group.add(judged);
  }
  const auto found = group.stations();
  REQUIRE(found.size() == 1);
  CHECK(found[0].strips == 1);
  CHECK(found[0].mean.in_millimetres() == Approx(0.015));
}

/// Share of runs in which the interval holds the machine's true error.
double coverage(double u_gauge, double strip_to_strip, double machine, int strips, unsigned seed) {
  Bench bench;
  bench.judge.gauge = Gauge{"caliper", mm(0.0001), mm(u_gauge)};
  const auto readings = bench.must_read("strip,at_mm,a_mm\ns,0,1\n");
  const auto one = judge(readings.pieces[0], readings, bench.judge);
  std::mt19937 random(seed);
  const auto draw = [&](double s) {
    return s > 0 ? std::normal_distribution<double>(0, s)(random) : 0.0;
  };
  constexpr int kRuns = 4000;
  int held = 0;
  for (int run = 0; run < kRuns; ++run) {
    GroupSummary group(bench.judge.gauge);
    const double gauge_error = draw(u_gauge);
    for (int s = 0; s < strips; ++s) {
      auto strip = one;
      strip.places[0].heights[0]->read.mean = mm(1 + machine + gauge_error + draw(strip_to_strip));
      group.add(strip);
    }
    const auto found = group.stations()[0];
    if (found.low <= mm(machine) && found.high >= mm(machine)) ++held;
  }
  return static_cast<double>(held) / kRuns;
}

TEST_CASE(
    "in simulated shops the 95 % interval holds the machine's error in 93 to 97 of 100 runs") {
  // 4,000 runs each: two standard errors of the share are 0.7 %. The gauge's error is drawn once a
  // run.
  for (const int strips : {3, 6, 24}) {
    INFO(strips << " strips");
    CHECK(coverage(0, 0.01, 0.02, strips, 1) == Approx(0.95).margin(0.01));
    CHECK(coverage(0.004, 0.01, 0.02, strips, 2) == Approx(0.95).margin(0.02));
    CHECK(coverage(0.002, 0.01, 0.02, strips, 4) == Approx(0.95).margin(0.02));
    CHECK(coverage(0.01, 0.003, -0.01, strips, 3) == Approx(0.95).margin(0.02));
    CHECK(coverage(0.01, 0.01, -0.01, strips, 5) == Approx(0.95).margin(0.02));
  }
}

}  // namespace
