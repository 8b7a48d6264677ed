#include "inspection/group_summary.h"

#include <cmath>
#include <limits>
#include <random>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();

TEST_CASE("the reach of 95 % and 99 % is that of the printed t table") {
  // Two-sided 95 % and 99 %, as printed in any table of Student's t (e.g. NIST/SEMATECH e-Handbook,
  // 1.3.6.7.2; from memory).
  struct Row {
    double freedom, t95, t99;
  };
  for (auto const& row :
       {Row{1, 12.706, 63.657}, Row{2, 4.303, 9.925}, Row{3, 3.182, 5.841}, Row{4, 2.776, 4.604},
        Row{5, 2.571, 4.032}, Row{10, 2.228, 3.169}, Row{16, 2.120, 2.921}, Row{20, 2.086, 2.845},
        Row{30, 2.042, 2.750}, Row{60, 2.000, 2.660}, Row{120, 1.980, 2.617},
        Row{kEndless, 1.960, 2.576}}) {
    INFO(row.freedom);
    CHECK(reach(0.95, row.freedom) == Approx(row.t95).margin(0.00051));
    CHECK(reach(0.99, row.freedom) == Approx(row.t99).margin(0.00051));
    CHECK(reach_95(row.freedom) == reach(0.95, row.freedom));
  }
}

TEST_CASE("the end gauge of the GUM, annex H.1") {
  // JCGM 100:2008, H.1 (figures as in the GTC library's GUM_H1): parts in nanometres with their
  // degrees of freedom; the difference d is itself three parts.
  const auto nm = [](double count) { return Length::millimetres(count * 1e-6); };
  const std::array parts_of_d = {UncertaintyPart{nm(5.8), 24}, UncertaintyPart{nm(3.9), 5},
                                 UncertaintyPart{nm(6.7), 8}};
  const auto d = combine(parts_of_d);
  CHECK(d.u / nm(1) == Approx(9.7).margin(0.05));
  CHECK(d.degrees_of_freedom == Approx(25.6).margin(0.5));
  // Lengths 50 mm: the difference of expansion, 50 · 0.58e-6 · 0.1, and of temperature, 50
  // · 11.5e-6 · 0.029.
  const std::array parts = {UncertaintyPart{nm(25), 18}, d, UncertaintyPart{nm(2.900036), 50},
                            UncertaintyPart{nm(16.675208), 2}};
  const auto l = combine(parts);
  CHECK(l.u / nm(1) == Approx(31.705).margin(0.5));  // printed 32
  CHECK(l.degrees_of_freedom == Approx(16.7).margin(0.5));
  CHECK(std::floor(l.degrees_of_freedom) == 16);
  CHECK(reach(0.99, 16) * 32 == Approx(93).margin(0.5));
  CHECK(reach(0.95, 16) * 32 == Approx(68).epsilon(0.02));
}

TEST_CASE("parts known for good leave no doubt about themselves") {
  const std::array certain = {UncertaintyPart{mm(3), kEndless}, UncertaintyPart{mm(4), kEndless}};
  CHECK(combine(certain).u == mm(5));
  CHECK(combine(certain).degrees_of_freedom == kEndless);
  const std::array half = {UncertaintyPart{mm(1), kEndless}, UncertaintyPart{mm(1), 5}};
  CHECK(combine(half).degrees_of_freedom == Approx(20));  // u⁴ is fourfold
  CHECK(combine({}).u == mm(0));
}

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
  CHECK((alike[0].high - alike[0].mean) / alike[0].standard_error ==
        Approx(reach_95(2 * u2 * u2 / (v2 * v2))));
  CHECK(alike[1].mean.in_millimetres() == Approx(0.01 / 3));
  CHECK(alike[1].cause == Cause::scatter);
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
    CHECK(coverage(0.01, 0.003, -0.01, strips, 3) == Approx(0.95).margin(0.02));
  }
}

}  // namespace
