#include "catch.h"
#include "inspection/judging_bench.h"
#include "machine/section_setup.h"
#include "units/format.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

TEST_CASE("what is printed as proven is proven, in the gauge's unit and in the other") {
  Bench bench;
  const Gauge caliper{"caliper", Length::inches(0.0001), Length::inches(0.0002)};
  std::vector<Station> stations;
  for (int x = 0; x <= 500; x += 7) stations.push_back(at(x));
  for (const Unit unit : {Unit::inch, Unit::millimetre}) {
    const double digit = unit == Unit::inch ? 0.0001 : 0.001;
    int rows = 0;
    for (auto const& row :
         station_rows(bench.targets[0]->profile(), stations, bench.shop, caliper, unit)) {
      REQUIRE(row.proven);
      // JCGM 106: P = Φ((hi - m)/u) - Φ((lo - m)/u) of what is read off the table.
      const auto proves = [&](Length m) {
        return conformance_probability(m, row.strip, standard_uncertainty(caliper)) >= 0.95 - 1e-9;
      };
      for (const bool low : {true, false}) {
        const auto text =
            format_number(low ? row.proven->low : row.proven->high, unit, bench_decimals(unit));
        const double printed = std::stod(text);
        INFO(text << " at " << row.at.from_zero().in_millimetres());
        CHECK(proves(of_unit(printed, unit)));
        // And nothing is given away: a step of the gauge and a digit further it does not prove.
        const double further = (low ? -1 : 1) * (digit + Length::inches(0.0001) / of_unit(1, unit));
        CHECK(!proves(of_unit(printed + further, unit)));
      }
      ++rows;
    }
    CHECK(rows == 72);
  }
}

TEST_CASE("where a single step of a coarse gauge proves, it is told in both units") {
  // Limits 0.978 ± 0.025 and u = 0.0085 mm: right from some 0.967 to 0.989, and of the steps of
  // 0.0127 mm that is 0.0385 in alone.
  Bench bench(shop_text(kFlat), Stage::milled, {},
              "format: stripwright-taper-1\nunit: mm\ntaper: {0: 1.956, 500: 4}\n");
  bench.shop.tolerances.strip = {mm(0.025), mm(0.025)};
  const Gauge caliper{"caliper", Length::inches(0.0005), Length::inches(0.0003)};
  for (const Unit unit : {Unit::inch, Unit::millimetre}) {
    const std::vector<Station> stations{at(0)};
    const auto rows =
        station_rows(bench.targets[0]->profile(), stations, bench.shop, caliper, unit);
    REQUIRE(rows[0].proven);
    const auto show = [&](Length l) { return format_number(l, unit, bench_decimals(unit)); };
    CHECK(show(rows[0].proven->low) == (unit == Unit::inch ? "0.0385" : "0.978"));
    CHECK(show(rows[0].proven->high) == show(rows[0].proven->low));
  }
}

}  // namespace
