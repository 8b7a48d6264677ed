// The figures of sheets: that they are drawn where their values are, and to scale.
#include <cmath>
#include <regex>
#include <set>

#include "catch.h"
#include "report/print_rule.h"
#include "section/strip_profile.h"
#include "section/triangle.h"
#include "sheet/bed_figure.h"
#include "sheet/ledger_figure.h"
#include "sheet/strip_figure.h"
#include "sheet/taper_figure.h"

using namespace stripwright;
using namespace stripwright::sheet;
using section::Step;

namespace {

Taper nettle() {
  Taper out;
  out.name = "Nettle";
  for (const double at : {0.0, 10.0, 20.0, 30.0})
    out.points.push_back(
        {Station(Length::inches(at)), Length::inches(0.070) + at / 10 * Length::inches(0.03)});
  out.sections = {{"tip", Station(Length::inches(0)), Station(Length::inches(15)), 2},
                  {"butt", Station(Length::inches(15)), Station(Length::inches(30)), 1}};
  return out;
}

Allowances allowances() {
  Allowances out;
  out.cleanup = Length::inches(0.001);
  out.glue_line = Length::inches(0.0015);
  out.enamel.thickness = Length::inches(0.004);
  return out;
}

section::StripProfile butt(Allowances const& allowances) {
  const Taper taper = nettle();
  return {std::make_shared<const TaperCurve>(taper), taper.sections[1],
          section::LedgerRules(Measured::bare, allowances)};
}

/// The points of each polygon that is drawn, in the drawing's units.
std::vector<std::vector<report::Spot>> polygons(std::string const& svg) {
  std::vector<std::vector<report::Spot>> out;
  const std::regex polygon("<polygon [^>]*points=\"([^\"]*)\"");
  for (std::sregex_iterator it(svg.begin(), svg.end(), polygon), end; it != end; ++it) {
    const std::string points = (*it)[1];
    const std::regex pair("(-?[0-9.]+),(-?[0-9.]+)");
    auto& spots = out.emplace_back();
    for (std::sregex_iterator p(points.begin(), points.end(), pair); p != end; ++p)
      spots.push_back({std::stod((*p)[1]), std::stod((*p)[2])});
  }
  return out;
}

double width(std::vector<report::Spot> const& spots) {
  double least = spots[0].x, most = spots[0].x;
  for (auto const& spot : spots) {
    least = std::min(least, spot.x);
    most = std::max(most, spot.x);
  }
  return most - least;
}
double height(std::vector<report::Spot> const& spots) {
  double least = spots[0].y, most = spots[0].y;
  for (auto const& spot : spots) {
    least = std::min(least, spot.y);
    most = std::max(most, spot.y);
  }
  return most - least;
}

}  // namespace

TEST_CASE("a strip's section measures what it says, at the scale it says") {
  for (const bool round : {false, true}) {
    auto rules = allowances();
    if (round) rules.enamel.culm_diameter = Length::inches(2);
    const auto strip = butt(rules);
    const Station at = strip.section().to;
    const auto figure = strip_figure(strip, rules, {at}, {"butt end"}, Unit::inch);
    const auto ledger = strip.ledger(at);
    const double units_a_millimetre = figure.scale * kStripFigureUnits;
    // The outline comes last, over all that lies in it.
    const auto outline = polygons(figure.drawing.element()).back();
    CHECK(height(outline) / units_a_millimetre ==
          Approx(ledger[Step::strip_milled].in_millimetres()).margin(0.001));
    CHECK(width(outline) / units_a_millimetre ==
          Approx(section::face_width(ledger[Step::side_milled]).in_millimetres()).margin(0.001));
    CHECK(figure.scale >= 10);
  }
}

TEST_CASE("a strip's section shows what comes off and the glue as thick as they are") {
  const auto rules = allowances();
  const auto strip = butt(rules);
  const auto figure = strip_figure(strip, rules, {strip.section().to}, {"butt end"}, Unit::inch);
  const double units_a_millimetre = figure.scale * kStripFigureUnits;
  const auto shapes = polygons(figure.drawing.element());
  // Glue left and right, enamel, clean-up, outline.
  REQUIRE(shapes.size() == 5);
  CHECK(height(shapes[2]) / units_a_millimetre == Approx(0.004 * 25.4).margin(0.001));
  CHECK(height(shapes[3]) / units_a_millimetre == Approx(0.001 * 25.4).margin(0.001));
  // Half a glue line, square to the flank: the area over the flank's length.
  auto const& glue = shapes[0];
  double doubled = 0;
  for (std::size_t i = 0; i < glue.size(); ++i) {
    auto const& a = glue[i];
    auto const& b = glue[(i + 1) % glue.size()];
    doubled += a.x * b.y - b.x * a.y;
  }
  const double flank = std::hypot(glue[1].x - glue[0].x, glue[1].y - glue[0].y);
  CHECK(std::fabs(doubled) / 2 / flank / units_a_millimetre ==
        Approx(0.0015 * 25.4 / 2).margin(0.001));
}

