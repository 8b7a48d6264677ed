#include "section/strip_profile.h"

#include "catch.h"
#include "section/crossing.h"

using namespace stripwright;
using namespace stripwright::section;

namespace {

Length mm(double value) { return Length::millimetres(value); }
Station station(double value) { return Station(mm(value)); }

Taper taper(std::vector<std::pair<double, double>> const& points,
            Between between = Between::linear) {
  Taper out;
  out.unit = Unit::millimetre;
  out.between = between;
  for (auto const& [at, flats] : points) out.points.push_back({station(at), mm(flats)});
  out.sections = {{"rod", out.tip_end(), out.butt_end(), 1}};
  return out;
}

StripProfile profile(Taper const& its, RodSection const& section, Allowances const& shop = {}) {
  return {std::make_shared<const TaperCurve>(its), section, LedgerRules(its.measured, shop)};
}

Allowances round_culm() {
  Allowances shop;
  shop.enamel.thickness = mm(0.1);
  shop.enamel.culm_diameter = mm(45);
  return shop;
}

}  // namespace

TEST_CASE("without allowances the strip is half the flats, and goes on beyond the taper") {
  const auto its = taper({{0, 2}, {500, 4}, {1000, 7}});
  const auto strip = profile(its, its.sections[0]);
  CHECK(strip.height(station(0)).in_millimetres() == Approx(1).epsilon(1e-14));
  CHECK(strip.height(station(250)).in_millimetres() == Approx(1.5).epsilon(1e-14));
  CHECK(strip.height(station(1000)).in_millimetres() == Approx(3.5).epsilon(1e-14));
  CHECK(strip.height(station(-50)).in_millimetres() == Approx(0.9).epsilon(1e-14));
  CHECK(strip.height(station(1050)).in_millimetres() == Approx(3.65).epsilon(1e-14));
  CHECK(strip.straight());
}

TEST_CASE("in the spare the strip stays at 0.2 mm instead of thinning to an edge") {
  const auto its = taper({{0, 1}, {500, 6}});
  const auto strip = profile(its, its.sections[0]);
  // Half the flats fall by 0.005 a mm: 0.2 mm is met 60 mm before the tip end.
  CHECK(strip.height(station(-59)).in_millimetres() == Approx(0.205).epsilon(1e-12));
  CHECK(strip.height(station(-61)).in_millimetres() == Approx(0.2).epsilon(1e-14));
  CHECK(strip.height(station(-5000)).in_millimetres() == Approx(0.2).epsilon(1e-14));
  CHECK(strip.slope(station(-61), Side::towards_butt) == 0);
  CHECK(strip.slope(station(-59), Side::towards_butt) == Approx(0.005).epsilon(1e-12));
  const auto corners = strip.corners();
  CHECK(std::any_of(corners.begin(), corners.end(),
                    [](Station at) { return same_place(at, station(-60)); }));
}

TEST_CASE(
    "the spare of a section that ends between stations stays at 0.2 mm too, and bends there") {
  // Half the flats fall by 0.024 a mm to 0.1: 0.2 mm is met 100/24 mm before the taper ends.
  const double met = 100.0 / 24;
  for (const bool tip : {true, false}) {
    const auto its = tip ? taper({{0, 0.2}, {100, 5}}) : taper({{0, 5}, {100, 0.2}});
    const auto strip = profile(its, {"rod", station(tip ? 20 : 0), station(tip ? 100 : 80), 1});
    const auto from_end = [&](double x) { return station(tip ? x : 100 - x); };
    INFO("tip " << tip);
    CHECK(strip.height(from_end(met + 1)).in_millimetres() == Approx(0.224).epsilon(1e-12));
    CHECK(strip.height(from_end(met - 1)).in_millimetres() == Approx(0.2).epsilon(1e-12));
    const auto corners = strip.corners();
    CHECK(std::any_of(corners.begin(), corners.end(),
                      [&](Station at) { return same_place(at, from_end(met)); }));
    CHECK(std::is_sorted(corners.begin(), corners.end()));
  }
}

TEST_CASE("a section thinner than 0.2 mm goes on level, it does not jump up") {
  const auto its = taper({{0, 0.3}, {500, 6}});
  const auto strip = profile(its, its.sections[0]);
  CHECK(strip.height(station(0)).in_millimetres() == Approx(0.15).epsilon(1e-14));
  CHECK(strip.height(station(-0.001)).in_millimetres() == Approx(0.15).epsilon(1e-14));
  CHECK(strip.slope(station(0), Side::towards_tip) == 0);
  CHECK(strip.slope(station(0), Side::towards_butt) > 0);
}

