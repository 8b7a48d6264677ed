#include "catch.h"
#include "shop/read_shop.h"
#include "shop/shop_keys.h"

using namespace stripwright;

namespace {

struct Read {
  /// A shop with one machine, `bench`, whose keys are given in braces.
  explicit Read(std::string const& keys, std::string_view unit = "in", std::string const& more = "")
      : shop(read_shop(files::SourceText("lane.yaml",
                                         "format: stripwright-shop-1\nunit: " + std::string(unit) +
                                             "\nmachines:\n  bench: {" + keys + "}\n" + more),
                       problems)) {}

  Machine const& machine() const {
    INFO(problems.text());
    REQUIRE(shop);
    CHECK(problems.empty());
    REQUIRE(shop->machines.size() == 1);
    CHECK(shop->machines.front().name == "bench");
    return shop->machines.front();
  }

  std::vector<std::string> told() const {
    std::vector<std::string> out;
    for (auto const& each : problems.list()) out.push_back(each.what);
    return out;
  }

  Problems problems;
  std::optional<Shop> shop;
};

using Told = std::vector<std::string>;
constexpr Length in(double count) { return Length::inches(count); }
constexpr MachinePosition at(double inches) { return MachinePosition(Length::inches(inches)); }

const std::string kForm = "kind: planing-form, screws: {pitch: 5, count: 13}";
const std::string kMill = "kind: screw-mill, screws: {pitch: 5, count: 13}";
const std::string kCopier = "kind: pattern-mill, follower_radius: 0.75, cutter_radius: 1.5";
const std::string kRouter = "kind: cnc-mill, cutter_radius: 1.5, feed: 40, spindle_rpm: 9000";

}  // namespace

TEST_CASE("a planing form is read") {
  const Read read(
      "kind: planing-form, screws: {first: 1, pitch: 5, count: 13}, strip_at: 3.5, "
      "closed_depth: {thin_end: 0.02, thick_end: 0.09}, screw_lead: 1/20 in, "
      "depth_gauge: {tip: flat, diameter: 0.010}, fit: best, feeds: butt-first, for: [tip, mid], "
      "passes: {over: [0.030, 0.010, 0]}");
  auto const& machine = read.machine();
  CHECK(kind_word(machine) == "planing-form");
  CHECK(machine.strip_at == at(3.5));
  CHECK(machine.feeds == Feeds::butt_first);
  CHECK(serves(machine, "tip"));
  CHECK_FALSE(serves(machine, "butt"));
  auto const& form = std::get<PlaningForm>(machine.kind);
  REQUIRE(form.screws.size() == 13);
  CHECK(form.screws.front() == at(1));
  // Counted, not accumulated: exact to the last bit.
  for (std::size_t i = 0; i < form.screws.size(); ++i)
    CHECK(form.screws[i] == at(1 + 5.0 * static_cast<double>(i)));
  CHECK(form.closed_depth->at_first_screw == in(0.02));
  CHECK(form.closed_depth->at_last_screw == in(0.09));
  CHECK(*form.screw_lead == in(0.05));
  CHECK(form.depth_gauge->tip == GaugeTip::flat);
  CHECK(form.depth_gauge->diameter == in(0.010));
  CHECK(form.fit == Fit::best);
  auto const& stages = std::get<PassesByStage>(*machine.passes);
  CHECK(stages.over == std::vector{in(0.030), in(0.010), in(0)});
}

TEST_CASE("what a planing form leaves out") {
  const Read read(kForm);
  auto const& machine = read.machine();
  CHECK(machine.strip_at == at(0));
  CHECK(machine.feeds == Feeds::tip_first);
  CHECK(machine.serves.empty());
  CHECK(serves(machine, "anything"));
  CHECK_FALSE(machine.passes);
  auto const& form = std::get<PlaningForm>(machine.kind);
  CHECK(form.screws.front() == at(0));
  CHECK_FALSE(form.closed_depth);
  CHECK_FALSE(form.screw_lead);
  CHECK_FALSE(form.depth_gauge);
  CHECK(form.fit == Fit::at_screws);
}

