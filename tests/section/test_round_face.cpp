#include <boost/multiprecision/cpp_bin_float.hpp>
#include <cmath>
#include <limits>
#include <random>

#include "catch.h"
#include "section/round_face.h"

namespace stripwright::section {
namespace {

using Exact = boost::multiprecision::cpp_bin_float_50;

Length mm(double value) { return Length::millimetres(value); }

RoundFace enamel_on(double radius, double enamel) { return {mm(radius), mm(enamel), mm(radius)}; }
RoundFace enamel_off(double radius, double enamel) {
  return {mm(radius), mm(enamel), mm(radius) - mm(enamel)};
}

TEST_CASE("a strip of 4 mm from a culm of 44 mm with enamel of 0.12 mm") {
  // Worked by hand: √(21.88² - 16/3) = 21.75778175, E = 22 - 21.75778175; the crown alone costs as
  // much as the enamel.
  const RoundFace face = enamel_on(22, 0.12);
  REQUIRE(carries(face, mm(4)));
  CHECK(crown_allowance(face, mm(4)).in_millimetres() == Approx(0.24221825).margin(5e-9));
  CHECK(centre_from_apex(face, mm(4)).in_millimetres() == Approx(4 - 21.75778175).margin(5e-9));
  CHECK(flank_length(face, mm(4)).in_millimetres() == Approx(4.750028).margin(5e-7));
  CHECK(side_height(face, mm(4)).in_millimetres() == Approx(4.11365).margin(5e-6));
}

TEST_CASE("centre, crown and finished height fit together") {
  for (RoundFace const& face : {enamel_on(25, 0.2), enamel_off(25, 0.2)}) {
    const Length milled = mm(3.3) + crown_allowance(face, mm(3.3));
    CHECK((centre_from_apex(face, mm(3.3)) + face.arc_radius - milled).in_millimetres() ==
          Approx(0).margin(1e-13));
  }
}

TEST_CASE("with the enamel off, the finished corner lies on the milled arc") {
  // So the flank is as long as the finished strip's, 2 h / √3, and b and c are h already.
  for (const double h : {0.8, 2.0, 5.0, 7.0}) {
    const RoundFace face = enamel_off(12, 0.15);
    CHECK(flank_length(face, mm(h)) / flank_length(mm(h)) == Approx(1).epsilon(1e-13));
    CHECK(side_height(face, mm(h)) / mm(h) == Approx(1).epsilon(1e-13));
    CHECK(crown_allowance(face, mm(h)) > Length());
  }
}

TEST_CASE("a very stout culm is flat: the enamel is all there is to come off") {
  const RoundFace face = enamel_on(1e7, 0.25);
  CHECK(crown_allowance(face, mm(4)).in_millimetres() == Approx(0.25).margin(1e-6));
  CHECK(side_height(face, mm(4)).in_millimetres() == Approx(4.25).margin(1e-6));
}

// The plain formulas, to 50 digits.
struct PlainFormulas {
  Exact crown_allowance;
  Exact flank;
};

PlainFormulas plain(RoundFace const& face, Length h_w) {
  const Exact inner = Exact(face.culm_radius.in_millimetres()) - face.enamel.in_millimetres();
  const Exact r_o = face.arc_radius.in_millimetres();
  const Exact h = h_w.in_millimetres();
  const Exact d = sqrt(inner * inner - h * h / 3);
  const Exact y = h - d;
  return {r_o - d, (sqrt(Exact(3)) * y + sqrt(4 * r_o * r_o - y * y)) / 2};
}

TEST_CASE("nothing is lost to rounding, however small the strip in the culm") {
  std::mt19937 random(71);
  std::uniform_real_distribution<double> radius(8, 100);
  std::uniform_real_distribution<double> share(0.002, 1.49);
  std::uniform_real_distribution<double> thickness(0, 0.4);
  for (int i = 0; i < 500; ++i) {
    const double r = radius(random);
    const double e = i % 3 == 0 ? 0 : thickness(random);
    const Length h = share(random) * mm(r - e);
    INFO("R " << r << ", e " << e << ", h_w " << h.in_millimetres());
    {
      // The enamel itself is a difference of radii here and carries their last digit.
      const RoundFace face = enamel_on(r, e);
      REQUIRE(carries(face, h));
      const PlainFormulas want = plain(face, h);
      const double wanted_mm = static_cast<double>(want.crown_allowance);
      CHECK(std::fabs(crown_allowance(face, h).in_millimetres() - wanted_mm) <
            1e-14 * wanted_mm + 1.5e-14);
      CHECK(flank_length(face, h).in_millimetres() ==
            Approx(static_cast<double>(want.flank)).epsilon(1e-14).margin(1e-13));
    }
    if (e == 0) {
      const RoundFace face = enamel_off(r, 0);
      const PlainFormulas want = plain(face, h);
      CHECK(crown_allowance(face, h).in_millimetres() ==
            Approx(static_cast<double>(want.crown_allowance)).epsilon(2e-14));
    }
  }
}

TEST_CASE("the culm carries a strip up to its inscribed triangle") {
  // The largest equilateral triangle in a circle of radius r has height 3/2 r (common geometry).
  const RoundFace face = enamel_on(10, 0.5);
  CHECK(carries(face, mm(14.24)));
  CHECK_FALSE(carries(face, mm(14.25)));
  CHECK(centre_from_apex(face, mm(14.2499999)).in_millimetres() == Approx(9.5).margin(1e-6));

  SECTION("that the outer corners find room on the arc is not enough") {
    // √(r² - h²/3) is still real up to h = √3 r, but the apex is then outside the culm.
    const double h = 15.5;
    const double r = 9.5;
    REQUIRE(r * r > h * h / 3);
    CHECK(h - std::sqrt(r * r - h * h / 3) > 10.0);
    CHECK_FALSE(carries(face, mm(h)));
  }
}

TEST_CASE("what is no culm or no strip is not carried") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinite = std::numeric_limits<double>::infinity();
  CHECK(carries(enamel_on(20, 0), mm(4)));
  CHECK(carries(enamel_off(20, 0.13), mm(4)));
  CHECK_FALSE(carries(enamel_on(20, 0.1), mm(0)));
  CHECK_FALSE(carries(enamel_on(20, 0.1), mm(-4)));
  CHECK_FALSE(carries(enamel_on(20, 0.1), mm(nan)));
  CHECK_FALSE(carries(enamel_on(nan, 0.1), mm(4)));
  CHECK_FALSE(carries(enamel_on(infinite, 0.1), mm(4)));
  CHECK_FALSE(carries(enamel_on(20, nan), mm(4)));
  CHECK_FALSE(carries(enamel_on(20, -0.1), mm(4)));
  CHECK_FALSE(carries(enamel_off(20, -0.1), mm(4)));
  CHECK_FALSE(carries(enamel_on(20, 20), mm(4)));
  CHECK_FALSE(carries({mm(20), mm(0.1), mm(19.5)}, mm(4)));
  CHECK_FALSE(carries({mm(20), mm(0.1), mm(20.5)}, mm(4)));
}

TEST_CASE("a true strip's readings on the round face say 60 degrees") {
  for (RoundFace const& face : {enamel_on(22, 0.12), enamel_off(22, 0.12), enamel_on(7.5, 0.3)}) {
    for (const double h : {0.7, 2.0, 5.0}) {
      const StripHeights heights{mm(h) + crown_allowance(face, mm(h)), side_height(face, mm(h)),
                                 side_height(face, mm(h))};
      const auto angles = angles_from_round_heights(face.arc_radius, heights);
      INFO("R_o " << face.arc_radius.in_millimetres() << ", h_w " << h);
      REQUIRE(angles);
      CHECK(angles->apex.in_degrees() == Approx(60).margin(1e-10));
      CHECK(angles->b.in_degrees() == Approx(60).margin(1e-10));
      CHECK(angles->c.in_degrees() == Approx(60).margin(1e-10));
    }
  }
}

TEST_CASE("read as if flat, the same strip would seem to have a wrong angle") {
  const RoundFace face = enamel_on(22, 0.12);
  const StripHeights heights{mm(4) + crown_allowance(face, mm(4)), side_height(face, mm(4)),
                             side_height(face, mm(4))};
  const auto flat = angles_from_heights(heights);
  REQUIRE(flat);
  CHECK(std::fabs(flat->apex.in_degrees() - 60) > 1.0);
}

TEST_CASE("on a culm without end the round face is the flat one") {
  const StripHeights heights{mm(4.0), mm(4.1), mm(3.93)};
  const auto flat = angles_from_heights(heights);
  const auto round = angles_from_round_heights(mm(1e8), heights);
  REQUIRE(flat);
  REQUIRE(round);
  CHECK(round->apex.in_degrees() == Approx(flat->apex.in_degrees()).margin(1e-5));
  CHECK(round->b.in_degrees() == Approx(flat->b.in_degrees()).margin(1e-5));
  CHECK(round->c.in_degrees() == Approx(flat->c.in_degrees()).margin(1e-5));
}

// A corner where a flank at this angle from the crown line meets the arc: the crossing of a
// line from the apex with a circle of radius r_o, centre (0, y), as in any textbook.
struct Corner {
  double x;
  double y;
};
Corner corner_on_arc(double angle_rad, double y, double r_o) {
  const double ux = std::sin(angle_rad);
  const double uy = std::cos(angle_rad);
  const double s = uy * y + std::sqrt(r_o * r_o - ux * ux * y * y);
  return {s * ux, s * uy};
}

TEST_CASE("crooked strips laid out on a round culm give their angles back") {
  std::mt19937 random(1862);
  std::uniform_real_distribution<double> flank_angle(22, 38);
  std::uniform_real_distribution<double> radius(7.5, 100);
  std::uniform_real_distribution<double> share(0.01, 0.6);
  for (int i = 0; i < 500; ++i) {
    const double r_o = radius(random);
    const double a = share(random) * r_o;
    const double t1_deg = flank_angle(random);
    const double t2_deg = flank_angle(random);
    const Corner c = corner_on_arc(-Angle::degrees(t1_deg).in_radians(), a - r_o, r_o);
    const Corner b = corner_on_arc(Angle::degrees(t2_deg).in_radians(), a - r_o, r_o);
    // Twice the area of the triangle apex, B, C is each flank times the height square to it.
    const double twice_area = std::fabs(b.x * c.y - b.y * c.x);
    const StripHeights heights{mm(a), mm(twice_area / std::hypot(c.x, c.y)),
                               mm(twice_area / std::hypot(b.x, b.y))};
    INFO("R_o " << r_o << ", a " << a << ", t1 " << t1_deg << ", t2 " << t2_deg);
    const auto found = angles_from_round_heights(mm(r_o), heights);
    REQUIRE(found);
    CHECK(found->apex.in_degrees() == Approx(t1_deg + t2_deg).margin(1e-9));
    CHECK(found->b.in_degrees() == Approx(90 - t2_deg).margin(1e-9));
    CHECK(found->c.in_degrees() == Approx(90 - t1_deg).margin(1e-9));
  }
}

TEST_CASE("readings that no strip on this culm can have give no angles") {
  const Length r_o = mm(22);
  const auto found = [&](double a, double b, double c) {
    return angles_from_round_heights(r_o, {mm(a), mm(b), mm(c)}).has_value();
  };
  CHECK(found(4.242, 4.114, 4.114));
  CHECK_FALSE(found(4.242, 41.14, 4.114));  // a decimal point slipped
  CHECK_FALSE(found(4.242, 4.114, 0.411));
  CHECK_FALSE(found(0.424, 4.114, 4.114));
  CHECK_FALSE(found(42.42, 4.114, 4.114));
  CHECK_FALSE(found(22, 4.114, 4.114));
  for (const double bad : {0.0, -4.0, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    CHECK_FALSE(found(bad, 4.114, 4.114));
    CHECK_FALSE(found(4.242, bad, 4.114));
    CHECK_FALSE(found(4.242, 4.114, bad));
    CHECK_FALSE(angles_from_round_heights(mm(bad), {mm(4.242), mm(4.114), mm(4.114)}).has_value());
  }
}

}  // namespace
}  // namespace stripwright::section
