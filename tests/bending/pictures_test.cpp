#include "bending/pictures.h"

#include <algorithm>
#include <regex>

#include "bench.h"
#include "catch.h"

using namespace bench;

namespace {

/// The points of each drawn thing of a kind, in the drawing's units.
std::vector<std::vector<report::Spot>> drawn(std::string const& svg, std::string const& kind) {
  std::vector<std::vector<report::Spot>> out;
  const std::regex shape("<" + kind + " [^>]*points=\"([^\"]*)\"");
  const std::regex pair("(-?[0-9.]+),(-?[0-9.]+)");
  for (std::sregex_iterator it(svg.begin(), svg.end(), shape), end; it != end; ++it) {
    const std::string points = (*it)[1];
    auto& spots = out.emplace_back();
    for (std::sregex_iterator p(points.begin(), points.end(), pair); p != end; ++p)
      spots.push_back({std::stod((*p)[1]), std::stod((*p)[2])});
  }
  return out;
}

}  // namespace

TEST_CASE("a bent rod is drawn to scale, as large across as down, the clamp at the left") {
  const Rod r = rod({0, 1000}, {2, 8});
  const auto bent = *bend(r, load(0, 1000, 0.5), {at(250), at(500), at(750)});
  const auto lines = drawn(
      draw_shapes("A rod", {{"target", &bent, report::Pen::thick}}, Unit::millimetre).element(),
      "polyline");
  REQUIRE(lines.size() == 1);
  REQUIRE(lines[0].size() == bent.places.size());
  auto const& clamp = lines[0].back();
  const double scale = (lines[0].front().x - clamp.x) / mm(bent.tip().out);
  CHECK(scale > 0);
  for (std::size_t i = 0; i < lines[0].size(); ++i) {
    CHECK(lines[0][i].x == Approx(clamp.x + scale * mm(bent.places[i].out)).margin(2e-3));
    CHECK(lines[0][i].y == Approx(clamp.y + scale * mm(bent.places[i].down)).margin(2e-3));
  }
}

TEST_CASE("how far readings leave a shape open is a hatched area about it, within the picture") {
  const Rod r = rod({0, 1000}, {2, 8});
  const auto bent = *bend(r, load(0, 1000, 0.5), {at(500)});
  std::vector<Length> off;
  for (std::size_t i = 0; i < bent.places.size(); ++i)
    off.push_back(mm(60.0 - 30 * static_cast<double>(i)));
  const auto canvas =
      draw_shapes("A rod", {{"as milled", &bent, report::Pen::dashed, off}}, Unit::millimetre);
  const auto svg = canvas.element();
  const auto areas = drawn(svg, "polygon"), lines = drawn(svg, "polyline");
  REQUIRE(areas.size() == 1);
  REQUIRE(areas[0].size() == 2 * bent.places.size());
  CHECK(svg.find("f4\" points") != std::string::npos);
  CHECK(svg.find("as far as the readings tell (95 %)") != std::string::npos);
  const double scale = (lines[0].front().x - lines[0].back().x) / mm(bent.tip().out);
  for (std::size_t i = 0; i < off.size(); ++i) {
    auto const &low = areas[0][i], &high = areas[0][areas[0].size() - 1 - i];
    CHECK(low.x == Approx(lines[0][i].x));
    CHECK(high.x == Approx(lines[0][i].x));
    CHECK(low.y - lines[0][i].y == Approx(scale * mm(off[i])).margin(3e-3));
    CHECK(lines[0][i].y - high.y == Approx(scale * mm(off[i])).margin(3e-3));
  }
  for (auto const& spot : areas[0]) {
    CHECK(spot.y > 0);
    CHECK(spot.y < canvas.height());
  }
  CHECK(
      drawn(
          draw_shapes("A rod", {{"target", &bent, report::Pen::thick}}, Unit::millimetre).element(),
          "polygon")
          .empty());
}
