// Candidates against method's own formula: flats of the glued section are h_i + h_j + 2 g, h the
// height as it goes to the glue at the section's moisture, for strips cut exactly to some profile.

#include "selection/candidates.h"

#include <cmath>
#include <memory>

#include "catch.h"
#include "selection/prediction.h"

namespace stripwright::selection {
namespace {

using section::Step;

constexpr Length mm(double value) { return Length::millimetres(value); }

Taper straight_taper() {
  Taper taper;
  taper.points = {{Station(mm(0)), mm(2)}, {Station(mm(1000)), mm(7)}};
  return taper;
}

Shop shop_with(EnamelOff off, bool round, bool moisture) {
  Shop shop;
  shop.allowances.glue_line = mm(0.04);
  shop.allowances.cleanup = mm(0.03);
  shop.allowances.enamel = {mm(0.1), off, {}, {}};
  if (round) shop.allowances.enamel.culm_diameter = mm(50);
  shop.allowances.apex_relief = mm(0.02);
  if (moisture) shop.allowances.moisture = Moisture{0.0018, 9, 7};
  shop.spare = {mm(40), mm(40)};
  shop.tolerances.strip = {mm(0.03), mm(0.03)};
  shop.tolerances.flats = {mm(0.06), mm(0.06)};
  return shop;
}

/// Everything that has to outlive an order.
struct Bench {
  explicit Bench(Shop of, inspection::Stage stage, std::optional<double> percent = std::nullopt)
      : shop(std::move(of)),
        taper(straight_taper()),
        profile(std::make_shared<const section::StripProfile>(
            std::make_shared<const TaperCurve>(taper),
            RodSection{"tip", Station(mm(0)), Station(mm(1000)), 1},
            section::LedgerRules(taper.measured, shop.allowances))),
        targets(profile, stage, shop, percent) {
    order.targets = &targets;
    order.shop = &shop;
    order.percent_moisture_now = percent;
    order.stations = {Station(mm(0)), Station(mm(250)), Station(mm(500)), Station(mm(1000))};
    order.shifts = shifts_within(shop.spare, mm(20));
    order.judge.decide = Decide::plain;
    order.not_right_too = true;
    readings.kind = inspection::ReadingKind::strips;
  }

  /// A strip that is `over` too high everywhere, read every 50 mm.
  void add(std::string name, Length over) {
    inspection::Piece piece;
    piece.name = std::move(name);
    for (int i = 0; i <= 20; ++i) {
      const Station at(mm(50.0 * i));
      inspection::PlaceReadings place;
      place.at = at;
      place.targets = static_cast<std::uint32_t>(readings.targets.size());
      readings.targets.push_back(targets.at(at));
      place.heights[0].mean = targets.at(at)[0]->value + over;
      place.heights[0].count = 1;
      piece.places.push_back(place);
    }
    readings.pieces.push_back(std::move(piece));
  }

