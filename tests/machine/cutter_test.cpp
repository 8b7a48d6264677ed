#include <array>
#include <cmath>
#include <stdexcept>

#include "catch.h"
#include "machine/curved_contacts.h"
#include "machine/cutter_contact.h"
#include "machine/cutter_curve.h"
#include "machine/cutter_path.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

// Where not otherwise said the numbers below are those of parallel curves and of a round roller on
// a cam's profile (X = x - R y'/sqrt(1+y'²), Y = y + R/sqrt(1+y'²); standard, from memory), for R =
// 25, worked out again to 10 digits or more with another program.
namespace {

const Length kR = mm(25);

double centre(const HeightCurve& profile, double x) {
  const CutterCurve curve(profile, kR, at(-500), at(500));
  return mm(curve.centre_height(at(x)));
}

/// The same station by the contact finder alone.
double offset_alone(const HeightCurve& profile, double x, Length radius = kR) {
  return mm(ContactFinder(profile, radius).at(at(x), Side::towards_butt).offset);
}

}  // namespace

TEST_CASE("a cutter over a slope stands R (sqrt(1+m²) - 1) above it") {
  struct Slope {
    double m, excess, shift;
  };
  for (const Slope& s :
       {Slope{0.001, 1.249999688e-5, 0.0249999875}, Slope{0.005, 3.124980469e-4, 0.1249984375},
        Slope{0.02, 4.999500100e-3, 0.49990003}, Slope{0.1, 0.1246890528, 2.487592976}}) {
    const Straight line({0, 100}, {0, 100 * s.m});
    const CutterCurve curve(line, kR, at(-500), at(500));
    for (const double x : {-400.0, 0.0, 33.0, 100.0, 400.0}) {
      INFO("slope " << s.m << " at " << x);
      CHECK(mm(curve.height(at(x))) - s.m * x == Approx(s.excess).epsilon(1e-9));
      CHECK(mm(curve.touches(at(x), Side::towards_butt)) - x == Approx(s.shift).epsilon(1e-8));
      CHECK(curve.slope(at(x), Side::towards_butt) == Approx(s.m).epsilon(1e-12));
      CHECK(offset_alone(line, x) == Approx(mm(curve.height(at(x)))).margin(1e-12));
    }
  }
}

TEST_CASE("a nanometre survives under a large cutter") {
  // R (sqrt(1+m²) - 1) = R m²/2 (1 - m²/4 ...): with R = 1000 and m = 1e-5 it is 5e-8 - 1.25e-18.
  const Straight line({0, 100}, {0, 0.001});
  const CutterCurve curve(line, mm(1000), at(0), at(100));
  CHECK(mm(curve.height(at(0))) == Approx(5e-8).epsilon(1e-9));
  // Beside a corner s²/2R: 0.003²/2000.
  const Straight needle({-1, 0, 1}, {-1, 0, -1});
  const CutterCurve turning(needle, mm(1000), at(-1), at(1));
  CHECK(mm(turning.height(at(0.003))) == Approx(-4.5e-9).epsilon(1e-9));
}

TEST_CASE("a cutter beside a corner that stands up: a 15-20-25 triangle") {
  // Flanks steeper than the cutter is there, so that it turns about the corner alone.
  const Straight needle({-1, 0, 1}, {-100, 0, -100});
  CHECK(centre(needle, 15) == Approx(20).margin(1e-12));
  CHECK(offset_alone(needle, 15) == Approx(-5).margin(1e-12));
  CHECK(offset_alone(needle, -15) == Approx(-5).margin(1e-12));
}

TEST_CASE("a cutter over a ridge turns about it, then slides down") {
  const double m = 0.02;
  const Straight ridge({-200, 0, 200}, {-200 * m, 0, -200 * m});
  const double join = 25 * m / std::sqrt(1 + m * m);
  CHECK(join == Approx(0.49990003).margin(1e-8));
  CHECK(centre(ridge, join) == Approx(24.9950014995).margin(1e-10));
  CHECK(centre(ridge, 0.3) == Approx(std::sqrt(625 - 0.09)).margin(1e-12));
  CHECK(centre(ridge, 3) == Approx(-0.06 + 25 * std::sqrt(1 + m * m)).margin(1e-12));
  const CutterPath path(ridge, kR, at(-100), at(100));
  REQUIRE(path.pieces().size() == 3);
  CHECK(path.pieces()[1].turns);
  CHECK(mm(path.pieces()[1].from) == Approx(-join).margin(1e-12));
  CHECK(mm(path.pieces()[1].to) == Approx(join).margin(1e-12));
  CHECK(path.rests(mm(0)).empty());
}

