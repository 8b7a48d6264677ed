#include "culm/culm_picture.h"

#include <regex>

#include "catch.h"

namespace stripwright::culm {
namespace {

TEST_CASE("the culm is drawn to the scale that the picture names, with its measures in a unit") {
  for (const double diameter : {15.0, 30.0, 53.34, 90.0, 200.0})
    for (const Unit unit : {Unit::inch, Unit::millimetre}) {
      CulmPicture picture;
      picture.title = "butt";
      picture.unit = unit;
      picture.diameter = Length::millimetres(diameter);
      picture.strip_height = Length::millimetres(2);
      const auto svg = draw_culm(picture).file(kCulmPictureScale);
      CAPTURE(diameter, svg.size());
      std::smatch scale;
      REQUIRE(std::regex_search(svg, scale, std::regex("drawn ([0-9]+) to ([0-9]+)")));
      std::smatch circle;
      REQUIRE(std::regex_search(svg, circle, std::regex("<circle[^>]* r=\"([0-9.]+)\"")));
      // On paper a millimetre is so many units, at the scale that is named.
      const double radius = std::stod(circle[1]) / kCulmPictureScale;
      CHECK(radius ==
            Approx(diameter / 2 * std::stod(scale[1]) / std::stod(scale[2])).margin(1e-3));
      CHECK(svg.find(unit == Unit::inch ? "0.5 in, drawn" : "10 mm, drawn") != std::string::npos);
      CHECK(svg.find(unit == Unit::inch ? " in outside" : " mm outside") != std::string::npos);
    }
}

}  // namespace
}  // namespace stripwright::culm
