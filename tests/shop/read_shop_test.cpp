#include "shop/read_shop.h"

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "catch.h"
#include "shop/shop_keys.h"

using namespace stripwright;

namespace {

struct Read {
  explicit Read(std::string const& body, std::string_view unit = "in",
                std::string name = "folder/lane.yaml")
      : shop(read_shop(files::SourceText(std::move(name), "format: stripwright-shop-1\nunit: " +
                                                              std::string(unit) + "\n" + body),
                       problems)) {}

  /// Each problem as `line:column: what`.
  std::vector<std::string> told() const {
    std::vector<std::string> out;
    for (auto const& each : problems.list())
      out.push_back(std::to_string(each.place.line) + ":" + std::to_string(each.place.column) +
                    ": " + each.what);
    return out;
  }

  Problems problems;
  std::optional<Shop> shop;
};

Shop shop_of(std::string const& body, std::string_view unit = "in") {
  const Read read(body, unit);
  INFO(read.problems.text());
  REQUIRE(read.shop);
  CHECK(read.problems.empty());
  return *read.shop;
}

using Told = std::vector<std::string>;
using Words = std::vector<std::string>;
constexpr Length in(double count) { return Length::inches(count); }
constexpr Length mm(double count) { return Length::millimetres(count); }

}  // namespace

TEST_CASE("habits and gauges of a shop are read") {
  const auto shop = shop_of(
      "name: Saltmarsh Lane\n"
      "allowances:\n  varnish: 0.0015\n  cleanup: 0.001\n  glue_line: 0.0015\n"
      "  enamel: {thickness: 0.004, off: after-gluing, face: round, culm_diameter: 2.0}\n"
      "  apex_relief: 1/64\n"
      "  moisture: {per_percent: 0.0018, at_milling: 9, in_service: 7}\n"
      "spare: {tip_end: 1, butt_end: 2}\nrough: {over: 0.04, split: 0.05}\n"
      "tolerances: {strip: {over: 0.0015, under: 0.0005}, flats: 0.003, angle: 0.25}\n"
      "gauges:\n  caliper: {resolution: 0.0005, standard_uncertainty: 0.0003}\n"
      "  dial: {resolution: 0.01 mm, max_error: 0.0173205080756887729 mm}\n"
      "decide: plain\n");
  CHECK(shop.name == "Saltmarsh Lane");
  CHECK(shop.unit == Unit::inch);
  CHECK(shop.allowances.varnish == in(0.0015));
  CHECK(shop.allowances.cleanup == in(0.001));
  CHECK(shop.allowances.glue_line == in(0.0015));
  CHECK(shop.allowances.apex_relief == in(1.0 / 64));
  CHECK(shop.allowances.assumed.empty());
  auto const& enamel = shop.allowances.enamel;
  CHECK(enamel.thickness == in(0.004));
  CHECK(enamel.off == EnamelOff::after_gluing);
  CHECK(enamel.face == Face::round);
  CHECK(*enamel.culm_diameter == in(2));
  REQUIRE(shop.allowances.moisture);
  CHECK(shop.allowances.moisture->swelling_per_percent == 0.0018);
  CHECK(shop.allowances.moisture->percent_at_milling == 9);
  CHECK(shop.allowances.moisture->percent_in_service == 7);
  CHECK(shop.spare.tip_end == in(1));
  CHECK(shop.spare.butt_end == in(2));
  CHECK(shop.rough.over == in(0.04));
  CHECK(shop.rough.split == in(0.05));
  CHECK(shop.tolerances.strip.over == in(0.0015));
  CHECK(shop.tolerances.strip.under == in(0.0005));
  CHECK(shop.tolerances.flats.over == in(0.003));
  CHECK(shop.tolerances.flats.under == in(0.003));
  CHECK(shop.tolerances.angle.in_degrees() == Approx(0.25));
  REQUIRE(shop.gauges.size() == 2);
  CHECK(shop.gauges[0].name == "caliper");
  CHECK(shop.gauges[0].resolution == in(0.0005));
  CHECK(shop.gauges[0].standard_uncertainty == in(0.0003));
  // A rectangular distribution of half-width a: a/√3 (JCGM 100:2008, 4.3.7; from memory).
  // 0.01·√3 mm makes 0.01 mm.
  CHECK(shop.gauges[1].standard_uncertainty.in_millimetres() == Approx(0.01).epsilon(1e-14));
  CHECK(shop.decide == Decide::plain);
  CHECK(shop.machines.empty());
}

