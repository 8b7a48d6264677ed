#include "bending/line_weights.h"

#include "catch.h"
#include "units/parse_amount.h"

using namespace stripwright;
using namespace stripwright::bending;

// AFTMA 1959/61, now AFFTA: the first 30 ft without a level tip, target in grains; grams with the
// grain of 64.798 91 mg exactly.
TEST_CASE("fly lines weigh what the trade's table says") {
  const double grains[] = {60, 80, 100, 120, 140, 160, 185, 210, 240, 280, 330, 380, 450, 500, 550};
  const double grams[] = {3.88793, 5.18391, 6.47989, 7.77587, 9.07185, 10.3678, 11.9878, 13.6078,
                          15.5517, 18.1437, 21.3836, 24.6236, 29.1595, 32.3995, 35.6394};
  for (long n = 1; n <= 15; ++n) {
    REQUIRE(line_weight(n));
    CHECK(line_weight(n)->in_grams() == Approx(grams[n - 1]).epsilon(1e-5));
    CHECK(*line_weight(n) / Mass::grains(grains[n - 1]) == Approx(1).epsilon(1e-15));
  }
  CHECK_FALSE(line_weight(0));
  CHECK_FALSE(line_weight(16));
  CHECK(line_out(5, Length::inches(180))->in_grams() == Approx(9.071847 / 2).epsilon(1e-6));
}

// Conversions of NIST SP 811, appendix B.8 (from memory): 1 psi = 6894.757 Pa, 1 oz = 28.349 52 g,
// 1 lb/in³ = 27 679.90 kg/m³.
TEST_CASE("amounts are read in the units that makers and tables use") {
  CHECK(parse_mass("140gr").value->in_grams() == Approx(9.071847).epsilon(1e-6));
  CHECK(parse_mass("1/2 oz").value->in_grams() == Approx(14.174762).epsilon(1e-6));
  CHECK(parse_force("50 g").value->in_newtons() == Approx(0.4903325).epsilon(1e-12));
  CHECK(parse_force("0.5N").value->in_newtons() == 0.5);
  CHECK(parse_pressure("27 GPa").value->in_megapascals() == 27000);
  CHECK(parse_pressure("1000000 psi").value->in_megapascals() == Approx(6894.757).epsilon(1e-6));
  CHECK(parse_pressure("1000 ksi").value->in_psi() == Approx(1e6));
  CHECK(parse_density("1 lb/in3").value->in_grams_per_cubic_centimetre() ==
        Approx(27.67990).epsilon(1e-6));
  CHECK(parse_density("950 kg/m3").value->in_grams_per_cubic_centimetre() == Approx(0.95));
  for (auto const* bad : {"", "5", "-5 g", "5 stone", "1,5 g", "1e3 g", "g", "5 g x", "nan g"}) {
    CAPTURE(bad);
    const auto parsed = parse_mass(bad);
    CHECK_FALSE(parsed);
    CHECK_FALSE(parsed.fault.empty());
    CHECK_FALSE(parsed.remedy.empty());
  }
}
