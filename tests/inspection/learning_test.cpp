#include "inspection/learning.h"

#include <algorithm>

#include "catch.h"
#include "inspection/outliers.h"
#include "inspection/simulated_rings.h"

using namespace stripwright;
using namespace stripwright::inspection;
using simulated::Session;
using simulated::Truth;

namespace {

constexpr char kOnARound[] =
    "{thickness: 0.004, off: before-gluing, face: round, culm_diameter: 2}";
constexpr char kAfterGluing[] = "{thickness: 0.004, off: after-gluing, face: flat}";
constexpr char kScraped[] = "{thickness: 0.004, off: before-milling, face: flat}";
constexpr char kPerfect[] = "{resolution: 0, standard_uncertainty: 0}";

Length mm(double count) { return Length::millimetres(count); }

double true_value(Truth const& truth, Allowance allowance) {
  switch (allowance) {
    case Allowance::cleanup_less_glue_line:
      return truth.cleanup - truth.glue_line;
    case Allowance::glue_line:
      return truth.glue_line;
    case Allowance::cleanup:
      return truth.cleanup;
    case Allowance::varnish:
      return truth.varnish;
  }
  return 0;
}

/// How a shop's rings are made in a simulated run.
struct Batch {
  std::size_t rods = 1;
  bool marked = true;
  bool milled = false;
  int pitch = 5;  // inches from station to station
};

std::vector<LearnedAllowance> learned(simulated::Bench const& bench, Truth const& truth,
                                      Batch const& batch, unsigned seed) {
  Session session(bench, truth, seed);
  std::vector<AllowanceValue> values;
  std::vector<std::size_t> rods;
  for (std::size_t r = 0; r < batch.rods; ++r) {
    const auto ring = allowance_values(session.ring(batch.marked, batch.milled, batch.pitch), r,
                                       bench.allowances);
    values.insert(values.end(), ring.values.begin(), ring.values.end());
    rods.push_back(r);
  }
  return learn(values, rods, bench.gauge);
}

/// Percent of runs in which the interval of each allowance holds the truth.
std::array<double, 4> percent_covered(simulated::Bench const& bench, Truth const& truth,
                                      Batch const& batch, unsigned first_seed) {
  constexpr unsigned kRuns = 2000;
  std::array<double, 4> covered{};
  for (unsigned run = 0; run < kRuns; ++run)
    for (auto const& each : learned(bench, truth, batch, first_seed + run)) {
      REQUIRE(each.interval);
      if (each.interval->holds(mm(true_value(truth, each.allowance))))
        covered[static_cast<std::size_t>(each.allowance)] += 100.0 / kRuns;
    }
  return covered;
}

AllowanceValue value_of(Allowance allowance, std::size_t ring, double inch, double value_mm) {
  return {allowance, ring, Station(Length::inches(inch)), 0, mm(value_mm)};
}

constexpr char kCaliper[] = "{resolution: 0.0005, standard_uncertainty: 0.0003}";

}  // namespace

TEST_CASE("without gauge error, scatter and chance each allowance comes out as it was made") {
  const Truth exact{.glue_line = 0.034,
                    .cleanup = 0.021,
                    .varnish = 0.042,
                    .rod_to_rod = 0,
                    .station_to_station = 0,
                    .reading = 0};
  for (auto const* enamel : {kOnARound, kAfterGluing, kScraped})
    for (const bool marked : {true, false})
      for (const bool milled : {true, false}) {
        const auto bench = simulated::bench(simulated::kTaper, simulated::shop(enamel, kPerfect));
        const auto all = learned(bench, exact, {1, marked, milled}, 7);
        REQUIRE(all.size() == 4);
        for (auto const& each : all) {
          INFO(enamel << ", " << words(each.allowance) << (marked ? ", marked" : "")
                      << (milled ? ", milled" : ""));
          // Moved along the target a shifted strip's own slope is left out (1e-5 times half an
          // inch), E swells with the strip (0.25 mm times 0.5 %), and so does the apex relief's
          // place.
          CHECK(each.mean.in_millimetres() ==
                Approx(true_value(exact, each.allowance)).margin(0.0012));
        }
      }
}

