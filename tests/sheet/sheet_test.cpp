// Sheets: what stands on them, and that it is what the other files of a set-up say.
#include <map>

#include "catch.h"
#include "files/source_text.h"
#include "machine/setup_tables.h"
#include "report/table.h"
#include "sheet/embedded_files.h"
#include "sheet/setup_sheet.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"
#include "units/format.h"

using namespace stripwright;

namespace {

std::string replaced(std::string text, std::string const& what, std::string const& by) {
  const auto at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

const std::string kTaper = R"(format: stripwright-taper-1
name: Nettle
about: two sections
unit: in
taper: {0: 0.070, 10: 0.100, 20: 0.132, 30: 0.162}
sections:
  tip: {from: 0, to: 15, make: 2}
  butt: {from: 15, to: 30}
)";

const std::string kShop = R"(format: stripwright-shop-1
name: Lane end
unit: in
allowances: {varnish: 0, cleanup: 0.001, glue_line: 0.0015, enamel: {thickness: 0.004, culm_diameter: 2}, apex_relief: 0}
spare: {tip_end: 1, butt_end: 1}
gauges:
  caliper: {resolution: 0.0005, standard_uncertainty: 0.0003}
machines:
  form:
    kind: planing-form
    screws: {pitch: 5, count: 5}
    strip_at: 1
    closed_depth: {thin_end: 0.020, thick_end: 0.040}
    screw_lead: 1/20 in
    depth_gauge: {tip: flat, diameter: 0.010}
    passes: {over: [0.010, 0]}
  mill:
    kind: screw-mill
    screws: {pitch: 5, count: 5}
    strip_at: 1
    cutter_radius: 1.5
    dial: {zero: 0.100, counts: up, division: 0.0005, screw_lead: 0.025, range: [0, 1]}
  copier:
    kind: pattern-mill
    strip_at: 1
    cutter_radius: 1.5
    follower_radius: 0.75
    pattern_per_cutter: 2
    base: 0.5
  router:
    kind: cnc-mill
    strip_at: 0
    cutter_radius: 1.5
    feed: 40
    spindle_rpm: 9000
    clear_height: 1
)";

/// A set-up and its sheet.
struct Made {
  std::vector<machine::SectionSetup> setups;
  std::string sheet;
};

Made made(std::string const& taper_text, std::string const& shop_text, std::string const& name,
          Unit unit = Unit::inch) {
  Problems problems;
  const auto taper = read_taper({"nettle.yaml", taper_text}, problems);
  const auto shop = read_shop({"lane.yaml", shop_text}, problems);
  INFO(problems.text());
  REQUIRE(taper);
  REQUIRE(shop);
  Machine const* machine = nullptr;
  for (auto const& each : shop->machines)
    if (each.name == name) machine = &each;
  REQUIRE(machine);
  Made out{machine::set_up({.taper = *taper,
                            .shop = *shop,
                            .machine = *machine,
                            .gauge = shop->gauges.front(),
                            .sections = taper->sections,
                            .unit = unit},
                           problems),
           {}};
  sheet::SheetHead head;
  head.rod = taper->name;
  head.shop = shop->name;
  head.machine = name;
  head.taper_file = {"nettle.yaml", std::string(64, 'a')};
  head.shop_file = sheet::FileVersion{"lane.yaml", std::string(64, 'b')};
  head.date = "2026-01-01";
  head.program = "stripwright";
  head.unit = unit;
  head.flags = {"BUILT-IN SHOP", "ASSUMED 0: cleanup"};
  out.sheet = sheet::setup_sheet({*taper, *shop, *machine, shop->gauges.front(), out.setups, head});
  return out;
}

std::size_t count(std::string const& text, std::string const& part) {
  std::size_t n = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

/// How often a big figure of the settings reads so.
std::size_t set_to(std::string const& sheet, std::string const& figure) {
  return count(sheet, "<span class=\"set\">" + figure + "</span>");
}

/// Words set under each other, as running text.
std::string single_blanks(std::string text) {
  for (auto at = text.find("  "); at != std::string::npos; at = text.find("  ")) text.erase(at, 1);
  return text.front() == ' ' ? text.substr(1) : text;
}

}  // namespace

