// A pattern mill as a whole: pattern, lifts, drawing.
#include "machine/pattern_mill.h"

#include <cmath>

#include "catch.h"
#include "jobs.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

PatternMill copier(double radius, double follower, double ratio, double base) {
  return {mm(radius), mm(follower), ratio, mm(base), mm(0.005)};
}

PatternSettings set(PatternMill const& mill, Job const& job, Problems& problems, double rough = 8) {
  return set_pattern_mill(mill, job, jobs::stations_of(*job.strip), mm(rough), problems);
}

double drawn_at(PatternSettings const& settings, double x) {
  auto const& points = settings.outline;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const double a = mm(points[i].x.from_zero()), b = mm(points[i + 1].x.from_zero());
    if (x < a || x > b) continue;
    return mm(points[i].height) + (x - a) / (b - a) * mm(points[i + 1].height - points[i].height);
  }
  FAIL("nothing drawn at " << x);
  return 0;
}

}  // namespace

TEST_CASE("1 to 1 with a follower like the cutter the pattern is the strip, in table and drawing") {
  // Ever less steep: no hollow that the cutter does not reach.
  const auto strip = jobs::strip({0, 100, 200, 300, 400}, {1, 1.8, 2.5, 3.0, 3.3});
  const auto job = jobs::job(strip, jobs::machine());
  Problems problems;
  const auto settings = set(copier(38, 38, 1, 12), job, problems);
  CHECK(problems.empty());
  for (auto const& point : settings.passes[0].points)
    CHECK(mm(point.pattern) == Approx(12 + mm(point.cutter.strip_milled)).margin(1e-9));
  for (double x = 100; x <= 550; x += 1.7)
    CHECK(drawn_at(settings, x) ==
          Approx(12 + mm(strip->height(at(x - 130)))).margin(0.005 + 1e-9));
  CHECK(settings.unreached.empty());
}

TEST_CASE("patterns of random strips: points and drawing lie within their tolerances") {
  Random random(101);
  for (int run = 0; run < 8; ++run) {
    const auto strip = jobs::random_strip(random, run % 2 ? Between::smooth : Between::linear);
    const auto on = jobs::machine(run % 3 ? Feeds::tip_first : Feeds::butt_first);
    const auto job = jobs::job(strip, on);
    const double radius = random.between(10, 40), follower = random.between(2, 15);
    const double ratio = (run % 4 == 0 ? -1 : 1) * random.between(0.5, 2.5);
    Problems problems;
    const auto settings = set(copier(radius, follower, ratio, 10), job, problems);
    const CutterCurve cutter(*strip, mm(radius), at(-200), at(700));
    const PatternCurve exact(cutter, mm(follower), ratio, mm(10), at(-100), at(600));
    const auto station = [&](double x) { return job.placement.station_at(MachinePosition(mm(x))); };
    auto const& points = settings.passes[0].points;
    INFO("run " << run);
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      auto const &a = points[i], &b = points[i + 1];
      const double x1 = mm(a.cutter.machine_at.from_zero()),
                   x2 = mm(b.cutter.machine_at.from_zero());
      REQUIRE(x1 < x2);
      for (const double share : {0.0, 0.3, 0.5, 0.8}) {
        const auto at_share = [&](Length from, Length to) {
          return mm(from) + share * mm(to - from);
        };
        const Station s = station(x1 + share * (x2 - x1));
        CHECK(std::fabs(at_share(a.pattern, b.pattern) - mm(exact.height(s))) < 9e-5);
        CHECK(std::fabs(at_share(a.cutter.offset, b.cutter.offset) - mm(cutter.height(s))) < 9e-5);
      }
    }
    const double from = mm(settings.outline.front().x.from_zero());
    const double to = mm(settings.outline.back().x.from_zero());
    for (double x = from; x <= to; x += 2.3)
      CHECK(std::fabs(drawn_at(settings, x) - mm(exact.height(station(x)))) < 0.0051);
    // Few points do: neither table nor drawing has one too many by far.
    CHECK(settings.outline.size() < 120);
  }
}

TEST_CASE("the pattern carries the follower wherever the cutter touches the rough strip") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine());
  Problems problems;
  // Rough 8 mm, the strip's lowest 1 - 30·0.005 = 0.85: sqrt(38² - (38 - 7.15)²) = 22.18 mm before
  // its ends; a follower of 10 on a slope of 2·0.005 touches 10·0.01 = 0.1 mm aside.
  const auto settings = set(copier(38, 10, 2, 12), job, problems);
  const double reach = std::sqrt(38.0 * 38.0 - std::pow(38 - 7.15, 2));
  CHECK(mm(settings.outline.front().x.from_zero()) == Approx(100 - reach - 0.1 - 2).margin(1e-3));
  CHECK(mm(settings.outline.back().x.from_zero()) == Approx(550 + reach + 0.1 + 2).margin(1e-3));
  CHECK(mm(settings.run) == Approx(450 + 2 * reach).margin(1e-3));
}

