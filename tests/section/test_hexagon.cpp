#include <array>
#include <cmath>
#include <numbers>

#include "catch.h"
#include "section/hexagon.h"
#include "section/triangle.h"

namespace stripwright::section {
namespace {

Hexagon across(double mm) { return Hexagon(Length::millimetres(mm)); }

TEST_CASE("the hexagon agrees with the handbook's table") {
  // Machinery's Handbook, 31st ed. (Industrial Press 2020), "Moments of Inertia, Section Moduli,
  // and Radii of Gyration", hexagon of width d across flats: A = 0.866 d², I = 0.06 d⁴, Z = 0.12 d³
  // over flats and 0.104 d³ over corners, k = 0.264 d, side 0.577 d.
  for (const double d : {1.0, 2.0, 7.5}) {
    const Hexagon hexagon = across(d);
    CHECK(hexagon.area_in_square_millimetres() == Approx(0.866 * d * d).epsilon(0.0005 / 0.866));
    CHECK(hexagon.second_moment_in_millimetres4() ==
          Approx(0.06 * std::pow(d, 4)).epsilon(0.005 / 0.06));
    CHECK(hexagon.section_modulus_over_flats_in_millimetres3() ==
          Approx(0.12 * std::pow(d, 3)).epsilon(0.005 / 0.12));
    CHECK(hexagon.section_modulus_over_corners_in_millimetres3() ==
          Approx(0.104 * std::pow(d, 3)).epsilon(0.0005 / 0.104));
    CHECK(std::sqrt(hexagon.second_moment_in_millimetres4() /
                    hexagon.area_in_square_millimetres()) == Approx(0.264 * d).epsilon(0.002));
    CHECK(hexagon.side().in_millimetres() == Approx(0.577 * d).epsilon(0.001));
  }
}

TEST_CASE("the exact values behind the handbook's roundings") {
  // The same quantities to 15 digits, from the integrals over the polygon in both orientations
  // (computed with mpmath). The handbook writes the corner modulus as (A/6.9) d; its 6.9 stands
  // for 4 √3 = 6.92820, so the value to meet is 5/48, not the 0.10459 that 6.9 gives.
  const Hexagon unit = across(1);
  CHECK(unit.area_in_square_millimetres() == Approx(0.866025403784439).epsilon(1e-14));
  CHECK(unit.second_moment_in_millimetres4() == Approx(0.060140653040586).epsilon(1e-13));
  CHECK(unit.polar_second_moment_in_millimetres4() == Approx(0.120281306081172).epsilon(1e-14));
  CHECK(unit.section_modulus_over_flats_in_millimetres3() ==
        Approx(0.120281306081172).epsilon(1e-14));
  CHECK(unit.section_modulus_over_corners_in_millimetres3() == Approx(5.0 / 48).epsilon(1e-15));
  CHECK(unit.side().in_millimetres() == Approx(0.577350269189626).epsilon(1e-14));
  CHECK(unit.across_corners().in_millimetres() == Approx(1.15470053837925).epsilon(1e-14));

  const Hexagon six = across(6);
  CHECK(six.area_in_square_millimetres() == Approx(31.17691453624).epsilon(1e-11));
  CHECK(six.second_moment_in_millimetres4() == Approx(77.9422863406).epsilon(1e-11));
  CHECK(six.section_modulus_over_flats_in_millimetres3() == Approx(25.9807621135).epsilon(1e-11));
  CHECK(six.section_modulus_over_corners_in_millimetres3() == Approx(22.5).epsilon(1e-15));
}

TEST_CASE("a modulus is the second moment over the distance of the outermost fibre") {
  const Hexagon hexagon = across(4.2);
  const double i = hexagon.second_moment_in_millimetres4();
  CHECK(hexagon.section_modulus_over_flats_in_millimetres3() ==
        Approx(i / (hexagon.across_flats().in_millimetres() / 2)));
  CHECK(hexagon.section_modulus_over_corners_in_millimetres3() ==
        Approx(i / (hexagon.across_corners().in_millimetres() / 2)));
}

// Second moments of a polygon about both axes, by Green's theorem over its edges.
struct Moments {
  double about_x = 0;
  double about_y = 0;
  double product = 0;
};

Moments moments(std::array<std::array<double, 2>, 6> const& p) {
  Moments m;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const auto [x0, y0] = p[i];
    const auto [x1, y1] = p[(i + 1) % p.size()];
    const double cross = x0 * y1 - x1 * y0;
    m.about_x += cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12;
    m.about_y += cross * (x0 * x0 + x0 * x1 + x1 * x1) / 12;
    m.product += cross * (x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) / 24;
  }
  return m;
}

TEST_CASE("the second moment is the same about every axis") {
  const Hexagon hexagon = across(5.5);
  const double corner = hexagon.across_corners().in_millimetres() / 2;
  for (const double turned_deg : {0.0, 13.0, 30.0, 47.0}) {
    std::array<std::array<double, 2>, 6> corners{};
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const Angle at = Angle::degrees(turned_deg + 60.0 * static_cast<double>(i));
      corners[i] = {corner * cos(at), corner * sin(at)};
    }
    const Moments m = moments(corners);
    CHECK(m.about_x == Approx(hexagon.second_moment_in_millimetres4()).epsilon(1e-12));
    CHECK(m.about_y == Approx(hexagon.second_moment_in_millimetres4()).epsilon(1e-12));
    CHECK(std::fabs(m.product) < 1e-12 * m.about_x);
    CHECK(m.about_x + m.about_y ==
          Approx(hexagon.polar_second_moment_in_millimetres4()).epsilon(1e-12));
  }
}

TEST_CASE("six strips by the parallel axis theorem are the hexagon") {
  // Second moment of an equilateral triangle about its centroid, b h³/36 = 0.032075014955 h⁴, and
  // its centroid h/3 above the base: the handbook's triangle; see also
  // academics.triton.edu/faculty/fheitzman/propertiesofsections.html.
  const double h = 2.75;
  const Length height = Length::millimetres(h);
  const double b = face_width(height).in_millimetres();
  const double own = b * h * h * h / 36;
  CHECK(own == Approx(0.032075014955 * std::pow(h, 4)).epsilon(1e-10));
  const double area = strip_area_in_square_millimetres(height);
  for (const double turned_deg : {0.0, 20.0, 30.0}) {
    double sum = 0;
    for (int i = 0; i < 6; ++i) {
      const double arm = 2 * h / 3 * sin(Angle::degrees(turned_deg + 60.0 * i));
      sum += own + area * arm * arm;
    }
    const Hexagon hexagon(2 * height);
    CHECK(hexagon.second_moment_in_millimetres4() == Approx(sum).epsilon(1e-14));
    CHECK(hexagon.area_in_square_millimetres() == Approx(6 * area).epsilon(1e-14));
  }
}

}  // namespace
}  // namespace stripwright::section
