// The picture of tapers held against each other: its lines are the differences, each over its own
// axis, and each taper has its own.
#include "sheet/compare_figure.h"

#include <regex>

#include "catch.h"

using namespace stripwright;
using namespace stripwright::sheet;

namespace {

Station at(double inches) { return Station(Length::inches(inches)); }

/// A difference of so many thousandths at each station, and ten times as many percent of stiffness.
ComparedTaper compared(std::string name, std::vector<double> const& thou) {
  ComparedTaper out{std::move(name), {}};
  for (std::size_t i = 0; i < thou.size(); ++i) {
    TaperDifference row;
    row.at = at(10.0 * static_cast<double>(i));
    row.first = Length::inches(0.1);
    row.second = row.first + Length::inches(thou[i] / 1000);
    row.stiffness_percent = 10 * thou[i];
    if (i > 0) row.mass_percent = -thou[i];
    out.rows.push_back(row);
  }
  return out;
}

struct Line {
  std::string pen;
  std::vector<report::Spot> spots;
};

std::vector<Line> lines(std::string const& svg) {
  std::vector<Line> out;
  const std::regex line("<polyline class=\"(p[0-9]) f0\" points=\"([^\"]*)\"");
  const std::regex pair("(-?[0-9.]+),(-?[0-9.]+)");
  for (std::sregex_iterator it(svg.begin(), svg.end(), line), end; it != end; ++it) {
    const std::string points = (*it)[2];
    auto& each = out.emplace_back();
    each.pen = (*it)[1];
    for (std::sregex_iterator p(points.begin(), points.end(), pair); p != end; ++p)
      each.spots.push_back({std::stod((*p)[1]), std::stod((*p)[2])});
  }
  return out;
}

bool contains(std::string const& svg, std::string const& part) {
  return svg.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("one taper against another: three plots with its differences and the line of none") {
  const auto svg = compare_figure("Yarrow", {compared("Teasel", {0, 4, -2})}, Unit::inch).element();
  const auto all = lines(svg);
  // Each plot has the taper's line and the first one's, which is level at 0.
  REQUIRE(all.size() == 6);
  const std::vector<std::vector<double>> values = {{0, 0.004, -0.002}, {0, 40, -20}, {-4, 2}};
  for (std::size_t plot = 0; plot < 3; ++plot) {
    CAPTURE(plot);
    auto const &line = all[2 * plot].spots, &none = all[2 * plot + 1].spots;
    auto const& value = values[plot];
    REQUIRE(line.size() == value.size());
    CHECK(none.front().y == none.back().y);
    CHECK(none.front().x < none.back().x);
    // Upwards is thicker, and heights over the level line go as the values do.
    const double scale = (none[0].y - line[1].y) / value[1];
    CHECK(scale > 0);
    for (std::size_t i = 0; i < line.size(); ++i)
      CHECK(none[0].y - line[i].y == Approx(scale * value[i]).margin(2e-3));
    // Stations are where they are: the last at the end of the level line, masses from the second.
    CHECK(line.back().x == Approx(none.back().x));
    CHECK(line.front().x ==
          Approx(plot == 2 ? (none.front().x + none.back().x) / 2 : none.front().x).margin(2e-3));
  }
  CHECK(contains(svg, ">Teasel against Yarrow<"));
  CHECK(contains(svg, "across flats, in"));
  CHECK(contains(svg, "stiffness, %"));
  CHECK(contains(svg, "mass up to here, %"));
}

TEST_CASE("several tapers are told apart by pen and name, and lie over the same axis") {
  const auto svg =
      compare_figure("Yarrow",
                     {compared("Teasel", {0, 4, -2}), compared("<Burdock>", {0, 2, -1}),
                      compared("Mallow", {1, 1, 1})},
                     Unit::millimetre)
          .element();
  const auto all = lines(svg);
  REQUIRE(all.size() == 12);
  CHECK(all[0].pen != all[1].pen);
  CHECK(all[1].pen != all[2].pen);
  CHECK(all[0].pen != all[2].pen);
  const double none = all[3].spots[0].y;
  CHECK(none - all[0].spots[1].y == Approx(2 * (none - all[1].spots[1].y)).margin(4e-3));
  CHECK(all[2].spots[0].y == all[2].spots[2].y);
  CHECK(contains(svg, ">Differences against Yarrow<"));
  CHECK(contains(svg, ">&lt;Burdock&gt;<"));
  CHECK(contains(svg, "across flats, mm"));
  CHECK(contains(compare_picture("A", {compared("B", {0, 1})}, Unit::inch), "<?xml"));
}