TEST_CASE("a cutter in a valley leaves R (sqrt(1+m²) - 1) standing at the bottom") {
  const double m = 0.02;
  const Straight valley({-200, 0, 200}, {200 * m, 0, 200 * m});
  const CutterCurve curve(valley, kR, at(-100), at(100));
  CHECK(curve.path()->pieces().size() == 2);
  const auto rests = curve.rests(mm(0));
  REQUIRE(rests.size() == 1);
  CHECK(mm(rests[0].at) == 0);
  CHECK(mm(rests[0].size) == Approx(0.0049995001).margin(1e-10));
  CHECK(mm(rests[0].cutter_at) == Approx(0).margin(1e-12));
  CHECK(mm(curve.touches(at(0), Side::towards_tip)) == Approx(-0.49990003).margin(1e-8));
  CHECK(mm(curve.touches(at(0), Side::towards_butt)) == Approx(0.49990003).margin(1e-8));
  CHECK(curve.slope(at(0), Side::towards_tip) == Approx(-m));
  CHECK(curve.slope(at(0), Side::towards_butt) == Approx(m));
  const ContactFinder finder(valley, kR);
  CHECK(mm(finder.at(at(0), Side::towards_tip).touches) == Approx(-0.49990003).margin(1e-8));
  CHECK(mm(finder.at(at(0), Side::towards_butt).touches) == Approx(0.49990003).margin(1e-8));
  CHECK(finder.at(at(0), Side::towards_tip).slope == Approx(-m));
  SECTION("told only from a size on") {
    CHECK(curve.rests(mm(0.005)).empty());
    CHECK(curve.rests(rests[0].size).size() == 1);
  }
  SECTION("and the same from a curved description of the valley") {
    const Curved told([m](double x) { return m * std::fabs(x); },
                      [m](double x) { return x < 0 ? -m : m; }, {0});
    const CutterCurve over(told, kR, at(-100), at(100));
    const auto same = over.rests(mm(0));
    REQUIRE(same.size() == 1);
    CHECK(mm(same[0].size) == Approx(0.0049995001).margin(1e-10));
    CHECK(mm(same[0].at) == Approx(0).margin(1e-9));
    REQUIRE(over.corners().size() == 1);
    CHECK(mm(over.corners()[0]) == Approx(0).margin(1e-9));
    CHECK(over.slope(at(0), Side::towards_tip) == Approx(-m));
    CHECK(over.slope(at(0), Side::towards_butt) == Approx(m));
  }
}

TEST_CASE("a cutter on a round hill and in a round hollow") {
  // Radius 100, standing at x = 20: sqrt(125² - 400) - 100 and 100 - sqrt(75² - 400).
  const double rho = 100;
  const Curved hill([=](double x) { return std::sqrt(rho * rho - x * x) - rho; },
                    [=](double x) { return -x / std::sqrt(rho * rho - x * x); }, {-70, 70});
  const Curved hollow([=](double x) { return rho - std::sqrt(rho * rho - x * x); },
                      [=](double x) { return x / std::sqrt(rho * rho - x * x); }, {-70, 70});
  const CutterCurve over(hill, kR, at(-30), at(30)), within(hollow, kR, at(-30), at(30));
  CHECK(mm(over.centre_height(at(20))) == Approx(23.3896267925).margin(1e-10));
  CHECK(mm(within.centre_height(at(20))) == Approx(27.715838526).margin(1e-9));
  CHECK(within.rests(mm(1e-6)).empty());
}

// Level but for a dip, 20 mm long and d = 1.5 mm deep, of a whole cosine: its bottom has the radius
// 2 (10/π)²/d = 13.5, so that a cutter of 25 comes to lie on both its sides.
TEST_CASE("a dip that is too tight is found though it is the first or the last piece") {
  const double k = 2 * 3.14159265358979323846 / 20, d = 1.5;
  for (const bool last : {true, false}) {
    const double begin = last ? 100 : -120;
    const auto dips = [=](double x) { return x > begin && x < begin + 20; };
    const Curved dip(
        [=](double x) { return dips(x) ? -d / 2 * (1 - std::cos(k * (x - begin))) : 0.0; },
        [=](double x) { return dips(x) ? -d / 2 * k * std::sin(k * (x - begin)) : 0.0; },
        last ? std::vector<double>{0, 100, 120} : std::vector<double>{-120, -100, 0});
    const CutterCurve curve(dip, kR, at(begin - 80), at(begin + 100));
    for (double x = begin - 10; x < begin + 30; x += 0.37) {
      INFO("last " << last << " x " << x);
      CHECK(mm(curve.height(at(x))) == Approx(offset_by_looking(dip, 25, x)).margin(1e-9));
    }
    // In the middle it touches left and right alike.
    const auto rests = curve.rests(mm(1e-6));
    REQUIRE(rests.size() == 1);
    CHECK(mm(rests[0].at) == Approx(begin + 10).margin(1e-6));
    CHECK(mm(rests[0].size) == Approx(mm(curve.height(at(begin + 10))) + d).margin(1e-9));
    CHECK(mm(curve.touches(at(begin + 10), Side::towards_tip) +
             curve.touches(at(begin + 10), Side::towards_butt).from_zero()) ==
          Approx(2 * (begin + 10)).margin(1e-6));
    // What is as large as asked for is told.
    CHECK(curve.rests(rests[0].size).size() == 1);
    CHECK(curve.rests(rests[0].size + mm(1e-9)).empty());
  }
}

