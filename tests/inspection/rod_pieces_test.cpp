// Pieces of a rod that was measured: where its sections are, and that none was counted from its own
// end.
#include "inspection/rod_pieces.h"

#include "catch.h"
#include "inspection/rod_taper.h"

using namespace stripwright;
using namespace stripwright::inspection;

namespace {

Station at(double mm) { return Station(Length::millimetres(mm)); }

/// Three readings at every station of a piece, of a taper that is even all along the rod.
void add(std::vector<FlatsReading>& all, std::string const& piece, double from, double to,
         double step, double offset = 0) {
  for (double x = from; x <= to + 1e-9; x += step)
    for (const double scatter : {-0.01, 0.0, 0.01})
      all.push_back(
          {at(x), Length::millimetres(1.8 + 0.003 * x + scatter + offset), piece, "f1", 0});
}

}  // namespace

TEST_CASE("sections follow the pieces, and meet midway where nothing could be measured") {
  std::vector<FlatsReading> all;
  add(all, "mid", 630, 1180, 110);
  add(all, "tip", 0, 590, 59);
  add(all, "butt", 1180, 1800, 62);
  const auto pieces = piece_stretches(all);
  REQUIRE(pieces.size() == 3);
  const auto sections = sections_of_pieces(pieces);
  REQUIRE(sections.size() == 3);
  CHECK(sections[0].name == "tip");
  CHECK(same_place(sections[0].from, at(0)));
  CHECK(same_place(sections[0].to, at(610)));
  CHECK(same_place(sections[1].from, at(610)));
  CHECK(same_place(sections[1].to, at(1180)));
  CHECK(sections[2].name == "butt");
  CHECK(same_place(sections[2].to, at(1800)));
  CHECK_FALSE(clashing_pieces(all));
}

TEST_CASE("pieces follow where they begin, and of two that begin alike the shorter comes first") {
  std::vector<FlatsReading> all;
  add(all, "whole", 0, 900, 100);
  add(all, "within", 100, 600, 100);
  add(all, "tip", 0, 600, 100);
  const auto pieces = piece_stretches(all);
  REQUIRE(pieces.size() == 3);
  CHECK(pieces[0].piece == "tip");
  CHECK(pieces[1].piece == "whole");
  CHECK(pieces[2].piece == "within");
}

TEST_CASE("pieces that overlap or have odd names make no sections; one alone is a section") {
  std::vector<FlatsReading> two_tips;
  add(two_tips, "tip A", 0, 600, 100);
  add(two_tips, "tip B", 0, 600, 100, 0.05);
  CHECK(sections_of_pieces(piece_stretches(two_tips)).empty());
  // Two tips of one rod are nearly alike, mistyped readings and all.
  two_tips.back().flats = Length::millimetres(36);
  CHECK_FALSE(clashing_pieces(two_tips));
  std::vector<FlatsReading> one;
  add(one, "tip", 0, 600, 100);
  REQUIRE(sections_of_pieces(piece_stretches(one)).size() == 1);
  CHECK(sections_of_pieces(piece_stretches(one))[0].name == "tip");
  add(one, "mid/2", 600, 900, 100);
  CHECK(sections_of_pieces(piece_stretches(one)).empty());
  std::vector<FlatsReading> nameless;
  add(nameless, "", 0, 600, 100);
  add(nameless, "butt", 600, 900, 100);
  CHECK(sections_of_pieces(piece_stretches(nameless)).empty());
  // Of one station nothing can be made that has a length.
  std::vector<FlatsReading> single;
  add(single, "tip", 0, 600, 100);
  add(single, "mid", 700, 700, 100);
  CHECK(sections_of_pieces(piece_stretches(single)).empty());
  std::vector<FlatsReading> same;
  add(same, "Tip", 0, 600, 100);
  add(same, "tip", 600, 900, 100);
  CHECK(sections_of_pieces(piece_stretches(same)).empty());
}

TEST_CASE("pieces that were each counted from their own end are found out") {
  std::vector<FlatsReading> all;
  add(all, "tip", 0, 600, 100);
  add(all, "mid", 0, 600, 150, 1.9);
  const auto clash = clashing_pieces(all);
  REQUIRE(clash);
  CHECK(clash->thinner == "tip");
  CHECK(clash->thicker == "mid");
  CHECK(all[clash->reading].piece == "mid");
}

TEST_CASE("a taper that falls all along was counted from the other end; a hinge is none") {
  const auto stations = [](std::vector<double> const& flats) {
    std::vector<FlatsReading> all;
    for (std::size_t i = 0; i < flats.size(); ++i)
      all.push_back({at(100.0 * static_cast<double>(i)), Length::millimetres(flats[i]), "", "", 0});
    return rod_stations(all, std::nullopt);
  };
  CHECK(falls_all_along(stations({3.6, 3.3, 3.0, 2.7, 2.4})));
  CHECK(falls_all_along(stations({3.6, 3.3, 3.31, 2.7, 2.4})));
  CHECK(falls_all_along(stations({3.6, 2.4})));
  CHECK_FALSE(falls_all_along(stations({2.4, 2.7, 3.0, 3.3, 3.6})));
  CHECK_FALSE(falls_all_along(stations({2.4, 2.7, 2.6, 2.5, 2.9})));
  CHECK_FALSE(falls_all_along(stations({2.4, 2.4, 2.4})));
  // Nearly level, with the gauge's scatter.
  CHECK_FALSE(falls_all_along(stations({2.41, 2.40, 2.42, 2.39, 2.40})));
}
