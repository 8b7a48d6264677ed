#include <algorithm>

#include "catch.h"
#include "inspection/judging_bench.h"
#include "machine/section_setup.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

// Spare of 40 and 30 mm on the strip, and tools of 38 mm: 40 + 76 mm beyond its tip.
inline std::string const kMachines = R"(machines:
  form:
    kind: planing-form
    screws: {first: 0, pitch: 100, count: 8}
    strip_at: 60
  bed:
    kind: screw-mill
    screws: {first: 0, pitch: 100, count: 15}
    strip_at: 60
    cutter_radius: 38
    dial: {zero: 0}
  copier:
    kind: pattern-mill
    strip_at: 60
    cutter_radius: 38
    follower_radius: 19
    base: 0
    outline_tolerance: 0.01
  router:
    kind: cnc-mill
    strip_at: 60
    cutter_radius: 38
    feed: 1000
    spindle_rpm: 9000
    clear_height: 20
)";

/// What is refused when the rod's first section, or its last, is set up.
std::vector<std::string> errors(std::string const& machine, std::string const& enamel,
                                std::string const& stations, bool last = false) {
  const auto from = kTaper.find("taper: {"), to = kTaper.find('\n', from);
  auto taper = kTaper;
  taper.replace(from, to - from, "taper: {" + stations + "}");
  const Bench bench(shop_text(enamel, kMachines), Stage::milled, {}, taper);
  const auto chosen = std::find_if(bench.shop.machines.begin(), bench.shop.machines.end(),
                                   [&](Machine const& each) { return each.name == machine; });
  REQUIRE(chosen != bench.shop.machines.end());
  auto const& sections = bench.taper.sections;
  Problems problems;
  set_up({bench.taper,
          bench.shop,
          *chosen,
          std::nullopt,
          {last ? sections.back() : sections.front()},
          Unit::millimetre},
         problems);
  std::vector<std::string> out;
  for (auto const& each : problems.list())
    if (each.severity == Severity::error) out.push_back(each.what + "\n" + each.remedy);
  return out;
}

bool tells(std::string const& text, std::string const& what) {
  INFO(text);
  return text.find(what) != std::string::npos;
}

}  // namespace

// 44 mm of culm and 0.12 of enamel hold strips below 3/2 * 21.88 = 32.8 mm; a strip is half of the
// flats high.
TEST_CASE("a taper so steep at its tip that no culm holds what tools reach is refused") {
  const auto steep = "0: 2, 1: 1, 500: 4, 1000: 6";  // 118 mm across flats at -116 mm
  for (std::string const machine : {"bed", "router", "copier"}) {
    CAPTURE(machine);
    const bool copier = machine == "copier";
    const auto told = errors(machine, kRound, steep);
    REQUIRE(told.size() == 1);
    CHECK(tells(told[0], copier ? "to station -154 mm" : "to station -116 mm"));
    CHECK(tells(told[0], copier ? "a strip 78 mm high" : "a strip 59 mm high"));
    CHECK(tells(told[0], "2 mm at 0 mm and 1 mm at 1 mm"));
    // A face without an arc has no such bound. At one in two the strip is 30 mm, or 39.5 mm, high.
    CHECK(errors(machine, kFlat, steep).empty());
    CHECK(errors(machine, kRound, "0: 2, 2: 1, 500: 4, 1000: 6").empty() == !copier);
  }
  CHECK(errors("form", kRound, steep).empty());
}

TEST_CASE("a taper so steep at its butt is refused with its last two stations") {
  const auto told = errors("router", kRound, "0: 2, 500: 4, 998: 6, 1000: 8", true);
  REQUIRE(told.size() == 1);
  CHECK(tells(told[0], "to station 1106 mm"));
  CHECK(tells(told[0], "a strip 57 mm high"));
  CHECK(tells(told[0], "6 mm at 998 mm and 8 mm at 1000 mm"));
  CHECK(errors("router", kRound, "0: 2, 500: 4, 998: 6, 1000: 7", true).empty());
}
