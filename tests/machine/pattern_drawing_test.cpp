#include "machine/pattern_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

/// The tip set up on a copier; a strip 1 to 2 mm high, its pattern `per_cutter` times as steep.
struct Drawn {
  Drawn(std::string const& per_cutter, std::string const& base, std::string const& more = "",
        SetupNames const& given = {"Bramble", "", "Saltmarsh Lane", "copier", ""},
        std::string const& taper = kTaper)
      : bench(shop_text(kFlat,
                        "machines:\n  copier: {kind: pattern-mill, strip_at: 60, "
                        "cutter_radius: 38, follower_radius: 19, outline_tolerance: 0.01, "
                        "pattern_per_cutter: " +
                            per_cutter + ", base: " + base + more + "}\n"),
              Stage::milled, {}, taper) {
    Problems problems;
    auto setups = set_up({bench.taper,
                          bench.shop,
                          bench.shop.machines.front(),
                          std::nullopt,
                          {bench.taper.sections[0]},
                          Unit::millimetre},
                         problems);
    INFO(problems.text());
    REQUIRE(setups.size() == 1);
    setup = std::make_unique<SectionSetup>(std::move(setups[0]));
    drawing = pattern_drawing(*setup, std::get<PatternMill>(bench.shop.machines.front().kind),
                              given, Unit::millimetre);
  }

  PatternSettings const& settings() const { return std::get<PatternSettings>(setup->settings); }
  /// Where the straight edge lies: the outline's last two points.
  double edge() const { return drawing.outlines[0].back().y.in_millimetres(); }
  /// Lines that follow each other are one text, broken.
  bool says(std::string const& words) const {
    std::string all;
    for (auto const& text : drawing.texts)
      all += text.words.substr(text.words.find_first_not_of(' ')) + ' ';
    return all.find(words) != std::string::npos;
  }

  Bench bench;
  std::unique_ptr<SectionSetup> setup;
  Drawing drawing;
};

double mm(Length length) { return length.in_millimetres(); }

struct Extent {
  double low, high;
};

Extent heights(PatternSettings const& settings) {
  Extent out{1e9, -1e9};
  for (auto const& point : settings.outline)
    out = {std::min(out.low, mm(point.height)), std::max(out.high, mm(point.height))};
  return out;
}

// What is promised of the straight edge: at height 0, or where the pattern would be less than 5 mm
// deep, 10 mm or more away, on a whole 5 mm; on the side of the pattern that is not cut to.
void check_edge(Drawn const& drawn) {
  auto const& outline = drawn.drawing.outlines.at(0);
  auto const& curve = drawn.settings().outline;
  REQUIRE(outline.size() == curve.size() + 2);
  for (std::size_t i = 0; i < curve.size(); ++i) {
    CHECK(outline[i].x == curve[i].x.from_zero());
    CHECK(outline[i].y == curve[i].height);
  }
  CHECK(outline[curve.size()].x == outline[curve.size() - 1].x);
  CHECK(outline.back().x == outline.front().x);
  CHECK(outline[curve.size()].y == outline.back().y);
  const auto [low, high] = heights(drawn.settings());
  const bool below = drawn.bench.shop.machines.size() == 1 && low > drawn.edge();
  const double depth = below ? low - drawn.edge() : drawn.edge() - high;
  if (drawn.edge() == 0) {
    CHECK(depth >= 5);
  } else {
    CHECK((below ? low < 5 : high > -5));
    CHECK(depth >= 10);
    CHECK(depth < 15);
    CHECK(std::remainder(drawn.edge(), 5) == 0);
  }
}

// Each station is marked from the curve to beyond the straight edge; its words say how deep the
// pattern is there.
void check_stations(Drawn const& drawn) {
  const double away = heights(drawn.settings()).low > drawn.edge() ? -1 : 1;
  double words_free_from = -1e9;
  std::size_t told = 0;
  for (auto const& point : drawn.settings().passes.back().points) {
    if (!point.cutter.at_station) continue;
    ++told;
    const Length x = point.cutter.machine_at.from_zero();
    INFO("machine at " << mm(x));
    const auto tick = std::find_if(
        drawn.drawing.marks.begin(), drawn.drawing.marks.end(), [&](DrawingLine const& line) {
          return line.from.x == x && line.to.x == x && line.from.y == point.pattern;
        });
    REQUIRE(tick != drawn.drawing.marks.end());
    const double beyond = away * (mm(tick->to.y) - drawn.edge());
    CHECK((beyond > 1 && beyond < 5));  // to be seen, and the words near it
    const auto depth = fmt::format(": {:.3f} mm deep", std::abs(mm(point.pattern) - drawn.edge()));
    const auto words = std::find_if(
        drawn.drawing.texts.begin(), drawn.drawing.texts.end(), [&](DrawingText const& text) {
          return text.upwards && text.at.x >= x && text.words.ends_with(depth);
        });
    INFO(depth);
    REQUIRE(words != drawn.drawing.texts.end());
    CHECK(mm(words->at.x) >= words_free_from);
    const double on = away * (mm(words->at.y) - mm(tick->to.y));
    CHECK((on > 1 && on < 5));
    CHECK((words->stands == TextStands::up_to_place) == (away < 0));
    words_free_from = mm(words->at.x) + mm(words->height);
  }
  CHECK(told >= 5);
}

