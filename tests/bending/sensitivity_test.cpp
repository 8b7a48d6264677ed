#include "bending/sensitivity.h"

#include <cmath>

#include "bench.h"
#include "catch.h"

using namespace bench;

// Small loads: drop = ∫ P x²/(E I) dx by the unit load, so that flats thicker by δ(x) change it by
// -4 ∫ P x² δ/(E I D) dx, for I goes with D⁴.
TEST_CASE("a tip's sensitivity to each station is the unit load's integral") {
  const Rod r = rod({0, 400, 900, 1200}, {2, 3.5, 6.1, 7.5});
  const double force = 1e-4;
  const std::vector<Station> places{at(0), at(300), at(600), at(900), at(1200)};
  const auto found =
      sensitivities(r, load(0, 1200, force), {}, single_deviations(places, at(0), at(1200)));
  REQUIRE(found);
  REQUIRE(found->size() == places.size());
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double middle = mm(places[i].from_zero());
    double sum = 0;
    const int n = 120000;
    for (int k = 0; k < n; ++k) {
      const double x = (k + 0.5) * 1200 / n;
      const double hat = std::max(0.0, 1 - std::fabs(x - middle) / 300);
      const double flats = mm(r.flats(at(x)));
      sum -= 4 * force * x * x * hat / (25000 * second_moment(flats) * flats) * 1200 / n;
    }
    CHECK((*found)[i].front() == Approx(sum).epsilon(2e-4));
    CHECK((*found)[i].back() == Approx(0).margin(1e-12));
  }
}

TEST_CASE("all stations thicker by the same is the sum of their sensitivities") {
  const Rod r = rod({0, 400, 900, 1200}, {2, 3.5, 6.1, 7.5});
  const auto loading = load(0, 1200, 0.8, true);
  const auto found = sensitivities(r, loading, {},
                                   single_deviations({at(100), at(400), at(900)}, at(0), at(1200)));
  REQUIRE(found);
  double sum = 0;
  for (auto const& each : *found) sum += each.front();
  Rod thicker = r;
  thicker.add({{at(0), mm(0.001)}, {at(1200), mm(0.001)}});
  const double moved = mm(bend(thicker, loading, {})->drop()) - mm(bend(r, loading, {})->drop());
  CHECK(moved / 0.001 == Approx(sum).epsilon(2e-3));
}
