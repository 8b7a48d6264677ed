#include "inspection/angles.h"

#include <cmath>
#include <numbers>
#include <random>

#include "catch.h"

namespace stripwright::inspection {
namespace {

using section::StripAngles;
using section::StripHeights;

Length mm(double count) { return Length::millimetres(count); }
Angle deg(double count) { return Angle::degrees(count); }

/// A strip with its apex at the origin and its outer face up, laid out from angles alone: the flank
/// to B goes to the right, that to C to the left.
struct LaidOut {
  double bx, by, cx, cy;  ///< the outer corners
  StripHeights heights;
};

double from_line(double px, double py, double qx, double qy) {  // through the origin and q
  return std::fabs(px * qy - py * qx) / std::hypot(qx, qy);
}

LaidOut flat_strip(double a, double b_deg, double c_deg) {
  const double tan_b = std::tan(b_deg * std::numbers::pi / 180);
  const double tan_c = std::tan(c_deg * std::numbers::pi / 180);
  LaidOut s{a / tan_b, a, -a / tan_c, a, {}};
  s.heights = {mm(a), mm(from_line(s.bx, s.by, s.cx, s.cy)), mm(from_line(s.cx, s.cy, s.bx, s.by))};
  return s;
}

/// The face an arc of radius r with its crown at a, so its centre at a - r on the line upwards.
LaidOut round_strip(double a, double r, double b_deg, double c_deg) {
  const auto corner = [&](double angle_deg, double side) {
    const double t = (90 - angle_deg) * std::numbers::pi / 180;
    const double centre = a - r;
    const double flank =
        centre * std::cos(t) + std::sqrt(r * r - std::pow(centre * std::sin(t), 2));
    return std::pair{side * flank * std::sin(t), flank * std::cos(t)};
  };
  const auto [bx, by] = corner(b_deg, 1);
  const auto [cx, cy] = corner(c_deg, -1);
  LaidOut s{bx, by, cx, cy, {}};
  s.heights = {mm(a), mm(from_line(bx, by, cx, cy)), mm(from_line(cx, cy, bx, by))};
  return s;
}

MeasuredHeights measured(StripHeights const& heights, double u, double gauge = 0) {
  return {heights, {mm(u), mm(u), mm(u)}, mm(gauge)};
}

TEST_CASE(
    "triangles built with known angles give them back, flat, round, and with the apex knocked "
    "off") {
  std::mt19937 random(20250314);
  std::uniform_real_distribution<double> angle(57, 63);
  std::uniform_real_distribution<double> height(0.8, 5);
  for (int i = 0; i < 300; ++i) {
    const double b = angle(random), c = angle(random), a = height(random);
    const auto near = [&](std::optional<StripAngles> const& found) {
      REQUIRE(found);
      CHECK(std::fabs(found->b.in_degrees() - b) < 1e-9);
      CHECK(std::fabs(found->c.in_degrees() - c) < 1e-9);
      CHECK(std::fabs(found->apex.in_degrees() - (180 - b - c)) < 1e-9);
    };
    near(angles_of(flat_strip(a, b, c).heights, {}));
    near(angles_of(round_strip(a, 22, b, c).heights, {mm(22), {}}));
    auto knocked_off = flat_strip(a, b, c).heights;
    knocked_off.a -= mm(0.1);
    near(angles_of(knocked_off, {{}, mm(0.1)}));
  }
}

TEST_CASE("on a flat face each angle of a true strip is uncertain by √2 u/h") {
  // dA = (2/√3)((db + dc)/2 - da)/h, so u_A = (2/√3) √(1 + 1/4 + 1/4) u/h = √2 u/h.
  for (const double h : {0.9, 2.0, 5.0}) {
    const auto judged =
        judge_angles(measured(flat_strip(h, 60, 60).heights, 0.005), {}, deg(0.5), Decide::guarded);
    REQUIRE(judged);
    for (std::size_t i = 0; i < 3; ++i)
      CHECK(judged->uncertainties[i].in_radians() ==
            Approx(std::sqrt(2.0) * 0.005 / h).epsilon(1e-7));
  }
}

TEST_CASE("the uncertainty is what simulated readings scatter by, on the round face too") {
  std::mt19937 random(20250315);
  std::normal_distribution<double> error(0, 0.004);
  const double a = 2.4;
  for (const bool round : {false, true}) {
    const auto strip = round ? round_strip(a, 22, 60.4, 59.8) : flat_strip(a, 60.4, 59.8);
    const FaceMeasured face{round ? std::optional(mm(22)) : std::nullopt, {}};
    const auto judged =
        judge_angles(measured(strip.heights, 0.004), face, deg(0.5), Decide::guarded);
    REQUIRE(judged);
    constexpr int kRuns = 20'000;
    std::array<double, 3> squares{};
    for (int i = 0; i < kRuns; ++i) {
      const StripHeights read{strip.heights.a + mm(error(random)),
                              strip.heights.b + mm(error(random)),
                              strip.heights.c + mm(error(random))};
      const auto angles = angles_of(read, face);
      REQUIRE(angles);
      squares[0] += std::pow((angles->apex - judged->angles[0]).in_radians(), 2);
      squares[1] += std::pow((angles->b - judged->angles[1]).in_radians(), 2);
      squares[2] += std::pow((angles->c - judged->angles[2]).in_radians(), 2);
    }
    // The deviation of 20,000 readings is itself uncertain by 1/√(2n) = 0.5 %.
    for (std::size_t k = 0; k < 3; ++k)
      CHECK(judged->uncertainties[k].in_radians() ==
            Approx(std::sqrt(squares[k] / kRuns)).epsilon(0.02));
    if (round) CHECK(judged->uncertainties[1].in_radians() > 1.01 * std::sqrt(2.0) * 0.004 / a);
  }
}

TEST_CASE("angles get their verdicts") {
  const auto judge = [](double b, double c, double u) {
    return judge_angles(measured(flat_strip(4, b, c).heights, u), {}, deg(0.5), Decide::guarded)
        ->verdicts;
  };
  CHECK(judge(60, 60, 0.005) == std::array{Verdict::right, Verdict::right, Verdict::right});
  CHECK(judge(62, 60, 0.005) == std::array{Verdict::thin, Verdict::thick, Verdict::right});
  CHECK(judge(60, 60, 0.03) == std::array{Verdict::unsure, Verdict::unsure, Verdict::unsure});
}

TEST_CASE("planed as advised, both flanks stand at 60° and the strip is as high as told") {
  std::mt19937 random(20250316);
  std::uniform_real_distribution<double> angle(57, 63);
  for (int i = 0; i < 300; ++i) {
    const bool round = i % 2 == 1;
    const double b = angle(random), c = angle(random), a = 3;
    const auto strip = round ? round_strip(a, 22, b, c) : flat_strip(a, b, c);
    const auto advice =
        advice_on_angles(strip.heights, {round ? std::optional(mm(22)) : std::nullopt, {}});
    REQUIRE(advice);
    // Height c stands on the flank to B, height b on that to C. New flanks at 30° to the middle
    // line have the outward normals (± cos 30°, - sin 30°); measured along them, the old apex lies
    // outside by what comes off there, the old corner by what comes off at the edge.
    const double cos30 = std::sqrt(3.0) / 2, sin30 = 0.5;
    const double right = -advice->flank_c.at_apex.in_millimetres();
    const double left = -advice->flank_b.at_apex.in_millimetres();
    CHECK(strip.bx * cos30 - strip.by * sin30 - right ==
          Approx(advice->flank_c.at_edge.in_millimetres()).margin(1e-9));
    CHECK(-strip.cx * cos30 - strip.cy * sin30 - left ==
          Approx(advice->flank_b.at_edge.in_millimetres()).margin(1e-9));
    // They meet where x cos30 - y sin30 = right and - x cos30 - y sin30 = left.
    const double y = -(right + left) / (2 * sin30);
    CHECK(advice->height_after.in_millimetres() == Approx(a - y).margin(1e-9));
    // One end of each wedge is nothing, and nothing is added anywhere.
    for (auto const& wedge : {advice->flank_b, advice->flank_c}) {
      CHECK(std::min(wedge.at_apex, wedge.at_edge) == mm(0));
      CHECK(wedge.most() >= mm(0));
    }
    CHECK((advice->flank_c.at_apex > mm(0)) == (b > 60));
    CHECK((advice->flank_b.at_edge > mm(0)) == (c < 60));
  }
}

TEST_CASE("a wedge of one degree on a flank of 4 mm is 0.0698 mm thick") {
  // 4 sin 1° = 0.0698096; the schoolbook's 1 in 57.3. Height a of a strip with a flank of 4 mm at
  // 61°.
  const double a = 4 * std::sin(61 * std::numbers::pi / 180);
  const auto advice = advice_on_angles(flat_strip(a, 61, 60).heights, {});
  REQUIRE(advice);
  CHECK(advice->flank_c.at_apex.in_millimetres() == Approx(0.0698096).epsilon(1e-6));
  CHECK(advice->flank_c.at_edge == mm(0));
  CHECK(advice->flank_b.most().in_millimetres() < 1e-12);
  CHECK(advice->height_after.in_millimetres() == Approx(a - 0.0698096).epsilon(1e-6));
}

TEST_CASE("heights of no strip have no angles") {
  CHECK_FALSE(
      judge_angles(measured({mm(2), mm(2), mm(0.9)}, 0.005), {}, deg(0.5), Decide::guarded));
  CHECK_FALSE(advice_on_angles({mm(2), mm(2), mm(0.9)}, {}));
}

}  // namespace
}  // namespace stripwright::inspection
