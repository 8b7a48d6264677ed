#include <cmath>

#include "catch.h"
#include "inspection/judging_bench.h"
#include "machine/section_setup.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

// Four machines of different kinds for the tip, 40 of spare before it and 30 behind.
inline std::string const kMachines = R"(machines:
  form:
    kind: planing-form
    screws: {first: 0, pitch: 100, count: 8}
    strip_at: 60
    closed_depth: {thin_end: 0.3, thick_end: 1.4}
    screw_lead: 1.25
    depth_gauge: {tip: flat, diameter: 0.25}
  bed:
    kind: screw-mill
    screws: {first: 0, pitch: 100, count: 8}
    strip_at: 60
    bar: straight
    cutter_radius: 38
    dial: {zero: 5, counts: down, dial_per_offset: 2, division: 0.01, screw_lead: 1, range: [-20, 20]}
  copier:
    kind: pattern-mill
    strip_at: 60
    cutter_radius: 38
    follower_radius: 19
    pattern_per_cutter: 2
    base: 12
    outline_tolerance: 0.005
  lifted:
    kind: pattern-mill
    strip_at: 60
    cutter_radius: 38
    follower_radius: 19
    pattern_per_cutter: -1.5
    base: 12
    outline_tolerance: 0.005
  router:
    kind: cnc-mill
    strip_at: 60
    cutter_radius: 38
    feed: 1000
    spindle_rpm: 9000
    clear_height: 25
  router in passes:
    kind: cnc-mill
    strip_at: 60
    cutter_radius: 38
    feed: 1000
    spindle_rpm: 9000
    clear_height: 25
    passes: {max_cut: 0.5, last_cut: 0.2}
)";

/// The mill cut 0.05 too thick at 0, 0.03 too thin at 200, and 0.02 too thick at 500: by so much
/// the strip it is set for is to change, at any station; written out, not by the code.
const std::vector<StationDeviation> kFound = [] {
  std::vector<StationDeviation> out;
  for (auto const& [x, off] : {std::pair(0.0, 0.05), {200.0, -0.03}, {500.0, 0.02}})
    out.push_back({at(x), 6, mm(off), mm(0.004), mm(0.003), 5, mm(off - 0.008), mm(off + 0.008),
                   Cause::machine});
  return out;
}();

double wanted_change(double x) {
  if (x <= 0) return -0.05;
  if (x <= 200) return -0.05 + 0.08 * x / 200;
  if (x <= 500) return 0.03 - 0.05 * (x - 200) / 300;
  return -0.02;
}

struct Pair {
  Settings before, after;
};

Pair settings(std::string const& machine_name) {
  const Bench bench(shop_text(kFlat, kMachines));
  const auto machine = std::find_if(bench.shop.machines.begin(), bench.shop.machines.end(),
                                    [&](auto const& each) { return each.name == machine_name; });
  REQUIRE(machine != bench.shop.machines.end());
  const Correction correction{
      "Bramble", machine_name, Unit::millimetre, {correction_of("tip", kFound)}};
  Problems problems;
  SetupOrder order{bench.taper,     bench.shop, *machine, std::nullopt, {bench.taper.sections[0]},
                   Unit::millimetre};
  auto before = set_up(order, problems);
  order.correction = correction;
  auto after = set_up(order, problems);
  INFO(problems.text());
  REQUIRE(problems.empty());
  // Stations and limits are those of the strip, not of the machine.
  for (std::size_t i = 0; i < before[0].stations.size(); ++i) {
    CHECK(before[0].stations[i].strip.low == after[0].stations[i].strip.low);
    CHECK(before[0].stations[i].strip.high == after[0].stations[i].strip.high);
  }
  return {before[0].settings, after[0].settings};
}

/// A table's value at a place, straight between its points.
template <class Points, class Place, class Value>
double value_at(Points const& points, double x, Place place, Value value) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double a = place(points[i - 1]), b = place(points[i]);
    if (x < std::min(a, b) || x > std::max(a, b) || a == b) continue;
    return value(points[i - 1]) + (value(points[i]) - value(points[i - 1])) * (x - a) / (b - a);
  }
  FAIL("no point at " << x);
  return 0;
}

double station(CutterPoint const& point) { return point.taper_at.from_zero().in_millimetres(); }

