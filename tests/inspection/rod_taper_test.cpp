#include "inspection/rod_taper.h"

#include <cmath>
#include <random>
#include <set>

#include "catch.h"

using namespace stripwright;
using namespace stripwright::inspection;

namespace {

/// An invented rod: flats at a station, mm.
double rod(double x) { return 1.7 + 0.0031 * x - 2.5e-7 * x * x + 0.05 * std::sin(x / 400); }

std::vector<FlatsReading> readings(unsigned seed, double sigma, int stations = 19) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, sigma);
  std::vector<FlatsReading> out;
  for (int i = 0; i < stations; ++i)
    for (const char* column : {"f1", "f2", "f3"})
      out.push_back({Station(Length::millimetres(127.0 * i)),
                     Length::millimetres(rod(127.0 * i) + noise(random)), "rod", column, 0});
  return out;
}

ReadingScatter scatter(double u) { return {Length::millimetres(u), Length::millimetres(u)}; }

}  // namespace

TEST_CASE("a mistyped reading is named, wherever it stands, and no other") {
  int named = 0;
  int others = 0;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    auto all = readings(seed, 0.005);
    const auto wrong = (seed * 37) % all.size();
    // Two digits the wrong way round: 0.09 mm at least, more where no station lies beyond.
    const bool end = wrong < 3 || wrong >= all.size() - 3;
    all[wrong].flats += Length::millimetres(seed % 2 == 0 && !end ? 0.09 : -0.27);
    for (auto const& odd : odd_readings(all, Length::millimetres(0.001)))
      ++(odd.index == wrong ? named : others);
  }
  CHECK(named == 200);
  // Of 56 clean readings each, one in a hundred at most.
  CHECK(others < 112);
}

TEST_CASE("two bad stations do not hide each other") {
  auto all = readings(5, 0.004);
  for (const std::size_t i : {12U, 13U, 14U, 30U, 31U, 32U})
    all[i].flats += Length::millimetres(0.15);
  std::set<std::size_t> found;
  for (auto const& odd : odd_readings(all, Length::millimetres(0.001))) found.insert(odd.index);
  for (const std::size_t i : {12U, 13U, 14U, 30U, 31U, 32U}) CHECK(found.contains(i));
  CHECK(found.size() < 9);
}

TEST_CASE("the expected value comes from the neighbours alone") {
  // A cubic is what they say exactly, whatever the spacing.
  std::vector<FlatsReading> all;
  for (const double x : {0.0, 100.0, 250.0, 300.0, 480.0, 600.0, 750.0, 801.0})
    all.push_back({Station(Length::millimetres(x)),
                   Length::millimetres(2 + 4e-3 * x - 3e-6 * x * x + 5e-10 * x * x * x), "", "",
                   0});
  const Length right = all[3].flats;
  all[3].flats += Length::millimetres(0.3);
  const auto odd = odd_readings(all, Length::millimetres(0.001));
  REQUIRE(odd.size() == 1);
  CHECK(odd[0].index == 3);
  CHECK(odd[0].expected.in_millimetres() == Approx(right.in_millimetres()).epsilon(1e-12));
}

// Of y = k x⁴ the cubic through four neighbours h apart is 4 k h⁴ off in the middle, all along, and
// the reading's weights are (-1, 4, 4, -1)/6: m = 4 k h⁴/√(1 + 34/36) for most readings. Next to
// the ends it is -m, which is 2 m from the rest: with one reading out the median of 23 distances,
// so that the spread is 2 m/0.6745 and 3.5 of it are 10.4 m.
TEST_CASE("how odd a reading is counts from what all of them have in common") {
  const double h = 127, kh4 = 0.00209, m = 4 * kh4 / std::sqrt(1 + 34.0 / 36);
  const auto odd_with = [&](double off) {
    std::vector<FlatsReading> all;
    for (int i = 0; i < 8; ++i)
      for (int reading = 0; reading < 3; ++reading) {
        const double steps = i - 3.5;
        all.push_back({Station(Length::millimetres(h * i)),
                       Length::millimetres(2 + 0.3 * i + kh4 * std::pow(steps, 4)), "", "", 0});
      }
    // In the scatter of a single one it is `off` from what its neighbours say.
    all[10].flats += Length::millimetres((off - m) * std::sqrt(1 + 34.0 / 36));
    return odd_readings(all, Length::millimetres(m));
  };
  CHECK(odd_with(m).empty());
  CHECK(odd_with(-9.3 * m).empty());
  CHECK(odd_with(11.3 * m).empty());
  REQUIRE(odd_with(-9.5 * m).size() == 1);
  CHECK(odd_with(-9.5 * m)[0].index == 10);
  CHECK(odd_with(-9.5 * m)[0].times_spread == Approx(10.5 / 2 * 0.6745));
  CHECK(odd_with(11.5 * m).size() == 1);
}

