#include "inspection/conformance.h"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>

#include "catch.h"

namespace stripwright::inspection {
namespace {

Length mm(double count) { return Length::millimetres(count); }
Limits limits(double low, double high) { return {mm(low), mm(high)}; }
double p(double y, Limits const& within, double u) {
  return conformance_probability(mm(y), within, mm(u));
}

/// No limit on that side.
constexpr double kFar = 1e4;

double integral(std::function<double(double)> const& f, double from, double to) {
  return boost::math::quadrature::gauss_kronrod<double, 61>::integrate(f, from, to, 15, 1e-12);
}

TEST_CASE("the examples of JCGM 106:2012") {
  // 7.2: breakdown voltage of a Zener diode, y = -5.47 V, u = 0.05 V, limit -5.40 V: p_c = 0.92
  // (from memory; Φ(1.4) = 0.91924334 computed).
  CHECK(p(-5.47, limits(-kFar, -5.40), 0.05) == Approx(0.91924334).epsilon(1e-8));
  // 7.4: viscosity of an oil, 12.5 to 16.3, y = 13.6, u = 1.8: about 0.66 (from memory; computed
  // 0.66262979).
  CHECK(p(13.6, limits(12.5, 16.3), 1.8) == Approx(0.66262979).epsilon(1e-8));
  // 7.3, table 1: z = (T - y)/u for p_c; printed 0.84 1.28 1.64 2.33 3.09 (from memory).
  const std::pair<double, double> table[] = {{0.80, 0.84162123},
                                             {0.90, 1.2815516},
                                             {0.95, 1.6448536},
                                             {0.99, 2.3263479},
                                             {0.999, 3.0902323}};
  for (auto const& [p_c, z] : table) CHECK(p(0, limits(-kFar, z), 1) == Approx(p_c).epsilon(1e-7));
  // 8: guard band r U with U = 2 u: probability at the acceptance limit.
  const std::pair<double, double> bands[] = {
      {0, 0.5}, {0.5, 0.84134475}, {0.825, 0.95052853}, {1, 0.97724987}, {1.5, 0.99865010}};
  for (auto const& [r, p_c] : bands)
    CHECK(p(-2 * r, limits(-kFar, 0), 1) == Approx(p_c).epsilon(1e-7));
}

TEST_CASE("the ball bearings and resistors of JCGM 106:2012, clause 9.5, accepted by p_c") {
  // A thing of true value η is accepted with the probability that a reading of it lies below the
  // acceptance limit: the same integral with η and reading changed over.
  SECTION(
      "run-out of ball bearings: prior gamma of shape 4 and scale 1/4 µm, limit 2 µm, u = 0.25 "
      "µm") {
    // P(nonconforming) 4.2 %, R_C 0.8 %; R_C 0.1 % at an acceptance limit of 1.67 (figures with
    // clause number in Sandia's suncal, Risk - Ball Bearing: 0.0423801, 0.00801911, 1.671829).
    const boost::math::gamma_distribution<> prior(4, 0.25);
    const auto consumers_risk = [&](double acceptance) {
      return integral(
          [&](double eta) {
            return boost::math::pdf(prior, eta) * p(eta, limits(-kFar, acceptance), 0.25);
          },
          2, 8);
    };
    CHECK(boost::math::cdf(boost::math::complement(prior, 2)) == Approx(0.042380112).epsilon(1e-7));
    CHECK(consumers_risk(2) == Approx(0.0080191119).epsilon(1e-7));
    CHECK(consumers_risk(1.6718288) == Approx(0.001).epsilon(1e-5));
  }
  SECTION(
      "resistors of 1500 ± 0.2 Ω: prior normal with 0.12 Ω, u = 0.04 Ω, accepted within ± 0.18 Ω") {
    // R_C 1 %, R_P 7 % (from memory; computed 0.00987829, 0.0690265, accepted 0.845271);
    // resistances written as differences from 1500.
    const boost::math::normal prior(0, 0.12);
    const auto accepted = [&](double eta) {
      return boost::math::pdf(prior, eta) * p(eta, limits(-0.18, 0.18), 0.04);
    };
    const auto rejected = [&](double eta) {
      return boost::math::pdf(prior, eta) * (1 - p(eta, limits(-0.18, 0.18), 0.04));
    };
    CHECK(2 * integral(accepted, 0.2, 1.2) == Approx(0.00987829).epsilon(1e-6));
    CHECK(2 * integral(rejected, 0, 0.2) == Approx(0.0690265).epsilon(1e-6));
    CHECK(2 * integral(accepted, 0, 1.2) == Approx(0.845271).epsilon(1e-6));
    // What the making alone gives within limits: 0.90.
    CHECK(p(0, limits(-0.2, 0.2), 0.12) == Approx(0.9044193).epsilon(1e-6));
  }
  SECTION("process within limits 9 to 11") {
    // Share outside, from Sandia's suncal, test_risk.py: N(10, 0.4) 0.01242, N(10.5, 0.4) 0.10574,
    // N(12, 0.4) 0.99379.
    CHECK(1 - p(10, limits(9, 11), 0.4) == Approx(0.01242).margin(5e-6));
    CHECK(1 - p(10.5, limits(9, 11), 0.4) == Approx(0.10574).margin(5e-6));
    CHECK(1 - p(12, limits(9, 11), 0.4) == Approx(0.99379).margin(5e-6));
  }
}

TEST_CASE("ISO 14253-1's guard band of 1.65 u, and where it falls short") {
  // Two limits T apart, a reading 1.65 u inside one of them, the default of ISO 14253-1:2017 (from
  // memory): p_c = Φ(1.65) - Φ(-(T/u - 1.65)). With T = 4 u that is only 94.1 %. Decimals
  // computed with mpmath; last column the guard that 95 % really wants.
  struct Row {
    double t_per_u, at_1_65, guard, best;
  };
  for (auto const& row :
       {Row{4, 0.9411418, 1.796213, 0.9544997}, Row{5, 0.9501245, 1.648767, 0.9875807},
        Row{6, 0.9505217, 1.644918, 0.9973002}, Row{8, 0.9505285, 1.644854, 0.9999367},
        Row{10, 0.9505285, 1.644854, 0.9999994}}) {
    INFO("T/u = " << row.t_per_u);
    const auto within = limits(0, row.t_per_u);
    CHECK(p(1.65, within, 1) == Approx(row.at_1_65).margin(6e-8));
    CHECK(p(row.t_per_u / 2, within, 1) == Approx(row.best).margin(6e-8));
    const auto proven = readings_that_prove(within, mm(1));
    REQUIRE(proven);
    CHECK(proven->low.in_millimetres() == Approx(row.guard).margin(6e-7));
    CHECK((within.high - proven->high).in_millimetres() == Approx(row.guard).margin(6e-7));
  }
  // ± 0.050 with u = 0.020.
  const std::pair<double, double> readings[] = {
      {0, 0.987581}, {0.016, 0.954951},  {0.017, 0.950124}, {0.018, 0.944864},
      {0.050, 0.5},  {0.083, 0.0494715}, {0.084, 0.0445655}};
  for (auto const& [y, p_c] : readings) {
    CHECK(p(y, limits(-0.05, 0.05), 0.02) == Approx(p_c).margin(6e-7));
    CHECK(p(-y, limits(-0.05, 0.05), 0.02) == Approx(p_c).margin(6e-7));
  }
}

TEST_CASE("under 3.92 u nothing can be proven; the gauge that would do is told") {
  const auto within = limits(-0.025, 0.025);
  const Length coarsest = coarsest_uncertainty(within);
  CHECK(coarsest.in_millimetres() == Approx(0.05 / 3.919928).epsilon(1e-7));  // 2 z(0.975)
  CHECK_FALSE(readings_that_prove(within, coarsest * 1.0001));
  const auto just = readings_that_prove(within, coarsest * 0.9999);
  REQUIRE(just);
  CHECK(abs(just->high) < mm(0.001));
  CHECK(conformance_probability(mm(0), within, coarsest) == Approx(kProven).epsilon(1e-12));
}

TEST_CASE("without uncertainty it is yes or no, and small probabilities keep their digits") {
  const auto within = limits(1, 2);
  // Limits belong to what they allow, and a sum in inches that comes out a rounding beyond does
  // too.
  for (const double limit : {1.0, 2.0})
    for (const double rounding : {-1e-12, 0.0, 1e-12}) CHECK(p(limit + rounding, within, 0) == 1);
  CHECK(p(1.5, within, 0) == 1);
  CHECK(p(2.001, within, 0) == 0);
  CHECK(p(0.999, within, 0) == 0);
  CHECK(readings_that_prove(within, mm(0))->high == mm(2));
  // Far outside, both Φ are almost 1; their difference still has the tail's digits:
  // Φ(-10) = 7.6198530241605e-24 (computed).
  CHECK(p(0, limits(10, kFar), 1) == Approx(7.6198530241605e-24).epsilon(1e-9));
  CHECK(p(0, limits(-kFar, -10), 1) == Approx(7.6198530241605e-24).epsilon(1e-9));
}

}  // namespace
}  // namespace stripwright::inspection