TEST_CASE(
    "correct: a planing form's grooves, readings, openings and turns move by the correction") {
  const auto [before, after] = settings("form");
  auto const& was = std::get<std::vector<FormPass>>(before).back().screws;
  auto const& is = std::get<std::vector<FormPass>>(after).back().screws;
  REQUIRE(was.size() == 8);
  for (std::size_t i = 0; i < was.size(); ++i) {
    const double x = was[i].place.taper_at.from_zero().in_millimetres();
    INFO("station " << x);
    const double change = wanted_change(x);
    CHECK((is[i].depth - was[i].depth).in_millimetres() == Approx(change).margin(1e-9));
    // The flat cone stays on the flanks; at 60° the opening is 2/√3 of the depth.
    CHECK((*is[i].gauge->reading - *was[i].gauge->reading).in_millimetres() ==
          Approx(change).margin(1e-9));
    CHECK((*is[i].opening - *was[i].opening).in_millimetres() ==
          Approx(change * 2 / std::sqrt(3.0)).margin(1e-9));
    CHECK(*is[i].turns - *was[i].turns == Approx(change * 2 / std::sqrt(3.0) / 1.25).margin(1e-9));
  }
}

TEST_CASE("correct: a mill's dials move by the correction, the way they count") {
  const auto [before, after] = settings("bed");
  auto const& was = std::get<std::vector<MillPass>>(before).back().screws;
  auto const& is = std::get<std::vector<MillPass>>(after).back().screws;
  REQUIRE(was.size() == 8);
  for (std::size_t i = 0; i < was.size(); ++i) {
    const double x = was[i].place.taper_at.from_zero().in_millimetres();
    INFO("station " << x);
    const double change = wanted_change(x);
    CHECK((is[i].offset - was[i].offset).in_millimetres() == Approx(change).margin(1e-4));
    // Counting down, twice the offset; rounded to 0.01 of the dial either time.
    const double dial = (*is[i].dial - *was[i].dial).in_millimetres();
    CHECK(dial == Approx(-2 * change).margin(0.0101));
    const double rest = (*is[i].residual - *was[i].residual).in_millimetres();
    CHECK(-dial / 2 + rest == Approx(change).margin(1e-4));
  }
}

TEST_CASE(
    "correct: patterns are higher by the arm's ratio times the correction, lifted ones lower") {
  for (auto const& [name, ratio] : {std::pair("copier", 2.0), {"lifted", -1.5}}) {
    const auto [before, after] = settings(name);
    auto const& was = std::get<PatternSettings>(before).passes.back().points;
    auto const& is = std::get<PatternSettings>(after).passes.back().points;
    const auto place = [](PatternPoint const& point) { return station(point.cutter); };
    const auto pattern = [](PatternPoint const& point) { return point.pattern.in_millimetres(); };
    for (const double x : {-40.0, 0.0, 50.0, 125.0, 200.0, 300.0, 437.0, 500.0, 530.0}) {
      INFO(name << ", station " << x);
      // Slopes of 0.0003 more or less move where a follower of 19 bears by 0.006 along the slide.
      CHECK(value_at(is, x, place, pattern) - value_at(was, x, place, pattern) ==
            Approx(ratio * wanted_change(x)).margin(5e-4));
    }
  }
}

TEST_CASE("correct: passes take of the cane what they took, each set by the correction otherwise") {
  const auto [before, after] = settings("router in passes");
  auto const& was = std::get<CncSettings>(before).passes;
  auto const& is = std::get<CncSettings>(after).passes;
  REQUIRE(was.size() > 3);
  REQUIRE(is.size() == was.size());
  for (std::size_t p = 0; p < was.size(); ++p)
    for (const double x : {-40.0, 0.0, 50.0, 125.0, 200.0, 300.0, 437.0, 500.0, 530.0}) {
      INFO("pass " << p + 1 << ", station " << x);
      CHECK(is[p].pass.cut(at(x))->in_millimetres() ==
            Approx(was[p].pass.cut(at(x))->in_millimetres()).margin(1e-9));
      CHECK(is[p].pass.cut(at(x))->in_millimetres() < (p + 1 == was.size() ? 0.2 : 0.5) + 1e-9);
      CHECK((is[p].pass.strip->height(at(x)) - was[p].pass.strip->height(at(x))).in_millimetres() ==
            Approx(wanted_change(x)).margin(1e-9));
    }
}

TEST_CASE("correct: a router's cutter goes by the correction higher or lower") {
  const auto [before, after] = settings("router");
  auto const& was = std::get<CncSettings>(before).passes.back().way;
  auto const& is = std::get<CncSettings>(after).passes.back().way;
  const auto offset = [](CutterPoint const& point) { return point.offset.in_millimetres(); };
  for (const double x : {-40.0, 0.0, 50.0, 125.0, 200.0, 300.0, 437.0, 500.0, 530.0}) {
    INFO("station " << x);
    CHECK(value_at(is, x, station, offset) - value_at(was, x, station, offset) ==
          Approx(wanted_change(x)).margin(3e-4));
  }
}

}  // namespace