TEST_CASE("every setting of a form stands big on its sheet, as the table has it") {
  const auto made_form = made(kTaper, kShop, "form");
  std::map<std::string, std::size_t> wanted;
  for (auto const& setup : made_form.setups)
    for (std::size_t pass = 0; pass < 2; ++pass) {
      const auto table = machine::cutter_table(setup, pass);
      for (auto const& row : table.rows)
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
          auto const& heading = table.columns[c].heading;
          if (heading == "gauge" || heading == "turns + degrees")
            ++wanted[single_blanks(report::cell_text(row[c], Unit::inch))];
        }
    }
  CHECK(wanted.size() > 15);
  for (auto const& [figure, times] : wanted) {
    INFO(figure);
    CHECK(set_to(made_form.sheet, figure) == times);
  }
  // Five screws, two passes, two sections: a box and a blank each.
  CHECK(count(made_form.sheet, "type=\"checkbox\"") == 20);
  CHECK(count(made_form.sheet, "type=\"text\"") == 20);
  CHECK(count(made_form.sheet, "pass 1 of 2, leaves 0.0100 in over the final strip") == 2);
  CHECK(count(made_form.sheet, "pass 2 of 2, the final strip") == 2);
}

TEST_CASE("rough strips that have to be tapered beforehand are told on cover and section") {
  const auto by = [](std::string const& passes) {
    return made(kTaper, replaced(kShop, "clear_height: 1\n", "clear_height: 1\n" + passes),
                "router")
        .sheet;
  };
  const std::string words =
      "Taper the rough strips beforehand, to 0.0200 in over the final strip everywhere";
  CHECK(count(by("    passes: {rough: {over: 0.02}, max_cut: 0.03, last_cut: 0.01}\n"), words) ==
        4);
  CHECK(count(by("    passes: {max_cut: 0.03, last_cut: 0.01}\n"), "beforehand") == 0);
  CHECK(count(by("    passes: {rough: {height: 0.2}, max_cut: 0.03, last_cut: 0.01}\n"),
              "beforehand") == 0);
}

TEST_CASE("every setting of a mill stands big on its sheet, in the unit that is asked for") {
  for (const Unit unit : {Unit::inch, Unit::millimetre}) {
    const auto made_mill = made(kTaper, kShop, "mill", unit);
    for (auto const& setup : made_mill.setups)
      for (auto const& screw : std::get<std::vector<machine::MillPass>>(setup.settings)[0].screws) {
        const auto figure = report::cell_text(*screw.dial, unit);
        INFO(figure);
        CHECK(set_to(made_mill.sheet, figure) >= 1);
      }
  }
}

TEST_CASE("pattern mill and router say what to set, and have no screws") {
  const auto copier = made(kTaper, kShop, "copier").sheet;
  for (const auto* figure : {"pattern-tip", "pattern-butt", "3.0000 in", "0.7500 in", "0.5000 in"})
    CHECK(set_to(copier, figure) >= 1);
  CHECK(copier.find(">screw<") == std::string::npos);
  const auto router = made(kTaper, kShop, "router").sheet;
  for (const auto* figure : {"tip.ngc", "butt.ngc", "3.0000 in", "40 in", "9000"})
    CHECK(set_to(router, figure) >= 1);
  CHECK(router.find(">screw<") == std::string::npos);
}

TEST_CASE("the cover says how many strips, and how long and high") {
  const auto sheet = made(kTaper, kShop, "form").sheet;
  const auto cover = sheet.substr(0, sheet.find("<section id="));
  // Two tips and a butt of six strips; 15 in and 1 in of spare at either end.
  CHECK(cover.find("<th scope=\"row\">tip</th>\n<td>12</td>\n<td>17</td>") != std::string::npos);
  CHECK(cover.find("<th scope=\"row\">butt</th>\n<td>6</td>\n<td>17</td>") != std::string::npos);
  CHECK(cover.find("Cautions") != std::string::npos);
}

TEST_CASE("each part is headed by whose it is, and each table of settings by how it is set") {
  const auto made_form = made(kTaper, kShop, "form");
  auto const& sheet = made_form.sheet;
  for (const auto* section : {"tip", "butt"}) {
    CHECK(count(sheet, std::string("<p class=\"whose\">Nettle, section ") + section +
                           ", form, Lane end; BUILT-IN SHOP; ASSUMED 0: cleanup</p>") == 1);
  }
  CHECK(count(sheet,
              "<p>2026-01-01; nettle.yaml, version aaaaaaaaaaaa; lane.yaml, version "
              "bbbbbbbbbbbb</p>") == 2);
  // Two passes, two sections.
  CHECK(count(sheet,
              "Turns count from bars touching. Come to each reading from the open side, "
              "closing.</span>") == 4);
  CHECK(count(made(kTaper, kShop, "mill").sheet,
              "Come to each setting from the same side, raising the figure.") == 2);
}