TEST_CASE("what is as even as the gauge's step is not odd, and few stations tell nothing") {
  std::vector<FlatsReading> all;
  for (int i = 0; i < 12; ++i)
    all.push_back(
        {Station(Length::millimetres(100.0 * i)), Length::millimetres(2 + 0.3 * i), "", "", 0});
  all[6].flats += Length::millimetres(0.003);
  CHECK(odd_readings(all, Length::millimetres(0.001)).empty());
  all[6].flats += Length::millimetres(0.3);
  CHECK(odd_readings(all, Length::millimetres(0.001)).size() == 1);
  all.erase(all.begin() + 7, all.end());
  all.erase(all.begin(), all.begin() + 3);
  REQUIRE(all.size() == 4);
  CHECK(odd_readings(all, Length::millimetres(0.001)).empty());
}

TEST_CASE("a reading's uncertainty: the pooled spread, but no less than the floor") {
  const auto all = readings(9, 0.01, 400);
  CHECK(reading_uncertainty(all, scatter(0.001)).in_millimetres() == Approx(0.01).epsilon(0.06));
  CHECK(reading_uncertainty(all, scatter(0.03)) == Length::millimetres(0.03));
  // By hand: spreads 0.01 of two and 0.02 of three, √((0.01² + 2 0.02²)/3).
  const auto at = [](double x, double flats) {
    return FlatsReading{Station(Length::millimetres(x)), Length::millimetres(flats), "", "", 0};
  };
  const double half = 0.01 / std::sqrt(2.0);
  CHECK(reading_uncertainty({at(0, 2 - half), at(0, 2 + half), at(9, 2.98), at(9, 3), at(9, 3.02)},
                            scatter(0))
            .in_millimetres() == Approx(std::sqrt(0.0009 / 3)));
  const Gauge gauge{"caliper", Length::millimetres(0.012), Length::millimetres(0.008)};
  CHECK(reading_uncertainty({at(0, 2), at(9, 3)}, scatter_of(gauge)).in_millimetres() ==
        Approx(std::sqrt(0.008 * 0.008 + 0.012 * 0.012 / 12)));
  CHECK(reading_uncertainty({at(0, 2), at(0, 2), at(9, 3)}, scatter_of(gauge)).in_millimetres() ==
        Approx(0.012 / std::sqrt(12.0)));
}

TEST_CASE("without a gauge the taper is the means; with one it is nearer to the rod") {
  double raw = 0;
  double smoothed = 0;
  for (unsigned seed = 1; seed <= 100; ++seed) {
    const auto all = readings(seed, 0.01);
    const auto means = rod_stations(all, std::nullopt);
    const auto taper = rod_stations(all, reading_uncertainty(all, scatter(0.006)));
    REQUIRE(means.size() == 19);
    CHECK(!means[0].u);
    for (std::size_t i = 0; i < 19; ++i) {
      CHECK(means[i].flats == means[i].readings.mean);
      CHECK(means[i].readings.count == 3);
      CHECK(abs(taper[i].flats - means[i].flats) <= kCoverage * *taper[i].u);
      const double truth = rod(127.0 * static_cast<double>(i));
      raw += std::pow(means[i].flats.in_millimetres() - truth, 2);
      smoothed += std::pow(taper[i].flats.in_millimetres() - truth, 2);
    }
  }
  CHECK(smoothed < 0.8 * raw);
}

TEST_CASE("at other stations it is the same curve") {
  const auto stations = rod_stations(readings(3, 0.01), Length::millimetres(0.01));
  const auto fine = flats_at_every(stations, true, Length::millimetres(12.7), Unit::millimetre);
  REQUIRE(fine);
  REQUIRE(fine.value->size() == 181);
  for (std::size_t i = 0; i < 19; ++i)
    CHECK((*fine.value)[10 * i].flats.in_millimetres() ==
          Approx(stations[i].flats.in_millimetres()).epsilon(1e-12));
  // No corner at a station: slopes on both sides agree, to what a tenth of the pitch bends.
  const auto mm = [&](std::size_t i) { return (*fine.value)[i].flats.in_millimetres(); };
  for (std::size_t i = 10; i < 180; i += 10)
    CHECK(std::abs(mm(i + 1) - 2 * mm(i) + mm(i - 1)) < 0.0005);
  CHECK(!flats_at_every(stations, true, Length(), Unit::millimetre));
  const auto straight =
      flats_at_every(stations, false, Length::millimetres(63.5), Unit::millimetre);
  REQUIRE(straight);
  CHECK((*straight.value)[1].flats.in_millimetres() ==
        Approx((stations[0].flats + stations[1].flats).in_millimetres() / 2));
}