TEST_CASE("three strips of a rod lie side by side at a round scale") {
  const auto rules = allowances();
  const auto strip = butt(rules);
  const std::vector<Station> places = {strip.section().from, strip.section().to};
  const auto figure = strip_figure(strip, rules, places, {"tip end", "butt end"}, Unit::inch);
  const auto svg = figure.drawing.element_at_size(kStripFigureUnits);
  CHECK(svg.find(std::to_string(figure.scale) + " to 1") != std::string::npos);
  for (auto const& shape : polygons(svg))
    for (auto const& spot : shape) {
      CHECK(spot.x >= 0);
      CHECK(spot.x <= 480);
    }
}

TEST_CASE("the parts of the ledger's figure add up to its whole") {
  auto rules = allowances();
  rules.varnish = Length::inches(0.0015);
  rules.enamel.culm_diameter = Length::inches(2);
  rules.moisture = Moisture{0.0018, 9, 7};
  const Taper taper = nettle();
  const section::StripProfile strip(std::make_shared<const TaperCurve>(taper), taper.sections[1],
                                    section::LedgerRules(Measured::varnished, rules));
  const auto plot = ledger_figure(strip, Unit::inch);
  REQUIRE(plot.series.size() == 6);
  for (std::size_t i = 0; i < plot.series[0].points.size(); ++i) {
    double sum = 0;
    for (std::size_t s = 0; s + 1 < plot.series.size(); ++s) sum += plot.series[s].points[i].y;
    CHECK(plot.series.back().points[i].y == Approx(sum).margin(1e-9));
  }
  // In black and white each line is told by its own stroke.
  std::set<report::Pen> pens;
  for (auto const& series : plot.series) pens.insert(series.pen);
  CHECK(pens.size() == plot.series.size());
  CHECK(plot.names_at_ends);
  // Clean-up adds c to the strip, the glue line takes g.
  CHECK(plot.series[0].points[0].y == Approx(0.001));
  CHECK(plot.series[1].points[0].y == Approx(-0.0015));
}

TEST_CASE("the taper's figure has a dot at each station and a mark where sections end") {
  const auto plot = taper_figure(nettle(), Unit::millimetre);
  CHECK(plot.series[1].points.size() == 4);
  CHECK(plot.series[1].points[3].x == Approx(762));
  CHECK(plot.series[1].points[3].y == Approx(0.16 * 25.4));
  REQUIRE(plot.x_marks.size() == 3);
  CHECK(plot.x_marks[1].at == Approx(381));
  CHECK(plot.x_marks[1].name == "butt");
}

TEST_CASE("on the bed, strip and screws stand where they are on the machine") {
  const Taper taper = nettle();
  Machine machine;
  machine.strip_at = MachinePosition(Length::inches(1));
  std::vector<MachinePosition> screws;
  for (const double at : {0.0, 5.0, 10.0, 15.0, 20.0}) screws.emplace_back(Length::inches(at));
  for (const auto feeds : {Feeds::tip_first, Feeds::butt_first}) {
    machine.feeds = feeds;
    const machine::Placement placement(machine, taper.sections[0],
                                       {Length::inches(1), Length::inches(1)});
    const auto shapes =
        polygons(bed_figure(placement, taper.sections[0], screws, Unit::inch).element());
    REQUIRE(shapes.size() == 3);  // spare, section, spare
    // 20 in are 480 - 2 · 22 units; the section begins 2 in from the first screw.
    const double unit = (480.0 - 44) / 20;
    CHECK(width(shapes[0]) == Approx(unit).margin(0.002));
    CHECK(width(shapes[1]) == Approx(15 * unit).margin(0.002));
    const double tip = feeds == Feeds::tip_first ? 2 : 17;
    CHECK(shapes[1][0].x == Approx(22 + tip * unit).margin(0.002));
  }
}

TEST_CASE("the rules on a print are as long as they say") {
  const auto svg = report::print_rule().element_at_size(report::kPrintRuleUnits);
  std::smatch found;
  REQUIRE(std::regex_search(svg, found,
                            std::regex("viewBox=\"0 0 ([0-9.]+) [0-9.]+\" width=\"([0-9.]+)\"")));
  // CSS: 96 pixels to the inch (CSS Values and Units 3, 5.2; from memory).
  const double millimetres_a_unit = std::stod(found[2]) / 96 * 25.4 / std::stod(found[1]);
  std::vector<double> lengths;
  const std::regex line(
      "<line [^>]*x1=\"([0-9.]+)\" y1=\"([0-9.]+)\" x2=\"([0-9.]+)\" y2=\"([0-9.]+)\"");
  for (std::sregex_iterator it(svg.begin(), svg.end(), line), end; it != end; ++it)
    if ((*it)[2] == (*it)[4])
      lengths.push_back((std::stod((*it)[3]) - std::stod((*it)[1])) * millimetres_a_unit);
  REQUIRE(lengths.size() == 2);
  CHECK(lengths[0] == Approx(100).margin(0.01));
  CHECK(lengths[1] == Approx(101.6).margin(0.01));
}