void check_rule(Drawn const& drawn) {
  auto const& marks = drawn.drawing.marks;
  const auto level = std::find_if(marks.begin(), marks.end(), [](DrawingLine const& line) {
    return line.from.y == line.to.y && std::abs(mm(line.to.x - line.from.x)) > 50;
  });
  REQUIRE(level != marks.end());
  CHECK(mm(level->to.x - level->from.x) == Approx(100).epsilon(1e-12));
  for (int i = 0; i <= 10; ++i) {
    const double at = mm(level->from.x) + 10 * i;
    CHECK(std::count_if(marks.begin(), marks.end(), [&](DrawingLine const& line) {
            return line.from.y == level->from.y && line.from.x == line.to.x &&
                   std::abs(mm(line.from.x) - at) < 1e-9;
          }) == 1);
  }
}

void check_sheet(Drawn const& drawn) {
  auto const& drawing = drawn.drawing;
  const auto inside = [&](Length x, Length y) {
    CHECK((x > drawing.lowest.x && x < drawing.highest.x));
    CHECK((y > drawing.lowest.y && y < drawing.highest.y));
  };
  for (auto const& outline : drawing.outlines)
    for (auto const& point : outline) inside(point.x, point.y);
  for (auto const& mark : drawing.marks) {
    inside(mark.from.x, mark.from.y);
    inside(mark.to.x, mark.to.y);
  }
  for (auto const& text : drawing.texts) {
    INFO(text.words);
    const Length width = width_of(text.words, text.height);
    const double way = text.stands == TextStands::from_place ? 1 : -1;
    inside(text.at.x, text.at.y);
    if (text.upwards)
      inside(text.at.x, text.at.y + way * width);
    else
      inside(text.at.x + way * width, text.at.y + text.height);
  }
}

}  // namespace

TEST_CASE("a pattern's drawing: straight edge, stations, rule, and all of it on the sheet") {
  struct Row {
    std::string per_cutter, base;
    double edge;
  };
  for (auto const& row : {Row{"2", "0", -10}, Row{"2", "-4", -15}, Row{"2", "4", 0},
                          Row{"2", "20", 0}, Row{"-2", "0", 10}, Row{"-2", "-20", 0},
                          Row{"1", "5", 0}, Row{"0.1", "5", 0}, Row{"0.1", "4.8", -10}}) {
    CAPTURE(row.per_cutter, row.base);
    const Drawn drawn(row.per_cutter, row.base);
    CHECK(drawn.edge() == row.edge);
    check_edge(drawn);
    check_stations(drawn);
    check_rule(drawn);
    check_sheet(drawn);
  }
}

TEST_CASE("words of stations that lie close together stand side by side") {
  auto taper = kTaper;
  taper.replace(taper.find("{0: 2,"), 6, "{0: 2, 1: 2.004, 3: 2.012, 5: 2.02, 6: 2.024,");
  const Drawn drawn("2", "0", "", {"Bramble", "", "Saltmarsh Lane", "copier", ""}, taper);
  check_stations(drawn);
  check_sheet(drawn);
}

TEST_CASE("where section and strip end is written at their marks") {
  const Drawn drawn("1", "20");
  CHECK(drawn.says("0 mm, section's tip end: "));
  CHECK(drawn.says("500 mm, section's butt end: "));
  CHECK(drawn.says("-40 mm, strip's tip end: "));
  CHECK(drawn.says("530 mm, strip's butt end: "));
  CHECK(drawn.says("250 mm: "));
}

TEST_CASE("what a pattern was made with, and for, is written over it") {
  const std::string forty = "Bramble é, of the hedge behind the lane.";  // é is two bytes
  const Drawn drawn("2", "20", ", passes: {rough: {height: 12}, max_cut: 0.9, last_cut: 0.1}",
                    {forty, "", forty + "!", "copier", "found.yaml"});
  CHECK(drawn.drawing.title == forty + ", section tip: pattern for the copier of " + forty + "...");
  CHECK(drawn.says("Cutter diameter 76"));
  CHECK(drawn.says("Corrected by found.yaml"));
  CHECK(drawn.says("(see the table)"));
  CHECK(drawn.says("tip end lies to the left"));
  const Drawn plain("2", "20", ", feeds: butt-first");
  CHECK_FALSE(plain.says("Corrected by"));
  CHECK_FALSE(plain.says("Raise the cutter"));
  CHECK(plain.says("butt end lies to the left"));
}

TEST_CASE("a drawing of what has no pattern is a caller's mistake") {
  const Drawn drawn("2", "20");
  auto setup = *drawn.setup;
  setup.settings = std::vector<FormPass>{};
  CHECK_THROWS_AS(
      pattern_drawing(setup, std::get<PatternMill>(drawn.bench.shop.machines.front().kind),
                      {"Bramble", "", "Saltmarsh Lane", "copier", ""}, Unit::millimetre),
      std::logic_error);
}
