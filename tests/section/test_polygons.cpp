#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "catch.h"
#include "geos_outline.h"
#include "section/hexagon.h"
#include "section/polygons.h"

namespace stripwright::section {
namespace {

Length mm(double value) { return Length::millimetres(value); }
Angle deg(double value) { return Angle::degrees(value); }

// A caliper on a lone strip: jaws square to the face, and square to either flank. A flank runs from
// the apex past corner C at 90° less the half of the apex angle that lies on its side.
struct Caliper {
  Length a, b, c;
};
Caliper caliper(Polygon const& strip, Angle flank_to_c_from_y, Angle flank_to_b_from_y) {
  return {extent(strip, deg(90)), extent(strip, -flank_to_c_from_y),
          extent(strip, deg(180) + flank_to_b_from_y)};
}

TEST_CASE("a strip's outline measures and weighs as the formulas say") {
  for (const double h : {0.7, 2.0, 6.35}) {
    const Polygon strip = strip_polygon(mm(h));
    CHECK(area_in_square_millimetres(strip) ==
          Approx(strip_area_in_square_millimetres(mm(h))).epsilon(1e-14));
    CHECK(GeosOutline(strip).area() ==
          Approx(strip_area_in_square_millimetres(mm(h))).epsilon(1e-14));
    CHECK(extent(strip, deg(0)) / face_width(mm(h)) == Approx(1).epsilon(1e-14));
    const Caliper read = caliper(strip, deg(30), deg(30));
    CHECK(read.a.in_millimetres() == Approx(h).epsilon(1e-13));
    CHECK(read.b.in_millimetres() == Approx(h).epsilon(1e-13));
    CHECK(read.c.in_millimetres() == Approx(h).epsilon(1e-13));
  }
}

TEST_CASE("a glue line moves each strip outwards by its own thickness") {
  // Nothing is assumed here of how far apart the strips come: the gaps and the flats are measured.
  for (const double h : {0.9, 2.5, 5.0}) {
    for (const double g : {0.02, 0.05, 0.3}) {
      INFO("h " << h << ", g " << g);
      const SixStrips strips = round_the_centre(strip_polygon(mm(h)), mm(g));
      for (const Length gap : glue_gaps(strips)) {
        CHECK(gap.in_millimetres() == Approx(g).margin(1e-13));
      }
      for (const Length flats : across_flats(strips)) {
        CHECK(flats.in_millimetres() == Approx(2 * (h + g)).margin(1e-13));
      }
      for (std::size_t i = 0; i < strips.size(); ++i) {
        CHECK(GeosOutline(strips[i]).distance(GeosOutline(strips[(i + 1) % 6])) ==
              Approx(g).margin(1e-13));
      }
      CHECK(glue_gaps(glued_up(mm(h), mm(g))) == glue_gaps(strips));
    }
  }
}

TEST_CASE("six strips without glue are the solid hexagon") {
  const double h = 3.2;
  const SixStrips strips = glued_up(mm(h), Length());
  const Hexagon hexagon(mm(2 * h));
  GeosOutline whole(strips[0]);
  for (std::size_t i = 1; i < strips.size(); ++i) {
    CHECK(whole.common_with(GeosOutline(strips[i])).area() == Approx(0).margin(1e-12));
    whole = whole.together_with(GeosOutline(strips[i]));
  }
  CHECK(whole.area() == Approx(hexagon.area_in_square_millimetres()).epsilon(1e-12));
  for (const Length gap : glue_gaps(strips)) CHECK(gap.in_millimetres() == Approx(0).margin(1e-14));
}

TEST_CASE("strips of uneven heights show in the flats they lie under") {
  SixStrips strips = glued_up(mm(2.5), mm(0.05));
  strips[4] = glued_up(mm(2.53), mm(0.05))[4];
  const auto flats = across_flats(strips);
  CHECK(flats[0].in_millimetres() == Approx(5.10).margin(1e-13));
  CHECK(flats[1].in_millimetres() == Approx(5.13).margin(1e-13));  // strips 2 and 5
  CHECK(flats[2].in_millimetres() == Approx(5.10).margin(1e-13));
}

TEST_CASE("seams of strips with a wrong apex angle open as far as foretold") {
  for (const double apex_deg : {55.0, 59.0, 59.8, 60.2, 61.0, 64.0}) {
    const Angle apex = deg(apex_deg);
    const Angle base = (deg(180) - apex) / 2;
    const double h = 2.2;
    const Length flank = mm(h / cos(apex / 2));
    const Polygon strip = strip_polygon(mm(h), {apex, base, base});
    const SeamOpening opening = seam_opening(flank, apex);
    // Pushed together until they touch: at the apexes, or at the outer corners, which then lie on a
    // regular hexagon as wide as the face, whose apothem is √3/2 of that.
    const Length face = extent(strip, deg(0));
    const Length apex_from_centre =
        apex < deg(60) ? Length() : face * (std::numbers::sqrt3 / 2) - mm(h);
    const SixStrips strips = round_the_centre(strip, apex_from_centre);
    INFO("apex " << apex_deg);
    CHECK(opening.at == (apex < deg(60) ? SeamPlace::outside : SeamPlace::centre));
    for (const Length gap : glue_gaps(strips)) {
      CHECK(gap.in_millimetres() == Approx(0).margin(1e-13));
    }

    // Corner C of strip 1 and B of strip 6, or the two apexes, bound the open end of a seam.
    const auto corner = [](Polygon const& of, Polygon const& like, double x, double y) {
      // The corner that was at (x, y) before the strip was put in its place.
      std::size_t best = 0;
      for (std::size_t i = 0; i < like.outer().size(); ++i) {
        if (std::hypot(like.outer()[i].x() - x, like.outer()[i].y() - y) < 1e-9) best = i;
      }
      return of.outer()[best];
    };
    const double half_face = face.in_millimetres() / 2;
    const bool outside = opening.at == SeamPlace::outside;
    const Point one =
        outside ? corner(strips[0], strip, half_face, h) : corner(strips[0], strip, 0, 0);
    const Point six =
        outside ? corner(strips[5], strip, -half_face, h) : corner(strips[5], strip, 0, 0);
    CHECK(std::hypot(one.x() - six.x(), one.y() - six.y()) ==
          Approx(opening.width.in_millimetres()).margin(1e-12));
  }
}

TEST_CASE("a crooked strip's outline gives its angles back to the caliper") {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> angle(50, 70);
  for (int i = 0; i < 200; ++i) {
    const Angle apex = deg(angle(random));
    const Angle b = deg(angle(random));
    const StripAngles angles{apex, b, deg(180) - apex - b};
    const Polygon strip = strip_polygon(mm(2.7), angles);
    const Caliper read = caliper(strip, deg(90) - angles.c, deg(90) - angles.b);
    INFO("apex " << apex.in_degrees() << ", b " << b.in_degrees());
    const StripHeights told = heights_from_angles(mm(2.7), angles);
    CHECK(read.a / told.a == Approx(1).epsilon(1e-12));
    CHECK(read.b / told.b == Approx(1).epsilon(1e-12));
    CHECK(read.c / told.c == Approx(1).epsilon(1e-12));
    const auto found = angles_from_heights({read.a, read.b, read.c});
    REQUIRE(found);
    CHECK(found->apex.in_degrees() == Approx(apex.in_degrees()).margin(1e-10));
    CHECK(found->b.in_degrees() == Approx(b.in_degrees()).margin(1e-10));
  }
}

TEST_CASE("a ball in the groove of a strip stands as the pin formulas say") {
  // A ball of diameter d in a 60° groove has its centre d above the apex; in a groove of angle A,
  // (d/2) / sin(A/2), so that its lowest point is (d/2)(1 / sin(A/2) - 1) above it. From
  // Machinery's Handbook, 31st ed., p. 703, "Checking a V-shaped groove by measurement over pins"
  // (decimals computed with mpmath).
  const double d = 4;
  struct Row {
    double angle_deg, lowest_mm;
  };
  for (const auto& [angle_deg, lowest] :
       {Row{60, 2}, Row{60.1, 1.993964646}, Row{60.25, 1.984951366}, Row{60.5, 1.970034363}}) {
    const Angle apex = deg(angle_deg);
    const Angle base = (deg(180) - apex) / 2;
    const Polygon groove = strip_polygon(mm(20), {apex, base, base});
    // The ball's outline, set at the height told, must just touch both flanks of the groove: what
    // is left of it outside is nothing, and a hair lower something is.
    const auto outside = [&](double lowest_mm) {
      const Polygon ball = disc_polygon(mm(d / 2), mm(lowest_mm + d / 2));
      return GeosOutline(ball).without(GeosOutline(groove)).area();
    };
    INFO("groove angle " << angle_deg);
    CHECK(outside(lowest + 1e-5) == 0);
    CHECK(outside(lowest - 1e-4) > 0);
  }
}

TEST_CASE("a disc's outline keeps within the stated error of its arc") {
  for (const double r : {0.8, 10.0, 100.0}) {
    const Polygon disc = disc_polygon(mm(r), mm(-3));
    double farthest = 0;
    auto const& corners = disc.outer();
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
      CHECK(std::fabs(std::hypot(corners[i].x(), corners[i].y() + 3) - r) < 1e-13 * r);
      const double x = (corners[i].x() + corners[i + 1].x()) / 2;
      const double y = (corners[i].y() + corners[i + 1].y()) / 2 + 3;
      farthest = std::max(farthest, r - std::hypot(x, y));
    }
    CHECK(farthest <= kArcError.in_millimetres() * (1 + 1e-6));
    CHECK(farthest > kArcError.in_millimetres() / 2);  // and is not drawn finer than it says
    CHECK(area_in_square_millimetres(disc) ==
          Approx(std::numbers::pi * r * r).margin(2 * std::numbers::pi * r * 1e-6));
  }
}

TEST_CASE("the strip under a round culm measures as the formulas say") {
  std::mt19937 random(44);
  std::uniform_real_distribution<double> radius(7.5, 100);
  std::uniform_real_distribution<double> thickness(0, 0.4);
  std::uniform_real_distribution<double> share(0.02, 1.45);
  for (int i = 0; i < 60; ++i) {
    const double r = radius(random);
    const double e = thickness(random);
    const Length h = share(random) * mm(r - e);
    const RoundFace face{mm(r), mm(e), i % 2 == 0 ? mm(r) : mm(r) - mm(e)};
    INFO("R " << r << ", e " << e << ", h_w " << h.in_millimetres() << ", i " << i);
    const Polygon milled = round_strip_polygon(face, h);
    const Caliper read = caliper(milled, deg(30), deg(30));
    CHECK((read.a - h - crown_allowance(face, h)).in_millimetres() == Approx(0).margin(1e-12));
    CHECK((read.b - side_height(face, h)).in_millimetres() == Approx(0).margin(1e-12));
    CHECK((read.c - side_height(face, h)).in_millimetres() == Approx(0).margin(1e-12));

    // A second way to the same outline: a long 60° wedge, and the disc, cut by GEOS.
    const Polygon wedge = strip_polygon(mm(400));
    const Polygon disc = disc_polygon(face.arc_radius, centre_from_apex(face, h));
    const GeosOutline cut = GeosOutline(wedge).common_with(GeosOutline(disc));
    const double arc_mm = 1.3 * 2 * flank_length(face, h).in_millimetres();
    CHECK(area_in_square_millimetres(milled) ==
          Approx(cut.area()).margin(kArcError.in_millimetres() * arc_mm));

    // The finished strip lies wholly within power fibre; a thousandth higher, it does not.
    const auto in_enamel = [&](Length height) {
      const Polygon inner = disc_polygon(mm(r - e), centre_from_apex(face, h));
      return GeosOutline(strip_polygon(height)).without(GeosOutline(inner)).area();
    };
    CHECK(in_enamel(h - mm(2e-5)) < 1e-6 * r * 1e-3);
    CHECK(in_enamel(h + mm(2e-3)) > 1e-6);
  }
}

TEST_CASE("crooked strips on a round culm give their angles back to the caliper") {
  std::mt19937 random(8);
  std::uniform_real_distribution<double> flank_deg(25, 35);
  for (int i = 0; i < 20; ++i) {
    // One point of the outline is the crown, two are the corners; all else lies between.
    const double r_o = 18;
    const double a = 3.4;
    const Angle t1 = deg(flank_deg(random));
    const Angle t2 = deg(flank_deg(random));
    const auto seen_from_centre_rad = [&](Angle t) {
      // Law of sines in the triangle apex, centre, corner.
      return t.in_radians() - std::asin((r_o - a) * sin(t) / r_o);
    };
    Polygon strip;
    strip.outer().push_back({0, 0});
    for (int k = -200; k <= 200; ++k) {
      const double at_rad =
          k / 200.0 * (k < 0 ? seen_from_centre_rad(t2) : seen_from_centre_rad(t1));
      strip.outer().push_back({r_o * std::sin(at_rad), a - r_o + r_o * std::cos(at_rad)});
    }
    strip.outer().push_back({0, 0});
    const Caliper read = caliper(strip, t1, t2);
    const auto found = angles_from_round_heights(mm(r_o), {read.a, read.b, read.c});
    INFO("t1 " << t1.in_degrees() << ", t2 " << t2.in_degrees());
    REQUIRE(found);
    CHECK(found->apex.in_degrees() == Approx((t1 + t2).in_degrees()).margin(1e-9));
    CHECK(found->b.in_degrees() == Approx(90 - t2.in_degrees()).margin(1e-9));
    CHECK(found->c.in_degrees() == Approx(90 - t1.in_degrees()).margin(1e-9));
  }
}

}  // namespace
}  // namespace stripwright::section