TEST_CASE("what a shop leaves out") {
  const auto shop = shop_of("");
  CHECK(shop.name == "lane");
  CHECK(shop.allowances.varnish == mm(0));
  CHECK(shop.allowances.enamel.off == EnamelOff::before_gluing);
  CHECK_FALSE(shop.allowances.enamel.face);
  CHECK_FALSE(shop.allowances.enamel.culm_diameter);
  CHECK_FALSE(shop.allowances.moisture);
  CHECK(shop.allowances.assumed ==
        Words{"varnish", "cleanup", "glue line", "enamel", "apex relief"});
  CHECK(shop.spare.tip_end == in(1.5));
  CHECK(shop.spare.butt_end == in(1.5));
  CHECK(shop.rough.over == in(0.03));
  CHECK(shop.rough.split == in(0.06));
  CHECK(shop.tolerances.strip.over == in(0.001));
  CHECK(shop.tolerances.strip.under == in(0.001));
  CHECK(shop.tolerances.flats.over == in(0.002));
  CHECK(shop.tolerances.angle.in_degrees() == Approx(0.3));
  CHECK(shop.gauges.empty());
  CHECK(shop.decide == Decide::guarded);
  // The standard values are lengths of their own, whatever the file's unit.
  const auto metric = shop_of("", "mm");
  CHECK(metric.unit == Unit::millimetre);
  CHECK(metric.spare.tip_end == in(1.5));
  CHECK(metric.tolerances.strip.over == in(0.001));
}

TEST_CASE("of each map what is left out has its standard value") {
  const auto shop = shop_of("spare: {tip_end: 2}\nrough: {}\ntolerances: {angle: 1}\n");
  CHECK(shop.spare.tip_end == in(2));
  CHECK(shop.spare.butt_end == in(1.5));
  CHECK(shop.rough.over == in(0.03));
  CHECK(shop.tolerances.strip.over == in(0.001));
  CHECK(shop.tolerances.angle.in_degrees() == Approx(1));
}

TEST_CASE("allowances that are left out count as 0 and are named as assumed") {
  CHECK(shop_of("allowances: {}\n").allowances.assumed ==
        Words{"varnish", "cleanup", "glue line", "enamel", "apex relief"});
  CHECK(shop_of("allowances: {varnish: 0, glue_line: 0.001}\n").allowances.assumed ==
        Words{"cleanup", "enamel", "apex relief"});
  // An enamel map that does not say how thick assumes it; a written 0 does not.
  CHECK(shop_of("allowances: {varnish: 0, cleanup: 0, glue_line: 0, apex_relief: 0, "
                "enamel: {off: before-milling}}\n")
            .allowances.assumed == Words{"enamel"});
  CHECK(shop_of("allowances: {varnish: 0, cleanup: 0, glue_line: 0, apex_relief: 0, "
                "enamel: {thickness: 0}}\n")
            .allowances.assumed.empty());
}

TEST_CASE("the face at milling is round where a culm diameter is given") {
  const auto face = [](std::string const& enamel) {
    return face_at_milling(shop_of("allowances: {enamel: " + enamel + "}\n").allowances.enamel);
  };
  CHECK(face("{}") == Face::flat);
  CHECK(face("{culm_diameter: 2}") == Face::round);
  CHECK(face("{culm_diameter: 2, face: flat}") == Face::flat);
  CHECK(face("{culm_diameter: 2, face: round}") == Face::round);
  const Read read("allowances:\n  enamel:\n    face: round\n");
  CHECK(read.told() == Told{"5:11: a round face without a culm diameter"});
}

TEST_CASE("a culm is 15 mm to 200 mm in diameter, a percent's swelling under a hundredth") {
  for (const std::string text : {"15 mm", "200 mm", "0.6", "7.8"})
    CHECK(Read("allowances: {enamel: {culm_diameter: " + text + "}}\n").shop);
  for (const std::string text : {"14.9 mm", "200.1 mm", "50", "0.5", "8", "-2", "0"}) {
    INFO(text);
    const Read read("allowances: {enamel: {culm_diameter: " + text + "}}\n");
    CHECK_FALSE(read.shop);
    REQUIRE(read.problems.errors() == 1);
    CHECK(read.told().front().ends_with("out of its range (0.5906 in to 7.874 in)"));
  }
  const auto swelling = [](std::string const& text) {
    return Read("allowances: {moisture: {per_percent: " + text +
                ", at_milling: 9, in_service: 7}}\n");
  };
  CHECK(swelling("0.01").shop);
  CHECK(swelling("0").shop);
  for (const std::string text : {"0.0101", "0.18", "-0.001"})
    CHECK(swelling(text).told().front().ends_with("out of its range (0 to 0.01)"));
  CHECK(Read("allowances: {moisture: {per_percent: 0.0018, at_milling: 31, in_service: -1}}\n")
            .problems.errors() == 2);
  CHECK(Read("allowances: {moisture: {per_percent: 0.0018}}\n").problems.errors() == 2);
}

