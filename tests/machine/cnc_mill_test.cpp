// A cutter moved by a program: where it goes, and when it does not.
#include "machine/cnc_mill.h"

#include <algorithm>
#include <cmath>

#include "catch.h"
#include "jobs.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

CncMill router(double radius) {
  CncMill mill;
  mill.cutter_radius = mm(radius);
  mill.feed_per_minute = mm(1000);
  mill.spindle_rpm = 9000;
  mill.clear_height = mm(30);
  return mill;
}

CncSettings set(CncMill const& mill, Job const& job, Problems& problems, double rough = 8) {
  return set_cnc_mill(mill, job, jobs::stations_of(*job.strip), mm(rough), problems);
}

double x_of(CutterPoint const& point) { return mm(point.machine_at.from_zero()); }

/// True if some problem says so, wherever its text is broken into lines.
bool told(Problems const& problems, std::string_view words) {
  return std::any_of(problems.list().begin(), problems.list().end(), [&](Problem const& problem) {
    return problem.what.find(words) != std::string::npos;
  });
}

}  // namespace

// Over a line of slope m the centre of a circle of radius R runs R sqrt(1+m²) above it (parallel
// curve): R = 25, m = 0.005: 3.124980469e-4 mm over R.
TEST_CASE("over a straight strip the cutter goes R (sqrt(1+m²) - 1) above it, from end to end") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine());
  Problems problems;
  const auto settings = set(router(25), job, problems);
  CHECK(problems.empty());
  REQUIRE(settings.passes.size() == 1);
  auto const& way = settings.passes[0].way;
  for (auto const& point : way) {
    if (!point.on_strip) continue;
    CHECK(mm(point.offset) ==
          Approx(1 + 0.005 * mm(point.taper_at) + 3.124980469e-4).margin(1e-12));
    CHECK(x_of(point) == Approx(100 + 30 + mm(point.taper_at)));
  }
  // Strip from 100 to 550; down and up more than R beyond.
  CHECK(x_of(way.front()) == Approx(100 - 27));
  CHECK(x_of(way.back()) == Approx(550 + 27));
  CHECK(settings.can_run);
  CHECK(settings.rests.empty());
}

TEST_CASE("on strips of all kinds lines between points stay within 0.0001 mm, rounding and all") {
  Random random(91);
  for (int run = 0; run < 6; ++run) {
    const auto strip = jobs::random_strip(random, run % 2 ? Between::smooth : Between::linear);
    const auto on = jobs::machine(run % 3 ? Feeds::tip_first : Feeds::butt_first);
    const double radius = run == 5 ? 0 : random.between(5, 60);
    const auto job =
        jobs::job(strip, on, PassesByCut{{RoughStart::Kind::height, mm(6)}, mm(1), mm(0.2)});
    Problems problems;
    const auto settings = set(router(radius), job, problems, 6);
    for (auto const& pass : settings.passes) {
      auto const& way = pass.way;
      const auto rounded = [](double value) { return std::round(value * 1e5) / 1e5; };
      for (std::size_t i = 0; i + 1 < way.size(); ++i) {
        REQUIRE(way[i].machine_at < way[i + 1].machine_at);
        CHECK(mm(way[i].strip_milled) == mm(job.strip->height(way[i].taper_at)));
        if (i % 3 != 0) continue;
        const double x = (x_of(way[i]) + x_of(way[i + 1])) / 2;
        const double z = (rounded(mm(way[i].offset)) + rounded(mm(way[i + 1].offset))) / 2;
        const double exact =
            radius == 0
                ? mm(pass.pass.strip->height(job.placement.station_at(MachinePosition(mm(x)))))
                : offset_by_looking(*pass.pass.strip, radius,
                                    mm(job.placement.station_at(MachinePosition(mm(x)))), 25);
        INFO("run " << run << " pass " << pass.pass.number << " x " << x);
        CHECK(std::fabs(z - exact) < 1e-4);
      }
    }
  }
}

TEST_CASE("the way has all stations, the ends of section and strip, and they are marked") {
  const auto strip = jobs::strip({0, 130, 260, 400}, {1, 1.8, 2.3, 3});
  const auto job = jobs::job(strip, jobs::machine());
  Problems problems;
  const auto settings = set(router(25), job, problems);
  std::vector<double> marked;
  for (auto const& point : settings.passes[0].way)
    if (point.at_station) marked.push_back(mm(point.taper_at));
  CHECK(marked == std::vector<double>{-30, 0, 130, 260, 400, 420});
  for (auto const& point : settings.passes[0].way)
    CHECK(point.on_strip == (mm(point.taper_at) >= -30 && mm(point.taper_at) <= 420));
}