TEST_CASE("screws are a row or a list") {
  const Read list("kind: planing-form, screws: [0, 5 in, 254 mm, 1 ft 3 in]");
  CHECK(std::get<PlaningForm>(list.machine().kind).screws ==
        std::vector{at(0), at(5), at(10), at(15)});
  const auto told = [](std::string const& screws) {
    return Read("kind: planing-form, screws: " + screws).told();
  };
  CHECK(told("[0, 5, 5.0, 10]") == Told{"screw 3 does not lie beyond screw 2"});
  CHECK(told("[0, 10, 5]") == Told{"screw 3 does not lie beyond screw 2"});
  CHECK(told("[0]") == Told{"fewer than two screws"});
  CHECK(told("[]") == Told{"fewer than two screws"});
  // Of a list with a mistake in it nothing else is said.
  CHECK(told("[0, x, -5]") == Told{"'x': no number where one is expected"});
  CHECK(told("5") == Told{"'screws' has a single value where a map or a list of lengths is "
                          "expected"});
  CHECK(
      told("{pitch: 0, count: 13}").front().ends_with("out of its range (above 0 to 39.3701 in)"));
  CHECK(told("{pitch: -5, count: 13}").size() == 1);
  CHECK(told("{pitch: 5, count: 1}").front().ends_with("out of its range (2 to 2000)"));
  CHECK(told("{pitch: 5, count: 1000000000}").size() == 1);
  CHECK(told("{pitch: 5, count: 2.5}") == Told{"'2.5': not a whole number"});
  CHECK(told("{first: 0}") ==
        Told{"the screws lacks the key 'pitch'", "the screws lacks the key 'count'"});
  std::string many = "[0";
  for (int i = 1; i <= 2000; ++i) many += ", " + std::to_string(i);
  CHECK(told(many + "]") == Told{"more than 2000 screws"});
  CHECK(Read("kind: planing-form").told() == Told{"a planing form lacks the key 'screws'"});
}

TEST_CASE("a depth gauge has a diameter unless its tip is sharp") {
  const auto gauge = [](std::string const& keys) {
    return std::get<PlaningForm>(Read(kForm + ", depth_gauge: " + keys).machine().kind).depth_gauge;
  };
  CHECK(gauge("{}")->tip == GaugeTip::sharp);
  CHECK(gauge("{tip: sharp}")->diameter == in(0));
  CHECK(gauge("{tip: ball, diameter: 3 mm}")->tip == GaugeTip::ball);
  CHECK(gauge("{tip: ball, diameter: 3 mm}")->diameter == Length::millimetres(3));
  const auto told = [](std::string const& keys) {
    return Read(kForm + ", depth_gauge: " + keys).told();
  };
  CHECK(told("{tip: flat}") == Told{"a gauge with a flat tip lacks its diameter"});
  CHECK(told("{tip: ball}") == Told{"a gauge with a ball tip lacks its diameter"});
  CHECK(told("{tip: sharp, diameter: 0.01}") == Told{"a sharp point has no diameter"});
  CHECK(told("{diameter: 0.01}") == Told{"a sharp point has no diameter"});
  CHECK(told("{tip: blunt}") == Told{"'tip' is 'blunt'"});
}

TEST_CASE("a screw mill is read") {
  const Read read(
      "kind: screw-mill, screws: {pitch: 5, count: 3}, strip_at: 3.5, bar: straight, "
      "cutter_radius: 1.5, fit: best, dial: {zero: 0.1, counts: down, dial_per_offset: 2, "
      "division: 0.0005, screw_lead: 0.025, range: [-1, 1]}, "
      "passes: {rough: {height: 0.25}, max_cut: 0.03, last_cut: 0.005}");
  auto const& machine = read.machine();
  CHECK(kind_word(machine) == "screw-mill");
  auto const& mill = std::get<ScrewMill>(machine.kind);
  CHECK(mill.screws == std::vector{at(0), at(5), at(10)});
  CHECK(mill.bar == Bar::straight);
  CHECK(mill.cutter_radius == in(1.5));
  CHECK(mill.fit == Fit::best);
  CHECK(mill.dial.zero == in(0.1));
  CHECK(mill.dial.sense == -1);
  CHECK(mill.dial.dial_per_offset == 2);
  CHECK(*mill.dial.division == in(0.0005));
  CHECK(*mill.dial.screw_lead == in(0.025));
  CHECK(mill.dial.range->lowest == in(-1));
  CHECK(mill.dial.range->highest == in(1));
  auto const& passes = std::get<PassesByCut>(*machine.passes);
  CHECK(passes.rough.kind == RoughStart::Kind::height);
  CHECK(passes.rough.amount == in(0.25));
  CHECK(passes.max_cut == in(0.03));
  CHECK(passes.last_cut == in(0.005));
}

TEST_CASE("what a screw mill leaves out") {
  const Read read(kMill + ", cutter_diameter: 3");
  auto const& mill = std::get<ScrewMill>(read.machine().kind);
  CHECK(mill.bar == Bar::spring);
  CHECK(mill.cutter_radius == in(1.5));
  CHECK(mill.dial.zero == in(0));
  CHECK(mill.dial.sense == 1);
  CHECK(mill.dial.dial_per_offset == 1);
  CHECK_FALSE(mill.dial.division);
  CHECK_FALSE(mill.dial.screw_lead);
  CHECK_FALSE(mill.dial.range);
  CHECK(mill.fit == Fit::at_screws);
}