  Shop shop;
  Taper taper;
  std::shared_ptr<const section::StripProfile> profile;
  inspection::StageTargets targets;
  PoolOrder order;
  inspection::Readings readings;
};

TEST_CASE("shifts are the multiples of the step within the spare, nearest to 0 first") {
  const auto shifts = shifts_within({mm(40), mm(25)}, mm(20));
  std::vector<double> in_mm;
  for (const Length each : shifts) in_mm.push_back(each.in_millimetres());
  CHECK(in_mm == std::vector<double>{0, 20, -20, -40});
  CHECK(shifts_within({mm(40), mm(40)}, Length{}).size() == 1);
  CHECK(shifts_within({mm(40), mm(40)}, mm(41)).size() == 1);
}

TEST_CASE("a strip that is right and not moved is on its target, whatever is still on it") {
  for (const auto off :
       {EnamelOff::before_milling, EnamelOff::before_gluing, EnamelOff::after_gluing})
    for (const bool round : {false, true})
      for (const bool moisture : {false, true})
        for (const auto stage : {inspection::Stage::milled, inspection::Stage::ready}) {
          Bench bench(shop_with(off, round, moisture), stage);
          bench.add("s1", Length{});
          const auto pool = make_pool(bench.readings, 0, bench.order).pool;
          REQUIRE(pool.candidates.size() == 5);
          for (const auto d : pool.candidates[0].deviation) CHECK(d == 0);
        }
}

TEST_CASE("a reading at the section's very end counts, one beyond it does not") {
  const auto admitted = [](bool at_tip, Length beyond) {
    Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
    bench.order.not_right_too = false;
    bench.order.shifts = {Length{}};
    bench.add("s1", Length{});
    auto& places = bench.readings.pieces[0].places;
    auto& place = at_tip ? places.front() : places.back();
    place.at = at_tip ? place.at - beyond : place.at + beyond;
    place.heights[0].mean += mm(0.1);
    return !make_pool(bench.readings, 0, bench.order).pool.candidates.empty();
  };
  for (const bool at_tip : {true, false}) {
    CAPTURE(at_tip);
    CHECK_FALSE(admitted(at_tip, Length{}));
    CHECK(admitted(at_tip, mm(0.5)));
  }
}

TEST_CASE("heights follow from the target where the strip then lies, at the section's moisture") {
  // Flat, enamel off before milling: h_m = h_w = (D/2 + c - g) k, so a strip moved by s has the
  // height of x + s, and once it has dried 1/k of it; the target is D/2 + c - g at x.
  for (const bool moisture : {false, true}) {
    const double k = moisture ? 1 + 0.0018 * (9 - 7) : 1;
    Bench bench(shop_with(EnamelOff::before_milling, false, moisture), inspection::Stage::milled);
    bench.add("s1", mm(0.01));
    const auto pool = make_pool(bench.readings, 0, bench.order).pool;
    for (auto const& candidate : pool.candidates)
      for (std::size_t i = 0; i < bench.order.stations.size(); ++i) {
        const double x = bench.order.stations[i].from_zero().in_millimetres();
        const double s = candidate.shift.in_millimetres();
        const auto d = [](double at) { return 2 + 0.005 * at; };
        const double height = ((d(x + s) / 2 + 0.03 - 0.04) * k + 0.01) / k;
        const double target = d(x) / 2 + 0.03 - 0.04;
        CHECK(candidate.deviation[i] == Approx((height - target) * 1e6).margin(2));
      }
  }
}

TEST_CASE("a strip dried since milling is judged by what is left when the section is used") {
  // Measured at 7 % after milling at 9 %: at service, so that the deviation counts whole.
  Bench bench(shop_with(EnamelOff::before_milling, false, true), inspection::Stage::ready, 7.0);
  bench.add("s1", mm(0.01));
  const auto pool = make_pool(bench.readings, 0, bench.order).pool;
  for (const auto d : pool.candidates[0].deviation) CHECK(d == Approx(10000).margin(1));
}

TEST_CASE("what the section should measure is h_i + h_j + 2 g") {
  Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
  const double over[] = {0.01, -0.005, 0, 0.02, 0.005, -0.01};
  for (int i = 0; i < 6; ++i) bench.add("s" + std::to_string(i + 1), mm(over[i]));
  bench.order.shifts = {Length{}};
  const auto pool = make_pool(bench.readings, 0, bench.order);
  const auto report = report_on(pool, bench.order, {0, 1, 2, 3, 4, 5});
  for (auto const& here : report.stations)
    for (std::size_t p = 0; p < 3; ++p) {
      const double h = (2 + 0.005 * here.at.from_zero().in_millimetres()) / 2 + 0.03 - 0.04;
      CHECK(here.flats[p].in_millimetres() ==
            Approx((h + over[p]) + (h + over[p + 3]) + 2 * 0.04).margin(1e-6));
    }
  CHECK(report.value.deviation == 30000);
  CHECK(report.value.out_of_round == 40000);
  CHECK(report.within_limits);
}

TEST_CASE("strips that are not right, or not measured throughout, are told and left out") {
  Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
  bench.order.not_right_too = false;
  bench.add("s10", Length{});
  bench.add("s2", mm(0.2));
  bench.add("s3", Length{});
  bench.readings.pieces.back().places.resize(10);  // to 450 of 1000
  bench.add("s1", Length{});
  auto pool = make_pool(bench.readings, 0, bench.order);
  REQUIRE(pool.pool.strips.size() == 2);
  CHECK(pool.pool.strips[0].name == "s1");
  CHECK(pool.pool.strips[1].name == "s10");
  REQUIRE(pool.others.size() == 2);
  CHECK(pool.others[0].why == LeftOut::not_right);
  CHECK(pool.others[1].why == LeftOut::too_short);
  bench.order.not_right_too = true;
  pool = make_pool(bench.readings, 0, bench.order);
  CHECK(pool.pool.strips.size() == 3);
}

TEST_CASE("a strip that leaves a quarter of the section unread at either end is taken, no more") {
  Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
  const auto read_from_to = [&](std::ptrdiff_t first, std::ptrdiff_t last) {
    bench.add("s" + std::to_string(first) + "-" + std::to_string(last), Length{});
    auto& places = bench.readings.pieces.back().places;
    places.erase(places.begin() + last + 1, places.end());
    places.erase(places.begin(), places.begin() + first);
  };
  // Every 50 mm of 1000: 250 to 750 leaves a quarter out at both ends.
  read_from_to(5, 15);
  read_from_to(6, 20);
  read_from_to(0, 14);
  const auto pool = make_pool(bench.readings, 0, bench.order);
  REQUIRE(pool.pool.strips.size() == 1);
  CHECK(pool.pool.strips[0].name == "s5-15");
  REQUIRE(pool.others.size() == 2);
  for (auto const& other : pool.others) CHECK(other.why == LeftOut::too_short);
}

TEST_CASE("a strip may be moved as far as it stays right, or until it becomes so") {
  // Heights grow by 0.0025 a millimetre, the tolerance is 0.03: a strip that is on its target can
  // be moved by 12 mm either way; one that is 0.05 too thin needs to move 8 to 32 mm towards the
  // tip, where it then has a place that was thicker.
  Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
  bench.order.not_right_too = false;
  bench.order.shifts = shifts_within(bench.shop.spare, mm(5));
  bench.add("good", Length{});
  bench.add("thin", mm(-0.05));
  const auto pool = make_pool(bench.readings, 0, bench.order).pool;
  std::vector<double> shifts[2];
  for (auto const& candidate : pool.candidates)
    shifts[candidate.strip].push_back(candidate.shift.in_millimetres());
  CHECK(shifts[0] == std::vector<double>{0, 5, -5, 10, -10});
  CHECK(shifts[1] == std::vector<double>{10, 15, 20, 25, 30});
}

TEST_CASE("nodes move with the strip, and those that leave the section no longer count") {
  const RodSection section{"tip", Station(mm(100)), Station(mm(1000)), 1};
  const std::vector<Station> nodes = {Station(mm(90)), Station(mm(110)), Station(mm(990)),
                                      Station(mm(1015))};
  CHECK(nodes_in_section(nodes, section, Length{}) ==
        std::vector<Nanometres>{110'000'000, 990'000'000});
  CHECK(nodes_in_section(nodes, section, mm(20)) ==
        std::vector<Nanometres>{970'000'000, 995'000'000});
  CHECK(nodes_in_section(nodes, section, mm(-20)) ==
        std::vector<Nanometres>{110'000'000, 130'000'000});
  const NodeRules rules{mm(20), mm(25), {Station(mm(100)), Station(mm(1000))}};
  CHECK(keep_clear_shortfall({110'000'000, 990'000'000}, rules) == 15'000'000 + 15'000'000);
  CHECK(gap_shortfall({10, 50}, {12, 55}, 8) == 6 + 3);
}

TEST_CASE("a node that is cut off just beyond an end still counts there, others do not") {
  const RodSection section{"tip", Station(mm(100)), Station(mm(1000)), 1};
  const Spare spare{mm(40), mm(30)};
  const NodeRules rules{mm(20), mm(25), {Station(mm(100)), Station(mm(1000))}};
  const auto beyond = [&](std::vector<double> const& nodes, double shift) {
    std::vector<Station> at;
    for (const double node : nodes) at.emplace_back(mm(node));
    return nodes_beyond_ends(at, section, spare, mm(shift), rules);
  };
  // 10 beyond the tip end, 5 beyond the joint: within 25; 30 and 28 beyond: not.
  CHECK(beyond({70, 90, 500, 1005, 1028}, 0) == std::vector<Nanometres>{90'000'000, 1'005'000'000});
  CHECK(keep_clear_shortfall(beyond({90, 1005}, 0), rules) == 15'000'000 + 20'000'000);
  // Moved by 20 towards the tip the strip has 10 left beyond the joint: a node 15 beyond is not on
  // it.
  CHECK(beyond({1028}, 20) == std::vector<Nanometres>{1'008'000'000});
  CHECK(beyond({1035}, 20).empty());
  // Moved by 20 towards the butt it has 20 left beyond the tip end.
  CHECK(beyond({62}, -20) == std::vector<Nanometres>{82'000'000});
  CHECK(beyond({58}, -20).empty());
  // Moved by all its spare it ends at the joint; by more it is cut farther along the culm.
  CHECK(beyond({1035}, 30).empty());
  CHECK(beyond({1055}, 50).empty());
  CHECK(beyond({140}, 50) == std::vector<Nanometres>{90'000'000});
  // The rod's butt end is no place to keep clear.
  const NodeRules tip_only{mm(20), mm(25), {Station(mm(100))}};
  CHECK(nodes_beyond_ends({Station(mm(1005))}, section, spare, Length{}, tip_only).empty());
}

TEST_CASE("a strip whose node lies just beyond the tip end is moved or lacks something") {
  Bench bench(shop_with(EnamelOff::before_milling, false, false), inspection::Stage::milled);
  bench.order.shifts = shifts_within(bench.shop.spare, mm(20));
  bench.order.rules = {mm(20), mm(25), {Station(mm(0)), Station(mm(1000))}};
  bench.add("s1", Length{});
  bench.order.nodes["s1"] = {Station(mm(-10)), Station(mm(500))};
  const auto pool = make_pool(bench.readings, 0, bench.order).pool;
  REQUIRE(pool.candidates.size() == 5);
  for (auto const& candidate : pool.candidates) {
    const double node = -10 - candidate.shift.in_millimetres();
    const double first = -40 - std::min(candidate.shift.in_millimetres(), 40.0);
    const double lacks = node >= first ? std::max(0.0, 25 - std::abs(node)) : 0;
    CHECK(static_cast<double>(candidate.own_shortfall) == Approx(lacks * 1e6));
    CHECK(candidate.nodes.size() == (node >= 0 ? 2 : 1));
  }
}

TEST_CASE("the rod's tip end and its joints are kept clear, its butt end is not") {
  Taper taper = straight_taper();
  const RodSection tip{"tip", Station(mm(0)), Station(mm(500)), 1};
  const RodSection butt{"butt", Station(mm(500)), Station(mm(1000)), 1};
  const std::vector<Station> own = {Station(mm(700)), Station(mm(500))};
  const auto in_mm = [](std::vector<Station> const& stations) {
    std::vector<double> out;
    for (const Station at : stations) out.push_back(at.from_zero().in_millimetres());
    return out;
  };
  CHECK(in_mm(places_to_keep_clear(taper, tip, own)) == std::vector<double>{0, 500});
  CHECK(in_mm(places_to_keep_clear(taper, butt, own)) == std::vector<double>{500, 700});
  // A rod that ends before its taper does.
  const RodSection short_butt{"butt", Station(mm(500)), Station(mm(900)), 1};
  taper.sections = {tip, short_butt};
  CHECK(in_mm(places_to_keep_clear(taper, short_butt, own)) == std::vector<double>{500, 700});
  CHECK(in_mm(places_to_keep_clear(taper, tip, own)) == std::vector<double>{0, 500});
}

}  // namespace
}  // namespace stripwright::selection
