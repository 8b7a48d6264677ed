// Yields against plain geometry: chords of a circle, triangles, and counting.

#include "culm/yield.h"

#include <cmath>
#include <numbers>
#include <random>

#include "catch.h"
#include "section/geos_outline.h"

namespace stripwright::culm {
namespace {

using section::Step;

constexpr Length mm(double value) { return Length::millimetres(value); }

std::shared_ptr<const section::StripProfile> profile(Allowances const& allowances) {
  Taper taper;
  taper.points = {{Station(mm(0)), mm(2)}, {Station(mm(1000)), mm(8)}};
  const RodSection section{"butt", Station(mm(500)), Station(mm(1000)), 1};
  return std::make_shared<const section::StripProfile>(
      std::make_shared<const TaperCurve>(taper), section,
      section::LedgerRules(Measured::bare, allowances));
}

Allowances round_culm(Length diameter, Length enamel) {
  Allowances out;
  out.enamel.thickness = enamel;
  out.enamel.off = EnamelOff::before_gluing;
  out.enamel.culm_diameter = diameter;
  return out;
}

TEST_CASE("the rough strip holds the thickest place of the strip, spare and all") {
  // No allowances: h = D/2, and D grows by 6 mm in 1000. At the spare's end, 1040, D is 8.24.
  const auto need = section_need(*profile({}), {mm(30), mm(40)}, {mm(0.8), mm(1.5)});
  CHECK(need.strips == 6);
  CHECK(need.strip_length.in_millimetres() == Approx(500 + 30 + 40));
  CHECK(need.strip_height.in_millimetres() == Approx(4.12));
  CHECK(need.strip_height_at.from_zero().in_millimetres() == Approx(1040));
  CHECK(need.rough_height.in_millimetres() == Approx(4.92));
  // An equilateral triangle 4.92 high is as wide as 4.92 / sin 60°.
  CHECK(need.split_width.in_millimetres() == Approx(4.92 / std::sin(std::numbers::pi / 3) + 1.5));
}

TEST_CASE("as many strips find room as go round the culm one beside the other") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> diameters(20, 90);
  std::uniform_real_distribution<double> widths(2, 15);
  for (int i = 0; i < 500; ++i) {
    const double d = diameters(random);
    const double w = widths(random);
    // Laid round one by one, each takes the angle w / (d/2), until the circle is full.
    std::size_t count = 0;
    for (double angle = w / (d / 2); angle <= 2 * std::numbers::pi; angle += w / (d / 2)) ++count;
    CHECK(most_strips(mm(d), mm(w)) == count);
  }
  CHECK(most_strips(mm(50), mm(std::numbers::pi * 50 / 12)) == 12);
  CHECK(most_strips(mm(20), mm(70)) == 0);
}

TEST_CASE("whole splits reach the counts that have no factor but two and three") {
  for (std::size_t most = 1; most <= 200; ++most) {
    const auto whole = [](std::size_t n) {
      while (n % 2 == 0) n /= 2;
      while (n % 3 == 0) n /= 3;
      return n == 1;
    };
    std::size_t best = most;
    while (!whole(best)) --best;
    const auto splits = largest_whole_splits(most);
    CAPTURE(most);
    CHECK(splits.strips == best);
    std::size_t product = 1;
    for (const int by : splits.order) product *= static_cast<std::size_t>(by);
    CHECK(product == best);
    for (std::size_t wanted = 1; wanted <= 30; ++wanted) {
      std::size_t enough = wanted;
      while (enough <= most && !whole(enough)) ++enough;
      const auto fewest = fewest_whole_splits(wanted, most);
      CHECK(fewest.has_value() == (enough <= most));
      if (fewest) CHECK(fewest->strips == enough);
    }
  }
}

TEST_CASE("a culm is halved first, then split into thirds while pieces are wide") {
  CHECK(largest_whole_splits(6).order == std::vector<int>{2, 3});
  CHECK(largest_whole_splits(12).order == std::vector<int>{2, 3, 2});
  CHECK(largest_whole_splits(18).order == std::vector<int>{2, 3, 3});
  CHECK(largest_whole_splits(16).order == std::vector<int>{2, 2, 2, 2});
  CHECK(largest_whole_splits(9).order == std::vector<int>{3, 3});
}

TEST_CASE("a wall thinner than the strip is high gives no section") {
  const auto strips = profile({});
  const auto need = section_need(*strips, {mm(30), mm(40)}, {mm(0.8), mm(1.5)});
  CHECK(yield_of(need, mm(50), mm(4.12), true).sections() > 0);
  CHECK_FALSE(yield_of(need, mm(50), mm(4.11), true).wall_carries);
  CHECK(yield_of(need, mm(50), mm(4.11), true).sections() == 0);
  CHECK(yield_of(need, mm(50), std::nullopt, false).sections() == 0);
}

TEST_CASE("the flat strip's power fibre is what a smaller triangle leaves of a larger") {
  for (const double h : {1.0, 2.5, 4.0})
    for (const double p : {0.0, 0.3, 0.9}) {
      const double whole = h * h / std::numbers::sqrt3;
      const double inner = (h - p) * (h - p) / std::numbers::sqrt3;
      CHECK(flat_power_fibre_share(mm(h), mm(p)) == Approx((whole - inner) / whole).margin(1e-12));
    }
  CHECK(flat_power_fibre_share(mm(2), mm(2)) == 1);
  CHECK(flat_power_fibre_share(mm(2), mm(3)) == 1);
}

TEST_CASE("the round culm's power fibre is what GEOS clips off the strip") {
  for (const double diameter : {30.0, 50.0, 80.0})
    for (const double depth : {0.8, 2.0, 3.5}) {
      const auto strips = profile(round_culm(mm(diameter), mm(0.1)));
      const std::vector<Station> stations = {Station(mm(500)), Station(mm(800)), Station(mm(1000))};
      for (auto const& here : cane_along(*strips, stations, mm(9), mm(depth))) {
        const Length h_w = strips->ledger(here.at)[Step::strip_at_milling];
        auto const& face = *strips->rules().round_face();
        const section::GeosOutline strip(section::strip_polygon(h_w));
        const section::GeosOutline inside(section::disc_polygon(
            mm(diameter / 2 - 0.1 - depth), section::centre_from_apex(face, h_w)));
        const double softer = strip.common_with(inside).area();
        REQUIRE(here.power_fibre_share.has_value());
        CHECK(*here.power_fibre_share == Approx(1 - softer / strip.area()).margin(1e-6));
        CHECK(here.wall_left->in_millimetres() == Approx(9 - here.strip_milled.in_millimetres()));
        // The crown: the arc's height over its chord, which is as wide as the strip's face.
        const double r = diameter / 2 - 0.1;
        const double half = h_w.in_millimetres() / std::numbers::sqrt3;
        CHECK(here.crown.in_millimetres() == Approx(0.1 + r - std::sqrt(r * r - half * half)));
      }
    }
}

TEST_CASE("a culm so large that its face is flat has the flat strip's share") {
  const auto strips = profile(round_culm(mm(199), mm(0)));
  const auto here = cane_along(*strips, {Station(mm(1000))}, std::nullopt, mm(1.2)).front();
  const Length h = strips->ledger(here.at)[Step::strip_at_milling];
  CHECK(*here.power_fibre_share == Approx(flat_power_fibre_share(h, mm(1.2))).margin(0.01));
}

}  // namespace
}  // namespace stripwright::culm
