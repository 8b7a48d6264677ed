// Pictures of a ring, read back from their SVG: places by proportion and by the geometry of a
// regular hexagon.

#include "selection/pictures.h"

#include <cmath>
#include <numbers>
#include <regex>

#include "catch.h"

namespace stripwright::selection {
namespace {

constexpr Station at(double mm) { return Station(Length::millimetres(mm)); }
/// Coordinates have three decimals.
constexpr double kWritten = 1e-3;

struct Drawn {
  std::string pen;
  double x1, y1, x2, y2;
};

struct Words {
  double x, y;
  std::string anchor, text;
};

std::vector<std::smatch> found(std::string const& svg, std::string const& pattern) {
  const std::regex shape(pattern);
  return {std::sregex_iterator(svg.begin(), svg.end(), shape), std::sregex_iterator()};
}

std::vector<Drawn> lines(std::string const& svg) {
  std::vector<Drawn> out;
  for (auto const& m : found(svg,
                             "<line class=\"(p.)\" x1=\"([^\"]*)\" y1=\"([^\"]*)\" "
                             "x2=\"([^\"]*)\" y2=\"([^\"]*)\"/>"))
    out.push_back({m[1], std::stod(m[2]), std::stod(m[3]), std::stod(m[4]), std::stod(m[5])});
  return out;
}

/// Rectangles, from corner to corner.
std::vector<Drawn> rectangles(std::string const& svg) {
  std::vector<Drawn> out;
  for (auto const& m : found(svg,
                             "<rect class=\"(p.) f.\" x=\"([^\"]*)\" y=\"([^\"]*)\" "
                             "width=\"([^\"]*)\" height=\"([^\"]*)\"/>")) {
    const double x = std::stod(m[2]), y = std::stod(m[3]);
    out.push_back({m[1], x, y, x + std::stod(m[4]), y + std::stod(m[5])});
  }
  return out;
}

std::vector<Words> words(std::string const& svg) {
  std::vector<Words> out;
  for (auto const& m : found(svg,
                             "<text x=\"([^\"]*)\" y=\"([^\"]*)\" font-size=\"[^\"]*\" "
                             "text-anchor=\"([a-z]*)\"[^>]*>([^<]*)</text>"))
    out.push_back({std::stod(m[1]), std::stod(m[2]), m[3], m[4]});
  return out;
}

Words the_words(std::string const& svg, std::string const& text) {
  for (auto const& each : words(svg))
    if (each.text == text) return each;
  FAIL("no words: " << text);
  return {};
}

RingPicture picture() {
  RingPicture out;
  out.title = "A ring";
  out.names = {"s1", "s2", "s3", "s4", "s5", "a-very-long-name"};
  out.shifts = {Length{}, Length::millimetres(20), Length::millimetres(-10), {}, {}, {}};
  out.section = {"tip", at(100), at(900), 1};
  out.rules = {Length::millimetres(60), Length::millimetres(25), {at(100), at(900)}};
  out.unit = Unit::millimetre;
  out.nodes[0] = {at(200), at(640)};
  out.nodes[3] = {at(400)};
  out.nodes[5] = {at(898)};
  out.nodes_beyond[2] = {at(85), at(910)};
  return out;
}

TEST_CASE("the ring's end is a hexagon, place 1 on top, then clockwise, opposite strips opposite") {
  const auto svg = draw_ring(picture()).element();
  const auto areas =
      found(svg, "points=\"([0-9.]*),([0-9.]*) ([0-9.]*),([0-9.]*) ([0-9.]*),([0-9.]*)\"");
  REQUIRE(areas.size() == 6);
  const double x = std::stod(areas[0][1]), y = std::stod(areas[0][2]);
  const double flank = std::stod(areas[0][5]) - std::stod(areas[0][3]);
  const char* names[] = {"s1", "s2", "s3", "s4", "s5", "a-very.."};
  for (std::size_t i = 0; i < 6; ++i) {
    INFO("place " << i + 1);
    const auto number = [&](std::size_t k) { return std::stod(areas[i][k]); };
    CHECK(number(1) == x);
    CHECK(number(2) == y);
    // Corners half a sixth of a turn to either side of the middle of the flat, clockwise.
    for (const std::size_t side : {0U, 1U}) {
      const double turn =
          (static_cast<double>(i) + (side == 0 ? -0.5 : 0.5)) * std::numbers::pi / 3;
      CHECK(number(3 + 2 * side) - x == Approx(flank * std::sin(turn)).margin(2 * kWritten));
      CHECK(number(4 + 2 * side) - y == Approx(-flank * std::cos(turn)).margin(2 * kWritten));
    }
    // The name in the middle between its corners, as to left and right, and within the triangle.
    const auto name = the_words(svg, names[i]);
    CHECK(name.anchor == "middle");
    const double turn = static_cast<double>(i) * std::numbers::pi / 3;
    const double out = (name.x - x) * std::sin(turn) - (name.y - y) * std::cos(turn);
    CHECK(out > 0.4 * flank);
    CHECK(out < flank * std::numbers::sqrt3 / 2);
    // The place's number and its move stand outside of its flat.
    const auto place = the_words(svg, std::to_string(i + 1));
    CHECK((place.x - x) * std::sin(turn) - (place.y - y) * std::cos(turn) >
          flank * std::numbers::sqrt3 / 2);
  }
  CHECK(the_words(svg, "20 mm to tip").x == the_words(svg, "2").x);
  CHECK(the_words(svg, "10 mm to butt").x == the_words(svg, "3").x);
  // Neighbours differ in grey.
  CHECK(found(svg, "f2\" points").size() == 3);
  CHECK(found(svg, "f1\" points").size() == 3);
  // All words of one place stay within the picture.
  for (auto const& each : words(svg)) {
    CHECK(each.x > 0);
    CHECK(each.x < 400);
    CHECK(each.y > 0);
    CHECK(each.y < 404);
  }
}

TEST_CASE("unrolled, every place along the section is at its proportion of it") {
  const auto svg = draw_unrolled(picture()).element();
  const auto boxes = rectangles(svg);
  // Two places to keep clear, then seven bands, the first strip's again below the last.
  REQUIRE(boxes.size() == 2 + 7);
  auto const& first = boxes[2];
  const double per_mm = (first.x2 - first.x1) / 800;
  const auto x = [&](double mm) { return first.x1 + (mm - 100) * per_mm; };
  const double band = first.y2 - first.y1;
  CHECK(per_mm > 0);
  for (std::size_t row = 0; row < 7; ++row) {
    auto const& box = boxes[2 + row];
    CHECK(box.x1 == first.x1);
    CHECK(box.x2 == Approx(first.x2));
    CHECK(box.y1 == Approx(first.y1 + band * static_cast<double>(row)));
    CHECK(box.y2 == Approx(box.y1 + band));
    CHECK(box.pen == (row == 6 ? "p4" : "p2"));
  }
  // What is to be kept clear, 25 to either side of both ends, beside all bands.
  for (const std::size_t i : {0U, 1U}) {
    const double place = i == 0 ? 100 : 900;
    CHECK(boxes[i].x1 == Approx(x(place - 25)).margin(2 * kWritten));
    CHECK(boxes[i].x2 == Approx(x(place + 25)).margin(2 * kWritten));
    CHECK(boxes[i].y1 == first.y1);
    CHECK(boxes[i].y2 == Approx(first.y1 + 7 * band));
    CHECK(boxes[i].x1 >= 0);
    CHECK(boxes[i].x2 <= 720);
  }
  // Nodes: in the bands of their strips, within them, those of the first strip twice.
  struct Node {
    std::size_t row;
    double mm;
    std::string pen;
  };
  const std::vector<Node> nodes = {{0, 200, "p3"}, {0, 640, "p3"}, {2, 85, "p5"},  {2, 910, "p5"},
                                   {3, 400, "p3"}, {5, 898, "p3"}, {6, 200, "p3"}, {6, 640, "p3"}};
  const auto strokes = lines(svg);
  REQUIRE(strokes.size() > nodes.size());
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    INFO("node " << i);
    auto const& stroke = strokes[i];
    auto const& box = boxes[2 + nodes[i].row];
    CHECK(stroke.pen == nodes[i].pen);
    CHECK(stroke.x1 == stroke.x2);
    CHECK(stroke.x1 == Approx(x(nodes[i].mm)).margin(2 * kWritten));
    CHECK(stroke.y1 > box.y1);
    CHECK(stroke.y2 < box.y2);
    CHECK(stroke.y2 - stroke.y1 > 0.8 * band);
  }
  // Ticks begin at the lower edge of the bands, their labels are the places; the last stroke is as
  // long as nodes of neighbours are to be apart.
  for (std::size_t i = nodes.size(); i + 1 < strokes.size(); ++i) {
    CHECK(strokes[i].x1 == strokes[i].x2);
    CHECK(strokes[i].y1 == Approx(first.y1 + 7 * band));
    CHECK(strokes[i].y2 > strokes[i].y1);
    const double mm = 100 + (strokes[i].x1 - first.x1) / per_mm;
    the_words(svg, std::to_string(std::lround(mm)));
    CHECK(mm == Approx(std::round(mm)).margin(2 * kWritten / per_mm));
  }
  CHECK(strokes.size() > nodes.size() + 5);
  auto const& gap = strokes.back();
  CHECK(gap.y1 == gap.y2);
  CHECK(gap.x1 == first.x1);
  CHECK(gap.x2 - gap.x1 == Approx(60 * per_mm).margin(2 * kWritten));
  // What a node is called stands beside it, to its left where there is no room to the right.
  const auto left = the_words(svg, "640"), right = the_words(svg, "898");
  CHECK(left.anchor == "start");
  CHECK(left.x > x(640));
  CHECK(right.anchor == "end");
  CHECK(right.x < x(898));
}

TEST_CASE("unrolled, strips are named to the left of their bands, with what they are moved by") {
  auto of = picture();
  of.names[4] = "";
  const auto svg = draw_unrolled(of).element();
  const auto boxes = rectangles(svg);
  const std::pair<const char*, std::size_t> rows[] = {
      {"1  s1", 0},   {"2  s2", 1},         {"20 mm to tip", 1}, {"10 mm to butt", 2},
      {"strip 5", 4}, {"6  a-very-l..", 5}, {"1  s1, again", 6}};
  for (auto const& [text, row] : rows) {
    INFO(text);
    const auto each = the_words(svg, text);
    CHECK(each.anchor == "end");
    CHECK(each.x < boxes[0].x1);
    CHECK(each.x > 100);
    CHECK(each.y > boxes[2 + row].y1);
    CHECK(each.y < boxes[2 + row].y2);
  }
  CHECK(svg.find("a node that is cut off") != std::string::npos);
  of.nodes_beyond[2].clear();
  CHECK(draw_unrolled(of).element().find("a node that is cut off") == std::string::npos);
}

TEST_CASE("unrolled in inches, places and moves are told in them, by hundredths") {
  auto of = picture();
  of.unit = Unit::inch;
  of.nodes[3] = {Station(Length::inches(15.125))};
  const auto svg = draw_unrolled(of).element();
  the_words(svg, "0.79 in to tip");
  the_words(svg, "7.87");  // 200 mm
  the_words(svg, "2.36 in: so far apart at least, of neighbours");
}

}  // namespace
}  // namespace stripwright::selection