TEST_CASE("a cutter has a radius or a diameter, one of the two") {
  for (std::string const& keys : {kMill, std::string("kind: pattern-mill, follower_radius: 0"),
                                  std::string("kind: cnc-mill, feed: 40, spindle_rpm: 9000")}) {
    CHECK(Read(keys + ", cutter_radius: 0").shop);
    CHECK(Read(keys + ", cutter_diameter: 3").shop);
    const Read both(keys + ", cutter_radius: 1.5, cutter_diameter: 3");
    CHECK(both.told() == Told{"machine 'bench' has both cutter_radius and cutter_diameter"});
    CHECK(both.problems.list().front().remedy == "give one of the two");
    // The caret is at the second one's value.
    CHECK(both.problems.list().front().place.column ==
          std::string("  bench: {" + keys + ", cutter_radius: 1.5, cutter_diameter: ").size() + 1);
    const Read neither(keys);
    CHECK(neither.told() == Told{"machine 'bench' lacks the cutter's size"});
    CHECK(neither.problems.list().front().remedy == "give cutter_radius or cutter_diameter");
    CHECK(Read(keys + ", cutter_radius: -1").problems.errors() == 1);
    // Written, though refused for another reason: not missing as well.
    CHECK(Read(keys + ", cutter_radius: *a").problems.errors() == 1);
    CHECK(Read(keys + ", cutter_radius: 1,5").problems.errors() == 1);
  }
}

TEST_CASE("a dial's range is a lowest and a highest figure") {
  for (const std::string range : {"[1, 0]", "[1, 1]", "[1]", "[]", "[0, 1, 2]"}) {
    INFO(range);
    CHECK(Read(kMill + ", cutter_radius: 1, dial: {range: " + range + "}").told() ==
          Told{"'range' is not a lowest and a highest value"});
  }
  CHECK(Read(kMill + ", cutter_radius: 1, dial: {range: 1}").told() ==
        Told{"'range' has a single value where a list of lengths is expected"});
  CHECK(Read(kMill + ", cutter_radius: 1, dial: {range: [x, 1]}").told() ==
        Told{"'x': no number where one is expected"});
  CHECK(Read(kMill + ", cutter_radius: 1, dial: {division: 0, dial_per_offset: 0}")
            .problems.errors() == 2);
}

TEST_CASE("a pattern mill is read") {
  const Read read(
      "kind: pattern-mill, strip_at: 2, cutter_radius: 1.5, follower_radius: 0.75, "
      "pattern_per_cutter: -2, base: 0.5, outline_tolerance: 0.0004");
  auto const& mill = std::get<PatternMill>(read.machine().kind);
  CHECK(kind_word(read.machine()) == "pattern-mill");
  CHECK(mill.cutter_radius == in(1.5));
  CHECK(mill.follower_radius == in(0.75));
  CHECK(mill.pattern_per_cutter == -2);
  CHECK(mill.base == in(0.5));
  CHECK(mill.outline_tolerance == in(0.0004));
  const Read least(kCopier, "mm");
  auto const& plain = std::get<PatternMill>(least.machine().kind);
  CHECK(plain.pattern_per_cutter == 1);
  CHECK(plain.base == in(0));
  CHECK(plain.outline_tolerance == in(0.0002));
  CHECK(Read(kCopier + ", pattern_per_cutter: 0").told() ==
        Told{"a pattern that does not rise with the cutter"});
  CHECK(Read("kind: pattern-mill, cutter_radius: 1").told() ==
        Told{"a pattern mill lacks the key 'follower_radius'"});
}

TEST_CASE("a cnc mill is read") {
  const Read read(
      "kind: cnc-mill, cutter_diameter: 3, feed: 40, spindle_rpm: 9000, clear_height: 2, "
      "limits: {x: [-5, 60], z: [-0.1, 2], feed: 100, spindle_rpm: 18000}, "
      "passes: {rough: {over: 0.02}, max_cut: 0.03, last_cut: 0.03}");
  auto const& mill = std::get<CncMill>(read.machine().kind);
  CHECK(kind_word(read.machine()) == "cnc-mill");
  CHECK(mill.cutter_radius == in(1.5));
  CHECK(mill.feed_per_minute == in(40));
  CHECK(mill.spindle_rpm == 9000);
  CHECK(mill.clear_height == in(2));
  CHECK(mill.limits.x->lowest == in(-5));
  CHECK(mill.limits.x->highest == in(60));
  CHECK(mill.limits.z->lowest == in(-0.1));
  CHECK(*mill.limits.feed_per_minute == in(100));
  CHECK(*mill.limits.spindle_rpm == 18000);
  auto const& passes = std::get<PassesByCut>(*read.machine().passes);
  CHECK(passes.rough.kind == RoughStart::Kind::over_taper);
  CHECK(passes.rough.amount == in(0.02));
  const auto plain = std::get<CncMill>(Read(kRouter).machine().kind);
  CHECK(plain.clear_height == in(1));
  CHECK_FALSE(plain.limits.x);
  CHECK_FALSE(plain.limits.feed_per_minute);
}