TEST_CASE("f1 crosses strips 1 and 4, f2 2 and 5, f3 3 and 6") {
  const Truth exact{.rod_to_rod = 0, .station_to_station = 0, .reading = 0};
  const auto bench = simulated::bench(simulated::kTaper, simulated::shop(kScraped, kPerfect));
  // The strips differ by some 0.008 from each other: crossed wrongly a value would be off by that.
  const auto ring =
      allowance_values(Session(bench, exact, 5).ring(true, false), 0, bench.allowances);
  CHECK(ring.values.size() == 4 * 30);
  for (auto const& each : ring.values)
    CHECK(each.value.in_millimetres() == Approx(true_value(exact, each.allowance)).margin(0.0012));
}

TEST_CASE("a strip that was moved takes along by how much it was off where it now lies") {
  // Strip 1, moved by 1.5 in towards the tip, grows over its target by 0.004 mm an inch, read every
  // 5 in: at station x lies what was read, between readings, at x + 1.5.
  const Truth exact{.rod_to_rod = 0, .station_to_station = 0, .reading = 0};
  const auto bench = simulated::bench(simulated::kTaper, simulated::shop(kScraped, kPerfect));
  auto ring = Session(bench, exact, 5).ring(true, false);
  ring.shifts = {};
  for (auto& readings : ring.heights)
    for (auto& each : readings) each.a = ring.profile->ledger(each.at)[section::Step::strip_ready];
  const auto all_right = allowance_values(ring, 0, bench.allowances);
  ring.shifts[0] = Length::inches(1.5);
  for (auto& each : ring.heights[0]) each.a += mm(0.004 * each.at.from_zero().in_inches());
  const auto moved = allowance_values(ring, 0, bench.allowances);
  REQUIRE(moved.values.size() == all_right.values.size());
  std::size_t compared = 0;
  for (std::size_t i = 0; i < moved.values.size(); ++i) {
    auto const& value = moved.values[i];
    if (value.allowance != Allowance::glue_line || value.pair != 0U) continue;
    const double x = value.at.from_zero().in_inches();
    const Station place = value.at + ring.shifts[0];
    if (x > 40) continue;  // beyond the last reading it goes on as it is there
    const Length rise = ring.profile->ledger(place)[section::Step::strip_ready] -
                        ring.profile->ledger(value.at)[section::Step::strip_ready];
    // Half of what the pair is higher, at the moisture it was glued at.
    const double swelling = 1 + 0.0018 * (8.5 - 8);
    const double wanted = -(0.004 * (x + 1.5) + rise.in_millimetres()) / 2 / swelling;
    CHECK((value.value - all_right.values[i].value).in_millimetres() ==
          Approx(wanted).margin(1e-6));
    ++compared;
  }
  CHECK(compared == 9);
}

