#include "taper/derive.h"

#include <gsl/gsl_fit.h>

#include <cmath>
#include <random>

#include "catch.h"
#include "taper/taper_curve.h"

using namespace stripwright;

namespace {

constexpr Length in(double count) { return Length::inches(count); }
constexpr Station at(double inches) { return Station(in(inches)); }

Taper yarrow() {
  Taper taper;
  taper.name = "Yarrow";
  taper.points = {
      {at(0), in(0.068)}, {at(20), in(0.127)}, {at(45), in(0.2055)}, {at(90), in(0.318)}};
  taper.sections = {{"tip", at(0), at(45), 2}, {"butt", at(45), at(90), 1}};
  taper.ferrules = {{at(45), in(13.0 / 64)}};
  return taper;
}

DerivedTaper made(Change change) {
  INFO(change.fault);
  REQUIRE(change);
  return std::move(*change.value);
}

bool near(Length a, Length b) { return abs(a - b) < Length::millimetres(1e-9); }

std::vector<double> inches_at(Taper const& taper) {
  std::vector<double> out;
  for (auto const& point : taper.points)
    out.push_back(std::round(point.at.from_zero().in_inches() * 1e9) / 1e9);
  return out;
}

}  // namespace

TEST_CASE("scaled in length, all places go along and the flats stay") {
  const auto longer = made(scale_length(derived_from(yarrow()), 96.0 / 90)).taper;
  CHECK(near(longer.butt_end().from_zero(), in(96)));
  CHECK(near(longer.sections[0].to.from_zero(), in(48)));
  CHECK(near(longer.ferrules[0].at.from_zero(), in(48)));
  CHECK(longer.points[2].flats == in(0.2055));
  CHECK(longer.ferrules[0].bore == in(13.0 / 64));
  CHECK(!scale_length(derived_from(yarrow()), 0));
  CHECK(!scale_length(derived_from(yarrow()), -1));
  CHECK(!scale_length(derived_from(yarrow()), std::nan("")));
}

TEST_CASE("flats are scaled and added to; a bore is a bought ferrule's and stays") {
  const auto stronger = made(scale_flats(derived_from(yarrow()), 1.1)).taper;
  CHECK(near(stronger.points[0].flats, in(0.0748)));
  CHECK(stronger.ferrules[0].bore == in(13.0 / 64));
  const auto thinner = made(add_flats(derived_from(yarrow()), in(-0.002))).taper;
  CHECK(near(thinner.points[3].flats, in(0.316)));
  const auto nothing = add_flats(derived_from(yarrow()), in(-0.068));
  CHECK(!nothing);
  CHECK(nothing.fault.find("nothing is left at station 0 in: 0.068 in") == 0);
}

TEST_CASE("bare and varnished are two layers of varnish apart, whatever the taper") {
  const auto over = made(on_basis(derived_from(yarrow()), Measured::varnished, in(0.0015)));
  CHECK(over.taper.measured == Measured::varnished);
  CHECK(near(over.taper.points[0].flats, in(0.071)));
  CHECK(!on_basis(over, Measured::varnished, in(0.0015)));
  const auto back = made(on_basis(over, Measured::bare, in(0.0015))).taper;
  CHECK(near(back.points[0].flats, in(0.068)));
}