// A wave of length 40 and height 5 has the radius (20/π)²/2.5 = 16.2 at its bottoms.
TEST_CASE("beyond the corners that it names a curve may be as tight as between them") {
  const double k = 2 * 3.14159265358979323846 / 40;
  const Curved wave([=](double x) { return 2.5 * std::cos(k * x); },
                    [=](double x) { return -2.5 * k * std::sin(k * x); }, {0});
  const ContactFinder finder(wave, kR);
  for (double x = -90; x <= 90; x += 2.3) {
    INFO("x " << x);
    CHECK(mm(finder.at(at(x), Side::towards_butt).offset) ==
          Approx(offset_by_looking(wave, 25, x, 400)).margin(1e-9));
  }
}

TEST_CASE("a cutter on a parabola") {
  const Curved parabola([](double x) { return 0.001 * x * x; }, [](double x) { return 0.002 * x; },
                        {0});
  const CutterCurve curve(parabola, kR, at(-100), at(100));
  CHECK(mm(curve.centre_height(at(28.5026927318))) == Approx(25.8551211366).margin(1e-9));
  CHECK(mm(curve.touches(at(28.5026927318), Side::towards_butt)) == Approx(30).margin(1e-8));
  CHECK(curve.slope(at(28.5026927318), Side::towards_butt) == Approx(0.06).margin(1e-10));
}

// What a round cutter leaves between two cuts a step f apart: R - sqrt(R² - f²/4) (about f²/8R);
// here the pins that hold it up are f apart and it hangs that much lower between them.
TEST_CASE("a cutter on two points hangs between them by the scallop's height") {
  struct Scallop {
    double step, height;
  };
  for (const Scallop& s : {Scallop{1, 0.0050005001}, Scallop{2, 0.0200080064},
                           Scallop{5, 0.1253140723}, Scallop{10, 0.5051025722}}) {
    const double f = s.step / 2;
    const Straight pins({-f - 0.01, -f, -f + 0.01, f - 0.01, f, f + 0.01},
                        {-50, 0, -50, -50, 0, -50}, 0, 0);
    CHECK(offset_alone(pins, 0) == Approx(-s.height).margin(1e-10));
    CHECK(centre(pins, 0) - 25 == Approx(-s.height).margin(1e-10));
  }
}

TEST_CASE("a sharp edge gives the profile, of every kind") {
  Random random(1);
  const Straight taper = random.taper();
  const CutterCurve curve(taper, mm(0), at(0), at(1200));
  CHECK(curve.straight());
  CHECK(curve.path() == nullptr);
  CHECK(curve.rests(mm(0)).empty());
  for (double x = 0; x < 1200; x += 13.7) CHECK(curve.height(at(x)) == taper.height(at(x)));
  const Cubics smooth = random.smooth(5, 50, 100, 0.01);
  const CutterCurve over(smooth, mm(0), at(0), at(300));
  for (double x = 0; x < 300; x += 13.7) CHECK(over.height(at(x)) == smooth.height(at(x)));
}

TEST_CASE("a radius below nothing or a backward interval is a caller's mistake") {
  const Straight line({0, 100}, {0, 1});
  CHECK_THROWS_AS(CutterCurve(line, mm(-1), at(0), at(1)), std::logic_error);
  CHECK_THROWS_AS(CutterCurve(line, mm(1), at(1), at(0)), std::logic_error);
  CHECK_THROWS_AS(CutterPath(line, mm(0), at(0), at(1)), std::logic_error);
  CHECK_THROWS_AS(CurvedContacts(line, mm(0)), std::logic_error);
}

TEST_CASE("a longer and a mirrored profile give the same cutter") {
  Random random(4);
  const Straight h = random.straight(30, 1, 30, 0.2);
  std::vector<double> back_us, back_hs;
  for (std::size_t i = h.us().size(); i-- > 0;) {
    back_us.push_back(-h.us()[i]);
    back_hs.push_back(h.hs()[i]);
  }
  const Straight back(back_us, back_hs, -h.slope(at(1e6), Side::towards_butt),
                      -h.slope(at(-1e6), Side::towards_tip));
  const CutterCurve curve(h, kR, at(-50), at(500)), mirrored(back, kR, at(-500), at(50));
  for (double x = -50; x <= 500; x += 0.93) {
    CHECK(mm(curve.height(at(x))) == Approx(mm(mirrored.height(at(-x)))).margin(1e-11));
  }
  SECTION("beyond the interval too") {
    CHECK(mm(curve.height(at(-80))) == Approx(offset_by_looking(h, 25, -80)).margin(1e-9));
  }
  SECTION("an interval of one place has its offset") {
    const CutterCurve one(h, kR, at(77), at(77));
    CHECK(mm(one.height(at(77))) == Approx(mm(curve.height(at(77)))).margin(1e-12));
  }
}