TEST_CASE("the interval of each allowance holds the truth in 93 to 97 of 100 shops") {
  const auto bench = simulated::bench(simulated::kTaper, simulated::shop(kOnARound, kCaliper));
  SECTION("eight rods, each with its own glue line, clean-up and varnish") {
    for (const double percent : percent_covered(bench, Truth{}, {8, true, false, 9}, 10'000)) {
      CHECK(percent >= 93);
      CHECK(percent <= 97);
    }
  }
  SECTION("one rod, not marked, measured as milled: the rod's own values") {
    Truth one_rod;
    one_rod.rod_to_rod = 0;
    for (const double percent : percent_covered(bench, one_rod, {1, false, true}, 30'000)) {
      CHECK(percent >= 93);
      CHECK(percent <= 97);
    }
  }
}

TEST_CASE("and with three rods only") {
  const auto bench = simulated::bench(simulated::kTaper, simulated::shop(kScraped, kCaliper));
  for (const double percent : percent_covered(bench, Truth{}, {3, true, false, 9}, 50'000)) {
    CHECK(percent >= 93);
    CHECK(percent <= 97);
  }
}

TEST_CASE("the gauge's common error is in g and c - g by half, and in c and v not at all") {
  Truth exact{.glue_line = 0.034,
              .cleanup = 0.021,
              .varnish = 0.042,
              .rod_to_rod = 0,
              .station_to_station = 0,
              .reading = 0};
  const auto bench = simulated::bench(
      simulated::kTaper, simulated::shop(kScraped, "{resolution: 0, standard_uncertainty: 0.02}"));
  std::array<double, 4> squares{};
  constexpr unsigned kRuns = 400;
  for (unsigned run = 0; run < kRuns; ++run)
    for (auto const& each : learned(bench, exact, {1, true, false}, run))
      squares[static_cast<std::size_t>(each.allowance)] +=
          std::pow(each.mean.in_millimetres() - true_value(exact, each.allowance), 2) / kRuns;
  const double half = Length::inches(0.02).in_millimetres() / 2;
  // A standard deviation from 400 runs is known to 3.5 %; so is moisture's share of the error.
  CHECK(std::sqrt(squares[0]) == Approx(half).epsilon(0.1));
  CHECK(std::sqrt(squares[1]) == Approx(half).epsilon(0.1));
  CHECK(std::sqrt(squares[2]) < 0.004);
  CHECK(std::sqrt(squares[3]) < 0.004);
  const auto all = learned(bench, exact, {1, true, false}, 1);
  CHECK(all[0].gauge_part.in_millimetres() == Approx(half));
  CHECK(all[1].gauge_part.in_millimetres() == Approx(half));
  CHECK(all[2].gauge_part == Length{});
  CHECK(all[3].gauge_part == Length{});
}

TEST_CASE("a sample of rods: mean, spread, standard error and Student's interval by hand") {
  // Four rods with the values 10, 12, 14, 20 micrometres (two of them in two stations): mean 14,
  // s² = (16 + 4 + 0 + 36) / 3, t(0.975, 3) = 3.182 (printed tables; GUM table G.2, from memory).
  std::vector<AllowanceValue> values;
  for (const auto& [ring, value] :
       {std::pair(0, 0.009), {0, 0.011}, {1, 0.012}, {2, 0.014}, {3, 0.019}, {3, 0.021}})
    values.push_back(value_of(Allowance::cleanup, static_cast<std::size_t>(ring),
                              static_cast<double>(values.size()), value));
  const std::vector<std::size_t> rods{0, 1, 2, 3};
  const auto all = learn(values, rods, Gauge{"", {}, mm(0.5)});
  REQUIRE(all.size() == 1);
  auto const& c = all.front();
  CHECK(c.sample_of == SampleOf::rods);
  CHECK(c.sample == 4);
  CHECK(c.stations == 6);
  CHECK(c.mean.in_millimetres() == Approx(0.014));
  CHECK(c.spread.in_millimetres() == Approx(std::sqrt(56.0 / 3) / 1000));
  CHECK(c.standard_error.in_millimetres() == Approx(std::sqrt(56.0 / 3) / 2000));
  CHECK((c.interval->high - c.mean).in_millimetres() ==
        Approx(3.182 * std::sqrt(56.0 / 3) / 2000).epsilon(0.0002));
  CHECK((c.mean - c.interval->low).in_millimetres() ==
        Approx(3.182 * std::sqrt(56.0 / 3) / 2000).epsilon(0.0002));
}

TEST_CASE("fewer than three rods: all their stations are the sample") {
  std::vector<AllowanceValue> values = {value_of(Allowance::varnish, 0, 0, 0.04),
                                        value_of(Allowance::varnish, 0, 5, 0.05),
                                        value_of(Allowance::varnish, 1, 0, 0.06)};
  const std::vector<std::size_t> rods{0, 1};
  const auto v = learn(values, rods, {}).front();
  CHECK(v.sample_of == SampleOf::stations);
  CHECK(v.rods == 2);
  CHECK(v.sample == 3);
  CHECK(v.mean.in_millimetres() == Approx(0.05));
  values.resize(1);
  CHECK(!learn(values, rods, {}).front().interval);
  CHECK(learn(std::vector<AllowanceValue>{}, rods, {}).empty());
}

TEST_CASE("where the gauge's step hides the scatter the step counts") {
  // Ten stations of three equal readings: the spread is 0, but a step of 12 um leaves each of the
  // two readings in c open by 12/√12; halved, over 30 values.
  std::vector<AllowanceValue> values;
  for (std::size_t i = 0; i < 30; ++i)
    values.push_back(value_of(Allowance::cleanup, 0, static_cast<double>(i / 3), 0.02));
  const std::vector<std::size_t> rods{0};
  const auto c = learn(values, rods, Gauge{"", mm(0.012), {}}).front();
  CHECK(c.spread == Length{});
  CHECK(c.standard_error.in_millimetres() ==
        Approx(0.012 / std::sqrt(12.0) * std::sqrt(0.5) / std::sqrt(30.0)));
  // Of rings that are not marked each station has one value, the mean of the same thirty.
  std::vector<AllowanceValue> means;
  for (std::size_t i = 0; i < 10; ++i) {
    means.push_back(value_of(Allowance::cleanup, 0, static_cast<double>(i), 0.02));
    means.back().pair = std::nullopt;
  }
  CHECK(learn(means, rods, Gauge{"", mm(0.012), {}}).front().standard_error.in_millimetres() ==
        Approx(c.standard_error.in_millimetres()));
  // One value a step off is no slip of the hand.
  values[4].value = mm(0.026);
  CHECK(learn(values, rods, Gauge{"", mm(0.012), {}}).front().odd.empty());
  values[4].value = mm(0.045);
  CHECK(learn(values, rods, Gauge{"", mm(0.012), {}}).front().odd.size() == 1);
}

TEST_CASE("an odd value is named, stays in the mean, and the mean without it is told") {
  std::vector<AllowanceValue> values;
  for (std::size_t i = 0; i < 20; ++i)
    values.push_back(value_of(Allowance::glue_line, 0, static_cast<double>(i),
                              0.030 + 0.001 * static_cast<double>(i % 5)));
  values[7].value = mm(0.130);
  const std::vector<std::size_t> rods{0};
  const auto g = learn(values, rods, {}).front();
  REQUIRE(g.odd.size() == 1);
  CHECK(g.odd[0].value.at == Station(Length::inches(7)));
  CHECK(g.odd[0].times_spread > g.odd[0].limit);
  CHECK(g.mean.in_millimetres() == Approx((20 * 0.032 - 0.032 + 0.130) / 20));
  CHECK(g.mean_without_odd->in_millimetres() == Approx(0.032));
}

TEST_CASE("rings of one rod count as one rod") {
  const std::vector<std::string> names{"Dogrose 1", "", "Dogrose 1", "", "Dogrose 2"};
  CHECK(number_rods(names) == std::vector<std::size_t>{0, 1, 0, 2, 3});
}

TEST_CASE("outliers of Rosner's example: three, of which the first two hide each other") {
  // NIST/SEMATECH e-Handbook, 1.3.5.17.3, data and results of Rosner 1983 (from memory; the R_i
  // below come out of the data to all printed places, so both are as printed).
  std::vector<Length> values;
  for (const double x :
       {-0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56,
        1.58,  1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10,
        2.14,  2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92,
        2.92,  2.93, 3.21, 3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01})
    values.push_back(mm(x));
  const auto found = outliers(values, 10, 0.05);
  REQUIRE(found.size() == 3);
  CHECK(values[found[0].index] == mm(6.01));
  CHECK(values[found[1].index] == mm(5.42));
  CHECK(values[found[2].index] == mm(5.34));
  CHECK(found[0].times_spread == Approx(3.118).margin(0.001));
  CHECK(found[1].times_spread == Approx(2.942).margin(0.001));
  CHECK(found[2].times_spread == Approx(3.179).margin(0.001));
  CHECK(found[0].limit == Approx(3.158).margin(0.001));
  CHECK(found[1].limit == Approx(3.151).margin(0.001));
  CHECK(found[2].limit == Approx(3.143).margin(0.001));
  CHECK(outliers(values, 1, 0.05).empty());
}

TEST_CASE("an outlier by Grubbs' test, and none where there is nothing to judge by") {
  // NIST/SEMATECH e-Handbook, 1.3.5.17.1: mass spectrometer readings, G = 2.4687, one-sided
  // critical value 2.032 at 5 % (from memory); two-sided at 10 % it is the same.
  std::vector<Length> values;
  for (const double x : {199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57})
    values.push_back(mm(x));
  const auto found = outliers(values, 1, 0.10);
  REQUIRE(found.size() == 1);
  CHECK(found[0].index == 7);
  CHECK(found[0].times_spread == Approx(2.4687).margin(0.0001));
  CHECK(found[0].limit == Approx(2.032).margin(0.001));
  CHECK(outliers(std::vector<Length>{mm(1), mm(9)}, 1).empty());
  CHECK(outliers(std::vector<Length>(10, mm(1)), 1).empty());
  CHECK(outliers({}, 1).empty());
  CHECK(most_outliers(14) == 1);
  CHECK(most_outliers(15) == 3);
  CHECK(most_outliers(900) == 10);
}

TEST_CASE("what a ring's stations need") {
  const auto bench = simulated::bench(simulated::kTaper, simulated::shop(kScraped, kPerfect));
  const Truth exact{.rod_to_rod = 0, .station_to_station = 0, .reading = 0};
  auto ring = Session(bench, exact, 3).ring(true, false);
  const auto count = [&](Allowance allowance) {
    const auto all = allowance_values(ring, 0, bench.allowances).values;
    return std::count_if(all.begin(), all.end(),
                         [&](auto const& each) { return each.allowance == allowance; });
  };
  REQUIRE(count(Allowance::glue_line) == 30);
  SECTION("a height that is missing costs its pair") {
    ring.heights[2].erase(ring.heights[2].begin());
    CHECK(count(Allowance::glue_line) == 29);
    CHECK(count(Allowance::cleanup_less_glue_line) == 29);
    CHECK(count(Allowance::cleanup) == 30);
  }
  SECTION("of a shifted strip the nearest reading counts, if it is no farther than the shift") {
    for (auto& reading : ring.heights[1]) reading.at = reading.at + Length::inches(0.5);
    CHECK(count(Allowance::glue_line) == 30);
    for (auto& reading : ring.heights[1]) reading.at = reading.at + Length::inches(0.6);
    CHECK(count(Allowance::glue_line) == 20);
  }
  SECTION("without marks a station needs all flats and heights") {
    ring.marked = false;
    CHECK(count(Allowance::glue_line) == 10);
    ring.flats[Stage::glued][0].f[1].reset();
    ring.heights[2].erase(ring.heights[2].begin() + 1);
    CHECK(count(Allowance::glue_line) == 8);
    CHECK(count(Allowance::cleanup) == 9);
  }
  SECTION("stations without heights are named") {
    ring.flats[Stage::bare][0].at = Station(Length::inches(2.5));
    const auto values = allowance_values(ring, 0, bench.allowances);
    CHECK(values.without_heights == std::vector<Station>{Station(Length::inches(2.5))});
    CHECK(values.moisture_unknown.empty());
  }
  SECTION("stages whose moisture is not said are named") {
    ring.percent_moisture.erase(Stage::bare);
    CHECK(allowance_values(ring, 0, bench.allowances).moisture_unknown ==
          std::vector<Stage>{Stage::bare});
    auto dry = bench.allowances;
    dry.moisture.reset();
    CHECK(allowance_values(ring, 0, dry).moisture_unknown.empty());
  }
}