TEST_CASE("a cnc mill does not outrun its limits") {
  CHECK(Read(kRouter + ", limits: {feed: 40, spindle_rpm: 9000}").shop);
  CHECK(Read(kRouter + ", limits: {feed: 39, spindle_rpm: 8999}").told() ==
        Told{"a feed above the machine's limit", "a spindle speed above the machine's limit"});
  CHECK(Read(kRouter + ", limits: {x: [5, -5], z: 1}").problems.errors() == 2);
  CHECK(Read("kind: cnc-mill, cutter_radius: 1, feed: 0, spindle_rpm: -1").problems.errors() == 2);
}

TEST_CASE("passes are stages or cuts, not both") {
  const auto told = [](std::string const& passes) {
    return Read(kForm + ", passes: " + passes).told();
  };
  CHECK(told("{over: [0.03, 0.01, 0]}").empty());
  CHECK(told("{over: [0]}").empty());
  for (const std::string list : {"[]", "[0.01]", "[0.01, 0.01, 0]", "[0.01, 0.03, 0]", "[0, 0]"}) {
    INFO(list);
    CHECK(told("{over: " + list + "}") == Told{"stages that do not fall to 0"});
  }
  CHECK(told("{over: [0.03, x, 0]}") == Told{"'x': no number where one is expected"});
  CHECK(told("{over: [0.03, 0], max_cut: 0.01, last_cut: 0.01, rough: {over: 0.1}}") ==
        Told{"'rough' beside a list of stages", "'max_cut' beside a list of stages",
             "'last_cut' beside a list of stages"});
  CHECK(told("{}") == Told{"the passes lack 'max_cut'", "the passes lack 'last_cut'"});
  CHECK(told("{max_cut: 0.01}") == Told{"the passes lack 'last_cut'"});
  CHECK(told("{max_cut: 0.01, last_cut: 0.02}") == Told{"last_cut is more than max_cut"});
  CHECK(told("{max_cut: 0, last_cut: 0.02}").size() == 1);
  CHECK(told("{max_cut: 0.02, last_cut: 0.01, rough: {}}") ==
        Told{"the rough strip lacks its size"});
  CHECK(told("{max_cut: 0.02, last_cut: 0.01, rough: {height: 0.2, over: 0.1}}") ==
        Told{"the rough strip has both 'height' and 'over'"});
  std::string many = "{over: [";
  for (int i = 200; i > 0; --i) many += std::to_string(i) + " um, ";
  CHECK(told(many + "0]}") == Told{"more than 100 stages"});
}

TEST_CASE("passes whose rough strip is left out start from a plain one by the shop's allowance") {
  const Read read(kForm + ", passes: {max_cut: 0.02, last_cut: 0.01}", "in",
                  "rough: {over: 0.05}\n");
  auto const& passes = std::get<PassesByCut>(*read.machine().passes);
  CHECK(passes.rough.kind == RoughStart::Kind::over_highest);
  CHECK(passes.rough.amount == in(0.05));
}

TEST_CASE("a machine is of a known kind") {
  CHECK(machine_kinds().size() == 4);
  const Read unknown("kind: screwmill");
  CHECK(unknown.told() == Told{"machine 'bench' has the unknown kind 'screwmill'"});
  CHECK(unknown.problems.list().front().remedy ==
        "the kinds are planing-form, screw-mill, pattern-mill, cnc-mill; the nearest is "
        "'screw-mill'");
  CHECK(Read("kind: whittling").problems.list().front().remedy.ends_with("cnc-mill"));
  CHECK(Read("kind: [screw-mill]").told() == Told{"machine 'bench' has a list for its kind"});
  CHECK(Read("kind: ").told() == Told{"machine 'bench' has nothing for its kind"});
  CHECK(Read("strip_at: 3").told() == Told{"machine 'bench' lacks the key 'kind'"});
  CHECK(Read("").told() == Told{"machine 'bench' lacks the key 'kind'"});
  // A key of one kind is unknown in another.
  CHECK(Read(kForm + ", cutter_radius: 1").told() ==
        Told{"the unknown key 'cutter_radius' in a planing form"});
  CHECK(Read(kRouter + ", screws: [0, 1]").told() ==
        Told{"the unknown key 'screws' in a cnc mill"});
  CHECK(Read(kForm + ", for: []").told() == Told{"machine 'bench' serves no section"});
  CHECK(Read(kForm + ", feeds: sideways").told() == Told{"'feeds' is 'sideways'"});
}
