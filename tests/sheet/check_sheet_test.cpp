// The sheet of a check: which strips it shows, its figures, and what it says of each.
#include "sheet/check_sheet.h"

#include <algorithm>

#include "catch.h"
#include "sheet/check_figures.h"

using namespace stripwright;
using namespace stripwright::sheet;
using inspection::Verdict;

namespace {

Length thou(double count) { return Length::inches(count / 1000); }

CheckedPiece piece(std::string name, std::vector<CheckedPlace> places) {
  CheckedPiece out;
  out.name = std::move(name);
  out.places = std::move(places);
  for (auto const& place : out.places) out.verdict = inspection::worse(out.verdict, place.verdict);
  out.counts = "counted";
  return out;
}

CheckedPlace place(double inches, double off_thou, Verdict verdict) {
  return {Length::inches(inches), thou(off_thou), verdict};
}

CheckOrder order() {
  CheckOrder out;
  out.head.rod = "Nettle";
  out.head.taper_file = {"nettle.yaml", std::string(64, 'a')};
  out.head.date = "2026-01-01";
  out.head.program = "stripwright";
  out.what = "Nettle: 3 strips as milled";
  out.limits = "Limits";
  out.sections = {"tip"};
  out.allowed = {thou(-1), thou(1)};
  out.totals = {"totals", {{"", "of"}}, {{std::string("strips")}}};
  out.together = {{"", {}}};
  out.verdict_words = {"right", "thick", "thin", "unsure"};
  out.pieces = {piece("s1", {place(0, 0.2, Verdict::right), place(5, 0.1, Verdict::right)}),
                piece("s2", {place(0, 2.5, Verdict::thick), place(10, 0, Verdict::unsure)}),
                piece("<script>", {place(5, -3, Verdict::thin)})};
  out.all_pieces = 3;
  return out;
}

}  // namespace

TEST_CASE("of many strips the worst are chosen, and told in the order of the readings") {
  WorstPieces few;
  for (int i = 0; i < 60; ++i) few.add(Verdict::right, thou(i));
  CHECK(few.chosen().size() == 60);

  // A thousand strips, of which every tenth is not right: thin ones before thick ones before
  // unsure ones, and of the right ones those farthest off.
  WorstPieces many;
  for (int i = 0; i < 1000; ++i)
    many.add(i % 100 == 10   ? Verdict::thin
             : i % 100 == 20 ? Verdict::thick
             : i % 100 == 30 ? Verdict::unsure
                             : Verdict::right,
             thou(i % 7 == 0 ? 0.9 : 0.1));
  const auto chosen = many.chosen();
  REQUIRE(chosen.size() == kMostPieces);
  CHECK(std::is_sorted(chosen.begin(), chosen.end()));
  std::size_t faulty = 0;
  for (const auto number : chosen) {
    const auto of_hundred = number % 100;
    if (of_hundred == 10 || of_hundred == 20 || of_hundred == 30)
      ++faulty;
    else
      CHECK(number % 7 == 0);
  }
  CHECK(faulty == 30);
}

TEST_CASE("a check's sheet shows each strip, its verdict in words, and runs nothing") {
  const auto sheet = check_sheet(order());
  CHECK(sheet.find("<h3>s2, section tip: thick</h3>") != std::string::npos);
  CHECK(sheet.find("<h3>&lt;script&gt;, section tip: thin</h3>") != std::string::npos);
  // The one that is right wants nothing done.
  CHECK(sheet.find("<p>Right: s1.</p>") != std::string::npos);
  CHECK(sheet.find("<h3>s1") == std::string::npos);
  CHECK(sheet.find("this sheet shows") == std::string::npos);
  auto many = order();
  many.all_pieces = 2000;
  CHECK(check_sheet(many).find("Of 2000 this sheet shows the 3 worst") != std::string::npos);
}

TEST_CASE("deviations are drawn where they are, the worst named, the limits behind them") {
  const auto plot = deviations_figure(order(), 0);
  REQUIRE(plot.bands.size() == 1);
  CHECK(plot.bands[0].low == Approx(-0.001));
  CHECK(plot.bands[0].high == Approx(0.001));
  REQUIRE(plot.series.size() == 3);
  // A strip that is right has no name; the one that is farthest off comes first.
  CHECK(plot.series[0].name.empty());
  CHECK(plot.series[1].name == "<script>");
  CHECK(plot.series[2].name == "s2");
  CHECK(plot.series[2].points[0].x == Approx(0));
  CHECK(plot.series[2].points[0].y == Approx(0.0025));
}

TEST_CASE("the map has a sign where something was read, and none elsewhere") {
  using report::GridSign;
  const auto maps = verdict_maps(order(), 0);
  REQUIRE(maps.size() == 1);
  CHECK(maps[0].columns == std::vector<std::string>{"0", "5", "10"});
  CHECK(maps[0].rows == std::vector<std::string>{"s1", "s2", "<script>"});
  const std::vector<std::vector<GridSign>> signs = {
      {GridSign::fine, GridSign::fine, GridSign::none},
      {GridSign::over, GridSign::none, GridSign::unknown},
      {GridSign::none, GridSign::under, GridSign::none}};
  CHECK(maps[0].signs == signs);
  // Signs differ in shape: a hollow triangle for what can still be taken down, a black one for
  // what is gone. One of each in the map, and in its key.
  const auto svg = report::draw(maps[0]).element();
  const auto count = [&](std::string const& part) {
    std::size_t n = 0;
    for (auto at = svg.find(part); at != std::string::npos; at = svg.find(part, at + 1)) ++n;
    return n;
  };
  CHECK(count("<polygon class=\"p2 f1\"") == 2);
  CHECK(count("<polygon class=\"p2 f5\"") == 2);
  CHECK(count(">?</text>") == 2);
}

TEST_CASE("a map with many strips and stations is broken into maps that fit a page") {
  auto many = order();
  many.pieces.clear();
  for (int s = 0; s < 45; ++s) {
    std::vector<CheckedPlace> places;
    for (int p = 0; p < 30; ++p) places.push_back(place(p, 0, Verdict::right));
    many.pieces.push_back(piece("strip " + std::to_string(s), std::move(places)));
  }
  const auto maps = verdict_maps(many, 0);
  CHECK(maps.size() == 4);
  std::size_t signs = 0;
  for (auto const& map : maps) {
    CHECK(map.rows.size() <= 30);
    for (auto const& row : map.signs) signs += row.size();
  }
  CHECK(signs == 45 * 30);
}