TEST_CASE("other stations lie on the taper's own curve, and both ends stay") {
  for (const auto between : {Between::linear, Between::smooth}) {
    auto taper = yarrow();
    taper.between = between;
    const TaperCurve curve(taper);
    const auto every = made(at_every(derived_from(taper), in(7)));
    CHECK(inches_at(every.taper) ==
          std::vector<double>{0, 7, 14, 21, 28, 35, 42, 49, 56, 63, 70, 77, 84, 90});
    for (auto const& point : every.taper.points) CHECK(point.flats == curve.flats(point.at));
    CHECK(every.from.points.front() == Origins::Index(0));
    CHECK(!every.from.points[1]);
    CHECK(every.from.points.back() == Origins::Index(3));
  }
  // Linear interpolation by hand: 0.068 + 7/20 (0.127 - 0.068).
  CHECK(near(made(at_every(derived_from(yarrow()), in(7))).taper.points[1].flats, in(0.08865)));
  auto moved = yarrow();
  for (auto& point : moved.points) point.at = point.at + in(2.5);
  // Counted from 0, not from the tip end.
  CHECK(inches_at(made(at_every(derived_from(moved), in(30))).taper) ==
        std::vector<double>{2.5, 30, 60, 90, 92.5});
  CHECK(!at_every(derived_from(yarrow()), in(0)));
  CHECK(!at_every(derived_from(yarrow()), in(-1)));
  CHECK(!at_every(derived_from(yarrow()), Length::millimetres(1e-3)));
  const auto some = made(at_stations(derived_from(yarrow()), {at(95), at(45), at(10), at(-1)}));
  CHECK(inches_at(some.taper) == std::vector<double>{0, 10, 45, 90});
  REQUIRE(some.remarks.size() == 1);
  CHECK(some.remarks[0].find("2 stations beyond") == 0);
}

TEST_CASE("a tenth of a millimetre, a thousand times: the last station is where it should be") {
  Taper taper;
  taper.points = {{Station(), in(0.1)}, {Station(Length::millimetres(100)), in(0.2)}};
  taper.sections = {{"rod", taper.tip_end(), taper.butt_end(), 1}};
  const auto fine = made(at_every(derived_from(taper), Length::millimetres(0.1))).taper;
  REQUIRE(fine.points.size() == 1001);
  CHECK(fine.points[777].at.from_zero().in_millimetres() == Approx(77.7).epsilon(1e-14));
}

TEST_CASE("a part of a rod: ends, sections and ferrules are cut with it") {
  const auto part = made(cut(derived_from(yarrow()), at(10), at(60)));
  CHECK(inches_at(part.taper) == std::vector<double>{10, 20, 45, 60});
  CHECK(near(part.taper.points[0].flats, in(0.0975)));
  // 0.2055 + 15/45 (0.318 - 0.2055)
  CHECK(near(part.taper.points[3].flats, in(0.243)));
  REQUIRE(part.taper.sections.size() == 2);
  CHECK(part.taper.sections[0].from == at(10));
  CHECK(part.taper.sections[1].to == at(60));
  CHECK(part.taper.ferrules.size() == 1);
  const auto tip = made(cut(derived_from(yarrow()), at(0), at(40)));
  CHECK(tip.taper.sections.size() == 1);
  CHECK(tip.taper.ferrules.empty());
  CHECK(!cut(derived_from(yarrow()), at(40), at(40)));
  CHECK(!cut(derived_from(yarrow()), at(50), at(40)));
  CHECK(!cut(derived_from(yarrow()), at(0), at(91)));
  auto gap = yarrow();
  gap.sections.erase(gap.sections.begin());
  CHECK(!cut(derived_from(gap), at(0), at(40)));
}

TEST_CASE("what is cut apart and joined again is the same rod") {
  const auto tip = made(cut(derived_from(yarrow()), at(0), at(45)));
  const auto butt = made(cut(derived_from(yarrow()), at(45), at(90)));
  const auto whole = made(join(tip, butt.taper));
  CHECK(whole.remarks.empty());
  REQUIRE(whole.taper.points.size() == 4);
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(near(whole.taper.points[i].at.from_zero(), yarrow().points[i].at.from_zero()));
    CHECK(near(whole.taper.points[i].flats, yarrow().points[i].flats));
  }
  CHECK(whole.taper.sections.size() == 2);
  CHECK(whole.taper.ferrules.size() == 1);  // both parts have it
}