TEST_CASE("all heights of a strip have their limits on the sheet, and what is glued its measures") {
  const auto shop = replaced(kShop, "varnish: 0,", "varnish: 0.0015,");
  const auto made_form = made(kTaper, shop, "form");
  const auto cell = [](Length l) { return format_number(l, Unit::inch, 4); };
  for (auto const& setup : made_form.setups)
    for (auto const& row : setup.stations) {
      using section::Step;
      // 0.001 in over and under is what a shop without tolerances gets (docs/file-formats.md).
      const Length side = row.ledger[Step::side_milled], off = Length::inches(0.001);
      CHECK(count(made_form.sheet, "<td>" + cell(side) + "</td>\n<td>" + cell(side - off) + "–" +
                                       cell(side + off) + "</td>") >= 1);
      CHECK(count(made_form.sheet, "<td>" + cell(row.ledger[Step::strip_ready]) + "</td>\n<td>" +
                                       cell(row.ledger[Step::flats_glued]) + "</td>\n<td>" +
                                       cell(row.ledger[Step::bare]) + "</td>\n<td>" +
                                       cell(row.ledger[Step::bare] + Length::inches(0.003)) +
                                       "</td>") >= 1);
    }
  CHECK(made_form.sheet.find("0.0020 in under to 0.0020 in over") != std::string::npos);
  // Where nothing comes off before gluing, the column would say the same again.
  const auto as_milled =
      made(kTaper, replaced(kShop, "thickness: 0.004, ", "thickness: 0.004, off: before-milling, "),
           "form");
  CHECK(as_milled.sheet.find("ready to glue</th>") == std::string::npos);
  CHECK(as_milled.sheet.find("Until it is glued, a stays as milled.") != std::string::npos);
}

TEST_CASE("names from files are shown and never run") {
  const auto taper =
      replaced(kTaper, "name: Nettle", "name: \"<script>alert(1)</script> & \\\"<b>'\"");
  const auto shop =
      replaced(kShop, "name: Lane end", "name: \"</td><img src=x onerror=alert(2)>\"");
  const auto sheet = made(taper, shop, "form").sheet;
  CHECK(sheet.find("alert(1)&lt;/script&gt; &amp; &quot;&lt;b&gt;&#39;") != std::string::npos);
  CHECK(count(sheet, "<script") == 1);  // ours
  CHECK(sheet.find("<img") == std::string::npos);
  CHECK(sheet.find("<b>") == std::string::npos);
}

TEST_CASE("a sheet forbids the browser every request, and names its style and script by hash") {
  const auto sheet = made(kTaper, kShop, "form").sheet;
  CHECK(sheet.find("content=\"default-src 'none'; style-src 'sha256-") != std::string::npos);
  CHECK(sheet.find("unsafe") == std::string::npos);
  CHECK(sheet.find("://") == std::string::npos);
  CHECK(sheet.find(" style=\"") == std::string::npos);
  CHECK(sheet.find(" onclick") == std::string::npos);
  CHECK(sheet.find(sheet::kScript) != std::string::npos);
}

TEST_CASE("headings go down one level at a time, and no id stands twice") {
  for (const auto* machine : {"form", "mill", "copier", "router"}) {
    const auto sheet = made(kTaper, kShop, machine).sheet;
    char level = '0';
    for (auto at = sheet.find("<h"); at != std::string::npos; at = sheet.find("<h", at + 1)) {
      const char next = sheet[at + 2];
      if (next < '1' || next > '6') continue;
      CHECK(next <= level + 1);
      level = next;
    }
    CHECK(count(sheet, "<h1") == 1);
    std::map<std::string, int> ids;
    for (auto at = sheet.find(" id=\""); at != std::string::npos; at = sheet.find(" id=\"", at + 1))
      ++ids[sheet.substr(at + 5, sheet.find('"', at + 5) - at - 5)];
    for (auto const& [id, times] : ids) {
      INFO(id);
      CHECK(times == 1);
    }
    CHECK(count(sheet, "<table") == count(sheet, "<caption"));
  }
}

TEST_CASE("the same set-up makes the same bytes, other files another place for entries") {
  CHECK(made(kTaper, kShop, "mill").sheet == made(kTaper, kShop, "mill").sheet);
  const auto key = [](std::string const& sheet) {
    return sheet.substr(sheet.find("data-sheet=\"") + 12, 12);
  };
  CHECK(key(made(kTaper, kShop, "mill").sheet) != key(made(kTaper, kShop, "form").sheet));
}
