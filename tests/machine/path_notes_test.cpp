#include "machine/path_notes.h"

#include <stdexcept>

#include "catch.h"
#include "jobs.h"
#include "machine/cnc_program.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

/// A section from 0 to 400 mm with these settings.
SectionSetup setup_with(Settings settings) {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine());
  return {strip->section(), strip, job.placement, {}, {}, std::move(settings)};
}

std::string said(Settings settings) {
  std::string out;
  for (auto const& note : path_notes(setup_with(std::move(settings)), Unit::millimetre))
    out += note + '\n';
  return out;
}

bool says(Settings settings, std::string const& what) {
  return said(std::move(settings)).find(what) != std::string::npos;
}

PatternSettings pattern(std::size_t passes) {
  PatternSettings out;
  out.passes.resize(passes);
  out.run = mm(480);
  return out;
}

}  // namespace

TEST_CASE("of one pass over a pattern nothing is said of others") {
  CHECK_FALSE(says(pattern(1), "All passes"));
  CHECK(says(pattern(1), "The slide goes 480 mm along the pattern in a pass.\n"));
  CHECK(says(pattern(2), "All passes go over the one pattern"));
  CHECK(says(pattern(2), "in a pass, 960 mm in all and as far back."));
  CHECK(says(pattern(3), "All passes go over the one pattern"));
  CHECK(says(pattern(3), "in a pass, 1440 mm in all and as far back."));
}

TEST_CASE("of what the cutter leaves or the follower misses the most in the section is said") {
  CHECK(says(pattern(1), "The cutter reaches all of the section"));
  CHECK(says(pattern(1), "The follower reaches all of its pattern."));
  auto some = pattern(1);
  some.rests = {{at(-5), mm(0.5), at(-5)},
                {at(120), mm(0.02), at(120)},
                {at(150), mm(0.03), at(150)},
                {at(300), mm(0.01), at(300)},
                {at(400.1), mm(0.5), at(400.1)}};
  CHECK(says(some, "at most 0.030"));
  CHECK(says(some, "at station 150 mm (3 places in all)"));
  some.rests = {{at(0), mm(0.02), at(0)}, {at(-0.1), mm(0.02), at(0)}};
  CHECK(says(some, "at station 0 mm (1 place in all)"));
  some.rests = {{at(400), mm(0.02), at(400)}};
  CHECK(says(some, "at station 400 mm (1 place in all)"));
  some.unreached = {
      {at(100), mm(0.02), mm(0.04)}, {at(200), mm(0.03), mm(0.06)}, {at(500), mm(0.5), mm(1)}};
  CHECK(says(some, "thinner by at most 0.030"));
  CHECK(says(some, "at station 200 mm (2 places in all)"));
}

TEST_CASE("of a program it is said how far it goes, and for how long") {
  CncSettings settings;
  settings.passes.resize(1);
  settings.travel = {mm(1500), mm(700), 1.5};
  CHECK(says(settings, "One pass: 1500 mm of travel at the feed, 90 s; 700 mm more at"));
  settings.passes.resize(2);
  CHECK(says(settings, "2 passes: 1500 mm"));
}

TEST_CASE("how long a program runs is told in seconds, minutes or hours, never too short") {
  CHECK(minutes_text(0.001) == "1 s");
  CHECK(minutes_text(1.5) == "90 s");
  CHECK(minutes_text(1.99) == "120 s");
  CHECK(minutes_text(2) == "2 min");
  CHECK(minutes_text(2.01) == "3 min");
  CHECK(minutes_text(59) == "59 min");
  CHECK(minutes_text(59.1) == "1 h 0 min");
  CHECK(minutes_text(61) == "1 h 1 min");
  CHECK(minutes_text(150) == "2 h 30 min");
}

TEST_CASE("a program of what has none is a caller's mistake") {
  const auto program = [](Settings settings) {
    return cnc_program(setup_with(std::move(settings)), {}, {}, {}, Unit::millimetre);
  };
  CncSettings beyond_limits;
  beyond_limits.passes.resize(1);
  beyond_limits.can_run = false;
  CHECK_THROWS_AS(program(beyond_limits), std::logic_error);
  CHECK_THROWS_AS(program(pattern(1)), std::logic_error);
}