TEST_CASE("the spare of an inner section follows the neighbour's taper") {
  const auto its = taper({{0, 2}, {500, 4}, {1000, 7}});
  const auto strip = profile(its, {"butt", station(500), station(1000), 1});
  CHECK(strip.height(station(450)).in_millimetres() == Approx(1.9).epsilon(1e-14));
}

TEST_CASE("slopes are those of the curve on either side, for every kind of strip") {
  const std::vector<std::pair<double, double>> points = {
      {0, 1.8}, {200, 2.9}, {450, 4.3}, {800, 6.1}, {1100, 8}};
  for (const auto between : {Between::linear, Between::smooth})
    for (auto const& shop : {Allowances{}, round_culm()}) {
      const auto its = taper(points, between);
      const auto strip = profile(its, its.sections[0], shop);
      CHECK(strip.straight() == (between == Between::linear && !shop.enamel.culm_diameter));
      for (double x = -60; x < 1180; x += 7.3) {
        const double step = 1e-3;
        const auto at = [&](double where) { return strip.height(station(where)).in_millimetres(); };
        CHECK(strip.slope(station(x), Side::towards_butt) ==
              Approx((at(x + step) - at(x)) / step).margin(1e-6));
        CHECK(strip.slope(station(x), Side::towards_tip) ==
              Approx((at(x) - at(x - step)) / step).margin(1e-6));
      }
    }
}

TEST_CASE("the table has the taper's stations inside the section, and its ends") {
  const auto its = taper({{0, 2}, {300, 3}, {600, 4}, {1000, 7}});
  const auto stations = table_stations(its, {"tip", station(0), station(450), 1});
  REQUIRE(stations.size() == 3);
  CHECK(same_place(stations[1], station(300)));
  CHECK(same_place(stations[2], station(450)));
  // A section that ends on a station has it once.
  CHECK(table_stations(its, {"tip", station(300), station(600), 1}).size() == 2);
}

TEST_CASE("a strip that cannot be is told with its station and its row") {
  auto its = taper({{0, 0.1}, {500, 6}});
  Allowances shop;
  shop.glue_line = mm(0.08);
  Problems problems;
  const auto strip = profile(its, its.sections[0], shop);
  check_section(strip, table_stations(its, its.sections[0]), Unit::millimetre, problems);
  REQUIRE(problems.errors() == 1);
  CHECK(problems.list()[0].what.find("station 0 mm") != std::string::npos);
  CHECK(problems.list()[0].what.find("h_g") != std::string::npos);
}

TEST_CASE("a strip too thick for the culm is told") {
  const auto its = taper({{0, 2}, {500, 40}});
  auto shop = round_culm();
  shop.enamel.culm_diameter = mm(20);
  Problems problems;
  const auto strip = profile(its, its.sections[0], shop);
  check_section(strip, table_stations(its, its.sections[0]), Unit::millimetre, problems);
  REQUIRE(problems.errors() == 1);
  CHECK(problems.list()[0].what.find("culm") != std::string::npos);
}

TEST_CASE("crossings of a level are found on straight and on curved strips") {
  for (const auto between : {Between::linear, Between::smooth}) {
    const auto its = taper({{0, 2}, {300, 4}, {600, 3}, {1000, 7}}, between);
    const auto strip = profile(its, its.sections[0]);
    const auto found = crossings(strip, mm(1.75));
    REQUIRE(found.size() == 3);
    for (const Station at : found)
      CHECK(strip.height(at).in_millimetres() == Approx(1.75).epsilon(1e-13));
  }
}

TEST_CASE("the extent of a strip is that of its corners and ends") {
  const auto its = taper({{0, 2}, {300, 4}, {600, 3}, {1000, 7}});
  const auto strip = profile(its, its.sections[0]);
  const auto range = extent(strip, station(200), station(700));
  CHECK(range.lowest.in_millimetres() == Approx(1.5).epsilon(1e-14));
  CHECK(same_place(range.lowest_at, station(600)));
  CHECK(range.highest.in_millimetres() == Approx(2).epsilon(1e-14));
}
