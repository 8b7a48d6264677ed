// What is said below the tables, on the terminal and on sheets alike.
#include "sheet/sentences.h"

#include <fmt/format.h>

#include <cmath>

#include "catch.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

using namespace stripwright;

namespace {

/// Half-heights rise by 0.002 mm a mm, from 1 mm; flat faces, nothing allowed.
const std::string kTaper = R"(format: stripwright-taper-1
unit: mm
taper: {0: 2, 400: 3.6}
)";

const std::string kShop = R"(format: stripwright-shop-1
unit: mm
allowances: {varnish: 0, cleanup: 0, glue_line: 0, enamel: {thickness: 0}, apex_relief: 0}
spare: {tip_end: 30, butt_end: 20}
tolerances: {strip: 0.025}
gauges:
  fine: {resolution: 0.001, standard_uncertainty: 0.002}
  caliper: {resolution: 0.01, max_error: 0.02}
  coarse: {resolution: 0.05, max_error: 0.05}
machines:
  form:
    kind: planing-form
    screws: {pitch: 125, count: 5}
    strip_at: 20
    closed_depth: {thin_end: 0.5, thick_end: 0.5}
    depth_gauge: {tip: sharp}
    passes: {over: [0.3, 0]}
  mill:
    kind: screw-mill
    screws: {pitch: 125, count: 5}
    strip_at: 20
    cutter_radius: 0
    dial: {zero: 1.5, screw_lead: 0.5, division: 0.01}
)";

std::string replaced(std::string text, std::string const& what, std::string const& by) {
  const auto at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

struct Bench {
  Taper taper;
  Shop shop;
  Machine machine;
  machine::SectionSetup setup;
};

Bench bench(std::string const& shop_text, std::size_t machine = 0, std::size_t gauge = 0,
            std::string const& taper_text = kTaper) {
  Problems problems;
  const auto taper = read_taper({"taper.yaml", taper_text}, problems);
  const auto shop = read_shop({"shop.yaml", shop_text}, problems);
  INFO(problems.text());
  REQUIRE(taper);
  REQUIRE(shop);
  auto const& on = shop->machines[machine];
  auto setups = machine::set_up({.taper = *taper,
                                 .shop = *shop,
                                 .machine = on,
                                 .gauge = shop->gauges[gauge],
                                 .sections = taper->sections,
                                 .unit = Unit::millimetre},
                                problems);
  REQUIRE(setups.size() == 1);
  return {*taper, *shop, on, setups[0]};
}

bool has(std::string const& text, std::string const& part) {
  INFO(text);
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a cone has to be wider than the widest opening that it is read over, in any pass") {
  const auto words = [](std::string const& shop_text) {
    const auto b = bench(shop_text);
    return sheet::cone_sentence(b.setup, b.machine, Unit::millimetre);
  };
  // The last screw, at 500 mm, is at station 450: 1.9 mm and the first pass's 0.3 deep, closed 0.5;
  // 2 (2.2 - 0.5) tan 30° = 1.963.
  CHECK(has(words(kShop), "wider than 1.963 mm, the widest opening (pass 1, screw 5)"));
  CHECK(has(words(replaced(kShop, "    passes: {over: [0.3, 0]}\n", "")),
            "wider than 1.617 mm, the widest opening (screw 5)"));
  const auto with_tip = [&](std::string const& tip) {
    return words(replaced(kShop, "depth_gauge: {tip: sharp}", "depth_gauge: " + tip));
  };
  CHECK(has(with_tip("{tip: flat, diameter: 0.2}"), "wider than 1.963 mm"));
  // A cone that is cut off at 2.0 is wider than all openings.
  CHECK(with_tip("{tip: flat, diameter: 2}").empty());
  CHECK(with_tip("{tip: ball, diameter: 2}").empty());
  CHECK(words(replaced(kShop, "    closed_depth: {thin_end: 0.5, thick_end: 0.5}\n", "")).empty());
}

TEST_CASE("a mill's turns say from where they count") {
  const auto b = bench(kShop, 1);
  CHECK(has(sheet::turns_sentence(b.machine, Unit::millimetre), "from where it shows 1.500 mm"));
  const auto none = bench(replaced(kShop, "screw_lead: 0.5, ", ""), 1);
  CHECK(sheet::turns_sentence(none.machine, Unit::millimetre).empty());
}

TEST_CASE("where bars miss is told on rod and machine, with the gauge's reading; slight is short") {
  const std::string knee = replaced(kTaper, "400: 3.6", "150: 3, 400: 3.6");
  const auto b = bench(kShop, 0, 0, knee);
  auto const& bar = std::get<std::vector<machine::FormPass>>(b.setup.settings).back().bar;
  // Tip first, the strip's end at 20 mm and 30 mm of spare before station 0.
  const auto at = std::lround(bar.greatest.at.from_zero().in_millimetres());
  const auto told = sheet::miss_sentence(b.setup, Unit::millimetre);
  CHECK(has(told, fmt::format("at station {} mm, {} mm on the machine; the gauge reads {:.3f} mm",
                              at, at + 50, bar.gauge_there->in_millimetres())));
  CHECK(has(sheet::between_screws_step(b.setup, Unit::millimetre),
            fmt::format("in the last pass, where the greatest miss is, at {} mm", at + 50)));
  const auto mill = bench(kShop, 1, 0, knee);
  CHECK(has(sheet::miss_sentence(mill.setup, Unit::millimetre),
            fmt::format("{} mm on the machine.", at + 50)));
  const auto straight = bench(kShop);
  CHECK(has(sheet::miss_sentence(straight.setup, Unit::millimetre), "too little to gauge."));
  CHECK(sheet::between_screws_step(straight.setup, Unit::millimetre).empty());
}

TEST_CASE("blanks among proven readings are given their reason") {
  const auto words = [](std::string const& shop_text, std::size_t gauge,
                        std::string const& taper_text = kTaper) {
    const auto b = bench(shop_text, 0, gauge, taper_text);
    return sheet::proven_sentence(b.setup, b.shop, b.shop.gauges[gauge], Unit::millimetre,
                                  "in the range");
  };
  CHECK(words(kShop, 0) ==
        "Readings of a with the fine in the range prove the strip right (95 %).");
  CHECK(has(words(kShop, 2), "too coarse for this tolerance"));
  // u = 0.0119 and 0.05 of limits: readings within some 0.008 prove. 1 and 1.8 high have a step of
  // 0.01 on them, 1.405 has the nearest 0.005 away.
  const auto odd = words(kShop, 1, replaced(kTaper, "400:", "200: 2.81, 400:"));
  CHECK(has(odd, "No reading of it does at station 200 mm: only within 0.00"));
  CHECK(has(odd, "no step of 0.01 mm lies there"));
}
