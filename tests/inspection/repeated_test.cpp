#include "inspection/repeated.h"

#include <cmath>

#include "catch.h"
#include "inspection/nist_strd.h"

namespace stripwright::inspection {
namespace {

Length mm(double count) { return Length::millimetres(count); }

std::vector<Length> lengths(std::vector<double> const& readings) {
  std::vector<Length> out;
  for (const double each : readings) out.push_back(mm(each));
  return out;
}

TEST_CASE("mean and spread have NIST's certified digits") {
  for (auto const& set : nist_strd::all()) {
    INFO(set.name);
    const auto found = repeated(lengths(set.readings));
    CHECK(found.count == static_cast<long>(set.readings.size()));
    CHECK(found.mean.in_millimetres() == Approx(set.mean).epsilon(1e-14));
    // The tenths of NumAcc3 and 4 are no binary numbers: 1000000.3 - 1000000.1 as doubles is 0.2
    // to ten digits only, whatever is done with them; the formula Σx² - (Σx)²/n gives none right.
    CHECK(found.spread.in_millimetres() == Approx(set.deviation).epsilon(1e-8));
  }
}

TEST_CASE("a million readings alike have that mean, to the last digit, and no spread") {
  // Added up one by one they come to 100000.0000013.
  const auto many = repeated(std::vector<Length>(1'000'000, mm(0.1)));
  CHECK(many.mean.in_millimetres() == Approx(0.1).epsilon(1e-15));
  CHECK(many.spread.in_millimetres() < 1e-11);
}

TEST_CASE("one reading has no spread, none is not read") {
  CHECK(repeated(lengths({1.5})).mean == mm(1.5));
  CHECK(repeated(lengths({1.5})).spread == mm(0));
  CHECK_FALSE(repeated({}).read());
}

TEST_CASE("the step of a reading is worth 0.29 of it") {
  // JCGM 100:2008, F.2.2.1: u = δ / (2 √3) = 0.2886751346 δ, "0.29 δ" (from memory; decimals
  // computed).
  const Gauge dial{"dial", Length::inches(0.001), {}};
  const Gauge caliper{"caliper", mm(0.01), {}};
  const auto one = repeated(lengths({1}));
  CHECK(scatter_uncertainty(dial, one).in_inches() == Approx(0.000288675).epsilon(1e-6));
  CHECK(scatter_uncertainty(caliper, one).in_millimetres() == Approx(0.00288675).epsilon(1e-6));
}

TEST_CASE("more readings make the scatter smaller, never the gauge's own part") {
  const Gauge gauge{"caliper", mm(0.01), mm(0.008)};
  // s of {0, 0.03} about its mean is 0.03/√2; the mean of n has s/√n (JCGM 100:2008, 4.2.3; from
  // memory).
  const auto two = repeated(lengths({1.00, 1.03}));
  CHECK(two.spread.in_millimetres() == Approx(0.03 / std::sqrt(2.0)));
  CHECK(scatter_uncertainty(gauge, two).in_millimetres() == Approx(0.015));
  CHECK(standard_uncertainty(gauge, two).in_millimetres() == Approx(0.017));  // 8, 15, 17
  // Readings that agree to the last step are still worth no more than the step allows.
  const auto alike = repeated(lengths({1.00, 1.00, 1.00, 1.00}));
  CHECK(scatter_uncertainty(gauge, alike).in_millimetres() == Approx(0.01 / std::sqrt(12.0) / 2));
  std::vector<double> many(10'000, 1.0);
  for (std::size_t i = 0; i < many.size(); i += 2) many[i] = 1.02;
  CHECK(standard_uncertainty(gauge, repeated(lengths(many))).in_millimetres() ==
        Approx(0.008).epsilon(1e-3));
}

}  // namespace
}  // namespace stripwright::inspection