TEST_CASE("in passes the cutter is lifted by the same everywhere over one pattern") {
  const auto strip = jobs::strip({0, 130, 400}, {1, 2, 3});
  const auto on = jobs::machine();
  const auto plain = jobs::job(strip, on);
  const auto passes =
      jobs::job(strip, on, PassesByCut{{RoughStart::Kind::height, mm(5)}, mm(1), mm(0.3)});
  Problems problems;
  const auto one = set(copier(38, 10, 2, 12), plain, problems);
  const auto many = set(copier(38, 10, 2, 12), passes, problems);
  REQUIRE(many.passes.size() == passes.passes.size());
  REQUIRE(many.passes.size() > 3);
  for (auto const& pass : many.passes) {
    REQUIRE(pass.points.size() == one.passes[0].points.size());
    for (std::size_t i = 0; i < pass.points.size(); ++i) {
      auto const &point = pass.points[i], &last = one.passes[0].points[i];
      CHECK(point.pattern == last.pattern);
      CHECK(mm(point.cutter.offset - last.cutter.offset) ==
            Approx(mm(pass.pass.left)).margin(1e-12));
      CHECK(point.cutter.strip_milled == strip->height(point.cutter.taper_at));
    }
  }
  CHECK(many.passes.back().lift == Length{});
}

// Over an upright corner the offset is an arc of R, k times as high of radius R/k: a follower
// larger than that stays low. How low follows from the definition (see pattern_test.cpp).
TEST_CASE("where the follower is too large is told, and unmet beyond the tolerance") {
  const auto strip = jobs::strip({0, 200, 400}, {2, 12, 2});
  auto job = jobs::job(strip, jobs::machine());
  job.tolerance = {mm(0.5), mm(0.5)};
  Problems problems;
  const auto mill = copier(30, 60, 2, 12);
  const auto settings = set(mill, job, problems, 14);
  REQUIRE(settings.unreached.size() == 1);
  CHECK(mm(settings.unreached[0].at) == Approx(200).margin(1e-3));
  CHECK(problems.empty());
  const double thin = mm(settings.unreached[0].at_cutter);
  job.tolerance.under = mm(thin - 0.001);
  set(mill, job, problems, 14);
  CHECK(problems.any_unmet());
  CHECK(problems.text().find("at station 200 mm") != std::string::npos);
  SECTION("a smaller one is not") {
    CHECK(set(copier(30, 14, 2, 12), job, problems, 14).unreached.empty());
  }
}

// With slopes ±m, so small that their squares count alone, the follower under the ridge touches at
// ±r k m, where the pattern would have to be k (r k - R) m²/2 lower than it can be: the cutter
// stands (r k - R) m²/2 too low. By hand.
TEST_CASE(
    "what the follower lacks is told from a ten-thousandth of a millimetre at the cutter on") {
  const double radius = 30, follower = 60;
  for (const double ratio : {2.0, -2.0, 0.75}) {
    for (const double lacks : {0.00006, 0.00015}) {
      const double m = std::sqrt(2 * lacks / (follower * std::fabs(ratio) - radius));
      const auto job = jobs::job(jobs::strip({0, 200, 400}, {2, 2 + 200 * m, 2}), jobs::machine());
      Problems problems;
      const auto told = set(copier(radius, follower, ratio, 12), job, problems).unreached;
      INFO("ratio " << ratio << ", lacks " << lacks);
      REQUIRE(told.size() == (lacks < 0.0001 ? 0 : 1));
      if (!told.empty()) CHECK(mm(told[0].at_cutter) == Approx(lacks).epsilon(1e-3));
    }
  }
}

TEST_CASE("an outline tolerance that no knife needs, or that no strip bears, is told") {
  const auto job = jobs::job(jobs::strip({0, 400}, {1, 3}), jobs::machine());
  auto mill = copier(38, 10, 2, 12);
  mill.outline_tolerance = mm(0.041);  // half of it at the cutter: over 0.02
  Problems coarse;
  set(mill, job, coarse);
  CHECK(coarse.text().find("outline_tolerance") != std::string::npos);
  CHECK_FALSE(coarse.any_unmet());
  mill.outline_tolerance = mm(0.00001);
  Problems fine;
  set(mill, job, fine);
  CHECK(fine.text().find("outline_tolerance") != std::string::npos);
}
