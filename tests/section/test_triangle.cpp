#include <cmath>
#include <limits>
#include <random>

#include "catch.h"
#include "section/triangle.h"

namespace stripwright::section {
namespace {

Length mm(double value) { return Length::millimetres(value); }
Angle deg(double value) { return Angle::degrees(value); }

double degrees_off(Angle found, double wanted_deg) {
  return std::fabs(found.in_degrees() - wanted_deg);
}

TEST_CASE("an equilateral strip has the handbook's face and area") {
  // Properties of sections, equilateral triangle of height h: side 1.15470053838 h, area b h/2
  // = 0.57735026919 h² = 0.433012701892 side² (area formula b h/2 as in Machinery's Handbook,
  // 31st ed.; decimals computed to 20 digits with mpmath).
  for (const double h : {0.5, 1.0, 2.54, 7.0}) {
    CHECK(face_width(mm(h)).in_millimetres() == Approx(1.15470053838 * h).epsilon(1e-11));
    CHECK(strip_area_in_square_millimetres(mm(h)) == Approx(0.57735026919 * h * h).epsilon(1e-11));
    const double side = face_width(mm(h)).in_millimetres();
    CHECK(strip_area_in_square_millimetres(mm(h)) ==
          Approx(0.433012701892 * side * side).epsilon(1e-11));
    CHECK(flank_length(mm(h)) == face_width(mm(h)));
  }
}

TEST_CASE("a strip as deep as a 60 degree groove is as wide as the groove at its top") {
  // Top width of a 60° groove, 2 D / √3, and where a flat tip of a given width bears, √3 w / 2;
  // follow from the groove over pins in Machinery's Handbook, 31st ed., p. 703, with a = b = 30°
  // (decimals computed with mpmath).
  CHECK(face_width(mm(3)).in_millimetres() == Approx(3.464101615).epsilon(1e-9));
  CHECK(face_width(mm(2.5)).in_millimetres() == Approx(2.886751346).epsilon(1e-9));
  CHECK(face_width(mm(0.4330127019)).in_millimetres() == Approx(0.5).epsilon(1e-9));
  CHECK(face_width(mm(0.8660254038)).in_millimetres() == Approx(1.0).epsilon(1e-9));
  CHECK(face_width(mm(1.299038106)).in_millimetres() == Approx(1.5).epsilon(1e-9));
}

TEST_CASE("the triangles of the schoolbook get their angles from their heights") {
  SECTION("3, 4, 5: area 6, heights 12/3, 12/4, 12/5") {
    const auto angles = angles_from_heights({mm(4), mm(3), mm(2.4)});
    REQUIRE(angles);
    CHECK(degrees_off(angles->apex, 36.869897645844) < 1e-11);
    CHECK(degrees_off(angles->b, 53.130102354156) < 1e-11);
    CHECK(degrees_off(angles->c, 90) < 1e-11);
  }
  SECTION("13, 14, 15: area 84 (Heron of Alexandria's example), heights 168/13, 168/14, 168/15") {
    const auto angles = angles_from_heights({mm(168.0 / 13), mm(12), mm(11.2)});
    REQUIRE(angles);
    CHECK(cos(angles->apex) == Approx(0.6).epsilon(1e-14));  // (14² + 15² - 13²) / (2·14·15)
    CHECK(cos(angles->b) == Approx(198.0 / 390).epsilon(1e-14));  // (13² + 15² - 14²) / (2·13·15)
    CHECK(cos(angles->c) == Approx(140.0 / 364).epsilon(1e-14));  // (13² + 14² - 15²) / (2·13·14)
  }
}

TEST_CASE("equal heights are 60 degrees all round, to the last digit") {
  for (const double h : {0.3, 1.0, 4.0, 1e3}) {
    const auto angles = angles_from_heights({mm(h), mm(h), mm(h)});
    REQUIRE(angles);
    CHECK(degrees_off(angles->apex, 60) < 1e-13);
    CHECK(degrees_off(angles->b, 60) < 1e-13);
    CHECK(degrees_off(angles->c, 60) < 1e-13);
  }
}

TEST_CASE("near 60 degrees the angles answer small readings in proportion") {
  // With the sides as 1/a : 1/b : 1/c, the differential of the cosine law at 60° is
  // dA = (2/√3) ((db + dc)/2 - da) / h.
  const double h = 3.0;
  for (const double step : {1e-3, 1e-6, 1e-9}) {
    const auto angles = angles_from_heights({mm(h - 2 * step), mm(h + step), mm(h + 4 * step)});
    REQUIRE(angles);
    const double wanted_rad = 2 / std::sqrt(3.0) * (2.5 + 2) * step / h;
    const double found_rad = (angles->apex - deg(60)).in_radians();
    CHECK(std::fabs(found_rad - wanted_rad) < 10 * step * step + 5e-16);
    CHECK(degrees_off(angles->apex + angles->b + angles->c, 180) < 1e-12);
  }
}

TEST_CASE("a slender triangle keeps its digits") {
  // Right-angled, legs 1e-5 and 1: the angle's tangent is known, its cosine no longer tells it.
  const double hypotenuse = std::hypot(1.0, 1e-5);
  const auto angles = angles_from_heights({mm(1), mm(1e-5), mm(1e-5 / hypotenuse)});
  REQUIRE(angles);
  CHECK(angles->apex.in_radians() == Approx(std::atan(1e-5)).epsilon(1e-9));
}

TEST_CASE("three readings that no triangle has give no angles") {
  CHECK_FALSE(angles_from_heights({mm(4), mm(4), mm(2)}));  // sides 1 : 1 : 2 lie flat
  CHECK_FALSE(angles_from_heights({mm(4), mm(4), mm(1.9)}));
  CHECK_FALSE(angles_from_heights({mm(1.9), mm(4), mm(4)}));
  CHECK_FALSE(angles_from_heights({mm(4), mm(1.9), mm(4)}));
  CHECK_FALSE(angles_from_heights({mm(-4), mm(-4), mm(-4)}));
  CHECK(angles_from_heights({mm(4), mm(4), mm(2.01)}));
  for (const double bad : {0.0, -4.0, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    CHECK_FALSE(angles_from_heights({mm(bad), mm(4), mm(4)}));
    CHECK_FALSE(angles_from_heights({mm(4), mm(bad), mm(4)}));
    CHECK_FALSE(angles_from_heights({mm(4), mm(4), mm(bad)}));
  }
}

// The distance of a corner from the line through the two others, from coordinates alone.
double height_mm(double px, double py, double ax, double ay, double bx, double by) {
  const double cross = (bx - ax) * (py - ay) - (by - ay) * (px - ax);
  return std::fabs(cross) / std::hypot(bx - ax, by - ay);
}

TEST_CASE("triangles laid out with known angles give the angles back") {
  std::mt19937 random(20250311);
  std::uniform_real_distribution<double> angle(20, 80);
  std::uniform_real_distribution<double> size(0.4, 9);
  for (int i = 0; i < 500; ++i) {
    const Angle apex = deg(angle(random));
    const Angle b = deg(angle(random));
    const Angle c = deg(180) - apex - b;
    // B at the origin, C on the x axis, A where the two lines meet.
    const double face = size(random);
    const double ba = face * sin(c) / sin(apex);
    const double ax = ba * cos(b);
    const double ay = ba * sin(b);
    const StripHeights heights{mm(height_mm(ax, ay, 0, 0, face, 0)),
                               mm(height_mm(0, 0, ax, ay, face, 0)),
                               mm(height_mm(face, 0, 0, 0, ax, ay))};
    INFO("apex " << apex.in_degrees() << ", b " << b.in_degrees() << ", face " << face);
    const auto found = angles_from_heights(heights);
    REQUIRE(found);
    CHECK(degrees_off(found->apex, apex.in_degrees()) < 1e-11);
    CHECK(degrees_off(found->b, b.in_degrees()) < 1e-11);
    CHECK(degrees_off(found->c, c.in_degrees()) < 1e-11);

    const StripHeights again = heights_from_angles(heights.a, {apex, b, c});
    CHECK(again.a == heights.a);
    CHECK(again.b / heights.b == Approx(1).epsilon(1e-12));
    CHECK(again.c / heights.c == Approx(1).epsilon(1e-12));
  }
}

TEST_CASE("a seam opens by the flank times the angle that is missing") {
  const Length flank = mm(5);
  for (const double off_deg : {0.05, 0.3, 1.0}) {
    const double by_radians = 5 * off_deg * 3.14159265358979 / 180;
    const SeamOpening narrow = seam_opening(flank, deg(60 - off_deg));
    CHECK(narrow.at == SeamPlace::outside);
    CHECK(narrow.width.in_millimetres() == Approx(by_radians).epsilon(2e-5));
    const SeamOpening wide = seam_opening(flank, deg(60 + off_deg));
    CHECK(wide.at == SeamPlace::centre);
    CHECK(wide.width / narrow.width == Approx(1).epsilon(1e-11));
  }
  CHECK(seam_opening(flank, deg(60)).at == SeamPlace::nowhere);
  CHECK(seam_opening(flank, deg(60)).width == Length());
  // 60° of wedge, five strips' worth of it missing in each seam: the chord is the flank itself.
  CHECK(seam_opening(flank, deg(120)).width.in_millimetres() == Approx(5).epsilon(1e-14));
}

}  // namespace
}  // namespace stripwright::section