TEST_CASE("each pass begins and ends at clear height beyond the strip, and goes down only there") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine(),
                             PassesByCut{{RoughStart::Kind::height, mm(6)}, mm(1), mm(0.2)});
  Problems problems;
  const auto settings = set(router(25), job, problems, 6);
  REQUIRE(settings.passes.size() == 6);  // 5.15 = 0.2 + 4.95: five more of at most 1
  for (auto const& pass : settings.passes) {
    const auto moves = moves_of(pass, mm(30));
    CHECK_FALSE(moves.front().at_feed);
    CHECK(mm(moves.front().to.z) == 30);
    CHECK_FALSE(moves.back().at_feed);
    CHECK(mm(moves.back().to.z) == 30);
    CHECK(moves[1].at_feed);
    CHECK(moves[1].to.x == moves[0].to.x);
    CHECK(mm(moves[1].to.x.from_zero()) <= 100 - 25);
    CHECK(mm(moves.back().to.x.from_zero()) >= 550 + 25);
    for (std::size_t i = 1; i + 1 < moves.size(); ++i) CHECK(moves[i].at_feed);
  }
}

TEST_CASE("travel and time of a level strip are those of a rectangle") {
  const auto strip = jobs::strip({0, 400}, {2, 2});
  const auto job = jobs::job(strip, jobs::machine(), PassesByStage{{mm(1), mm(0)}});
  Problems problems;
  const auto travel = set(router(25), job, problems).travel;
  // Twice along 450 + 2·27; down from 30 to 3 and to 2; up likewise, and back once.
  CHECK(mm(travel.at_feed) == Approx(2 * 504 + 27 + 28));
  CHECK(mm(travel.fast) == Approx(504 + 27 + 28));
  CHECK(travel.minutes_at_feed == Approx((2 * 504 + 55) / 1000.0));
}

// A valley of slopes ±m keeps R (sqrt(1+m²) - 1) at its bottom: R = 25, m = 0.02: 0.0049995001 mm.
TEST_CASE("what the cutter leaves in a hollow is told, and unmet beyond the tolerance") {
  const auto strip = jobs::strip({0, 200, 400}, {6, 2, 6});
  auto job = jobs::job(strip, jobs::machine());
  Problems problems;
  const auto settings = set(router(25), job, problems);
  REQUIRE(settings.rests.size() == 1);
  CHECK(mm(settings.rests[0].at) == Approx(200));
  CHECK(mm(settings.rests[0].size) == Approx(0.0049995001).margin(1e-9));
  CHECK(problems.empty());
  job.tolerance.over = mm(0.004);
  set(router(25), job, problems);
  CHECK(problems.any_unmet());
  CHECK(told(problems, "at station 200 mm"));
  CHECK(told(problems, "0.005 mm"));
}

TEST_CASE(
    "it is the last pass whose rests are told, not one that has not come down to the hollow") {
  // The hollow at 300 is still under the level rough strip when the first pass is done.
  const auto strip = jobs::strip({0, 100, 200, 300, 400}, {4, 2, 6, 4, 6});
  const auto job = jobs::job(strip, jobs::machine(),
                             PassesByCut{{RoughStart::Kind::height, mm(7)}, mm(1), mm(0.2)});
  Problems problems;
  const auto settings = set(router(25), job, problems);
  REQUIRE(settings.passes.size() > 3);
  REQUIRE(settings.rests.size() == 2);
  CHECK(mm(settings.rests[0].at) == Approx(100));
  CHECK(mm(settings.rests[1].at) == Approx(300));
}

TEST_CASE("limits that the cutter would leave, and a clear height that is none, make no program") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine());
  struct Case {
    const char* what;
    std::function<void(CncMill&)> change;
    bool runs;
  };
  // x from 73 to 577; z from the extension's end, 1 - 57·0.005 + 0.0003, to 30.
  for (auto const& c : std::vector<Case>{
           {"x wide enough",
            [](CncMill& m) {
              m.limits.x = {mm(73), mm(577)};
            },
            true},
           {"x begins too late",
            [](CncMill& m) {
              m.limits.x = {mm(73.01), mm(600)};
            },
            false},
           {"x ends too soon",
            [](CncMill& m) {
              m.limits.x = {mm(0), mm(576.99)};
            },
            false},
           {"z wide enough",
            [](CncMill& m) {
              m.limits.z = {mm(0.71), mm(30)};
            },
            true},
           {"z not low enough",
            [](CncMill& m) {
              m.limits.z = {mm(0.72), mm(30)};
            },
            false},
           {"z not high enough",
            [](CncMill& m) {
              m.limits.z = {mm(0), mm(29)};
            },
            false},
           {"clear height at the rough strip", [](CncMill& m) { m.clear_height = mm(8); }, false},
           {"clear height above it", [](CncMill& m) { m.clear_height = mm(8.1); }, true},
           {"feed above the limit", [](CncMill& m) { m.limits.feed_per_minute = mm(999); }, false},
           {"speed above the limit", [](CncMill& m) { m.limits.spindle_rpm = 8999; }, false},
           {"feed of nothing", [](CncMill& m) { m.feed_per_minute = mm(0.0004); }, false},
           {"speed of nothing", [](CncMill& m) { m.spindle_rpm = 0.4; }, false}}) {
    auto mill = router(25);
    c.change(mill);
    Problems problems;
    const auto settings = set(mill, job, problems);
    INFO(c.what << "\n" << problems.text());
    CHECK(settings.can_run == c.runs);
    CHECK(problems.any_unmet() != c.runs);
    CHECK(told(problems, "no program is written") != c.runs);
    // The tables are there all the same.
    CHECK(settings.passes[0].way.size() >= 4);
  }
}