TEST_CASE("a tolerance is one length either way, or an over and an under") {
  CHECK(Read("tolerances: {strip: {over: 0.001}}\n").told() ==
        Told{"3:21: a tolerance lacks the key 'under'"});
  CHECK(Read("tolerances: {strip: [0.001, 0.002]}\n").told() ==
        Told{"3:21: 'strip' has a list where a length is expected"});
  CHECK(Read("tolerances: {flats: -0.001}\n").problems.errors() == 1);
  CHECK(Read("tolerances: {flats: 0.2}\n").problems.errors() == 1);
  CHECK(Read("tolerances: {angle: 0}\n").problems.errors() == 1);
  CHECK(Read("tolerances: 0.001\n").problems.errors() == 1);
}

TEST_CASE("a gauge has a standard uncertainty or a greatest error, one of the two") {
  const Read both(
      "gauges:\n  caliper: {resolution: 0.001, max_error: 1, standard_uncertainty: 1}\n");
  CHECK(both.told().front() == "4:43: gauge 'caliper' has both standard_uncertainty and max_error");
  CHECK(both.problems.list().front().remedy == "give one of the two");
  const Read neither("gauges:\n  caliper: {resolution: 0.001}\n");
  CHECK(neither.told() == Told{"4:12: gauge 'caliper' lacks its uncertainty"});
  CHECK(neither.problems.list().front().remedy == "give standard_uncertainty or max_error");
  CHECK(Read("gauges: {caliper: {max_error: 0.001}}\n").told() ==
        Told{"3:19: a gauge lacks the key 'resolution'"});
  CHECK(Read("gauges: {caliper: 0.001}\n").told() ==
        Told{"3:19: a single value where a gauge is expected"});
  // One that was refused for another reason is not missing as well.
  CHECK(Read("name: &a x\ngauges: {caliper: {resolution: 0, max_error: *a}}\n").told() ==
        Told{"3:7: an anchor (&)", "4:46: an alias (*)"});
}

TEST_CASE("all mistakes of a shop file are told at once, the nearest key with each") {
  const Read read(
      "allowances:\n  varnish: 0,0015\n  gluee_line: 0.001\n  enamel: {off: before_gluing}\n"
      "spare: 1.5\ndecide: guessed\ngauges: {caliper: {}}\nmachines: {form: {kind: plane}}\n");
  CHECK_FALSE(read.shop);
  CHECK(read.told() == Told{"5:3: the unknown key 'gluee_line' in the allowances",
                            "4:12: '0,0015': a comma in a number", "6:17: 'off' is 'before_gluing'",
                            "7:8: 'spare' has a single value where a map is expected",
                            "9:19: a gauge lacks the key 'resolution'",
                            "9:19: gauge 'caliper' lacks its uncertainty",
                            "8:9: 'decide' is 'guessed'",
                            "10:25: machine 'form' has the unknown kind 'plane'"});
  CHECK(read.problems.list()[0].remedy == "the nearest known key is 'glue_line'");
  CHECK(read.problems.list()[2].remedy.ends_with("the nearest is 'before-gluing'"));
}

TEST_CASE("machines whose files would fall into one folder are refused") {
  const std::string machine = ": {kind: cnc-mill, cutter_radius: 1, feed: 40, spindle_rpm: 9000}\n";
  CHECK(Read("machines:\n  Router" + machine + "  other router" + machine).shop);
  const Read twice("machines:\n  my router" + machine + "  My-Router" + machine);
  CHECK(twice.told() ==
        Told{"5:3: machine 'My-Router' has the name of another but for capitals, blanks or "
             "hyphens"});
  CHECK(Read("machines:\n  a" + machine + "  a" + machine).problems.errors() == 1);
  CHECK(Read("machines: {a/b: {kind: cnc-mill}}\n").problems.errors() == 1);
}

TEST_CASE("the shipped shops are read without a word") {
  std::size_t count = 0;
  for (auto const& entry :
       std::filesystem::directory_iterator(STRIPWRIGHT_SOURCE_DIR "/profiles/shops")) {
    if (entry.path().extension() != ".yaml") continue;
    ++count;
    Problems problems;
    const auto source = files::read_source(entry.path().string(), problems);
    REQUIRE(source);
    CHECK(read_shop(*source, problems));
    INFO(problems.text());
    CHECK(problems.empty());
  }
  CHECK(count >= 3);
}

TEST_CASE("the built-in shop is the shipped one, byte for byte") {
  std::ifstream file(STRIPWRIGHT_SOURCE_DIR "/profiles/shops/steel-form-inches.yaml",
                     std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  const auto source = embedded_shop_source();
  CHECK(source.text() == bytes.str());
  Problems problems;
  const auto shop = read_shop(source, problems);
  REQUIRE(shop);
  CHECK(problems.empty());
  REQUIRE(shop->machines.size() == 1);
  CHECK(kind_word(shop->machines.front()) == "planing-form");
  CHECK(shop->gauges.size() == 1);
}