TEST_CASE("another rod's butt is moved to the joint; a step there is halved and told") {
  auto other = yarrow();
  other.points = {{at(50), in(0.2155)}, {at(80), in(0.3)}};
  other.sections = {{"grip", at(50), at(80), 1}};
  other.ferrules = {};
  const auto tip = made(cut(derived_from(yarrow()), at(0), at(45)));
  const auto whole = made(join(tip, other));
  CHECK(inches_at(whole.taper) == std::vector<double>{0, 20, 45, 75});
  CHECK(near(whole.taper.points[2].flats, in(0.2105)));
  REQUIRE(whole.remarks.size() == 1);
  CHECK(whole.remarks[0].find("0.2055 in across flats and the other 0.2155 in") !=
        std::string::npos);
  CHECK(near(whole.taper.sections[1].from.from_zero(), in(45)));
  CHECK(join(derived_from(yarrow()), yarrow()).fault.find("a section 'tip'") != std::string::npos);
  other.measured = Measured::varnished;
  CHECK(join(tip, other).fault.find("over varnish") != std::string::npos);
}

TEST_CASE("a blend lies between two tapers, by its share") {
  auto other = yarrow();
  for (auto& point : other.points) point.flats += in(0.01);
  other.points.erase(other.points.begin() + 1);
  const TaperCurve curve(other);
  const auto blended = made(blend(derived_from(yarrow()), other, 0.25)).taper;
  for (std::size_t i = 0; i < blended.points.size(); ++i) {
    const auto own = yarrow().points[i];
    CHECK(near(blended.points[i].flats, own.flats + 0.25 * (curve.flats(own.at) - own.flats)));
  }
  CHECK(made(blend(derived_from(yarrow()), other, 0)).taper.points[1].flats == in(0.127));
  CHECK(!blend(derived_from(yarrow()), other, 1.01));
  CHECK(!blend(derived_from(yarrow()), other, -0.01));
  other.points.pop_back();
  CHECK(blend(derived_from(yarrow()), other, 0.5).fault.find("does not reach over") !=
        std::string::npos);
}

TEST_CASE("smoothed figures are those of GSL's weighted straight line (gsl_fit_wlinear)") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> noise(-0.002, 0.002);
  std::uniform_real_distribution<double> step(2, 8);
  Taper taper;
  double x = -3;
  for (int i = 0; i < 40; ++i) {
    taper.points.push_back({at(x), in(0.07 + 0.003 * x + noise(random) + 0.02)});
    x += step(random);
  }
  const Length reach = in(17);
  const auto smoothed = made(smooth(derived_from(taper), reach)).taper;
  for (std::size_t i = 0; i < taper.points.size(); ++i) {
    std::vector<double> d, w, y;
    for (auto const& point : taper.points) {
      const double distance = (point.at - taper.points[i].at) / reach;
      if (std::abs(distance) >= 1) continue;
      d.push_back(distance);
      w.push_back(1 - std::abs(distance));
      y.push_back(point.flats.in_inches());
    }
    double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, chi = 0;
    gsl_fit_wlinear(d.data(), 1, w.data(), 1, y.data(), 1, d.size(), &c0, &c1, &v00, &v01, &v11,
                    &chi);
    CHECK(smoothed.points[i].flats.in_inches() == Approx(c0).epsilon(1e-12));
  }
}

TEST_CASE("a straight taper is smooth already; a station out of reach of others stays") {
  Taper taper;
  for (int i = 0; i < 9; ++i) taper.points.push_back({at(5.0 * i), in(0.07 + 0.015 * i)});
  for (auto const& point : made(smooth(derived_from(taper), in(22))).taper.points)
    CHECK(near(point.flats, in(0.07 + 0.003 * point.at.from_zero().in_inches())));
  taper = yarrow();
  const auto same = made(smooth(derived_from(taper), in(5))).taper;
  for (std::size_t i = 0; i < 4; ++i) CHECK(same.points[i].flats == taper.points[i].flats);
  CHECK(!smooth(derived_from(taper), in(0)));
}

TEST_CASE("sections get other names, each once") {
  const auto named = made(rename_section(derived_from(yarrow()), "tip", "top")).taper;
  CHECK(named.sections[0].name == "top");
  CHECK(!rename_section(derived_from(yarrow()), "mid", "x"));
  CHECK(!rename_section(derived_from(yarrow()), "tip", "Butt"));
  CHECK(!rename_section(derived_from(yarrow()), "tip", "a/b"));
}
