#include "hostile_texts.h"
#include "shop/read_shop.h"

using namespace stripwright;
using hostile::Text;

namespace {

const std::string kSound =
    "format: stripwright-shop-1\nunit: in\nmachines:\n  form:\n    kind: planing-form\n"
    "    screws: {first: 0, pitch: 5, count: 13}\n";

std::string with(std::string_view lines) { return kSound + std::string(lines) + "\n"; }

/// Like the sound shop, but with another machine.
std::string with_machine(std::string_view flow) {
  return "format: stripwright-shop-1\nunit: in\nmachines:\n  form: " + std::string(flow) + "\n";
}

std::vector<Text> bad_shops() {
  std::vector<Text> texts = {
      {"machines of nothing", "format: stripwright-shop-1\nunit: in\nmachines:\n", "has nothing"},
      {"machines as a list", "format: stripwright-shop-1\nunit: in\nmachines: [a]\n", "has a list"},
      {"machine of nothing", with_machine(""), "'form' has nothing where a map"},
      {"machine as a word", with_machine("planing-form"), "'form' has a single value where a map"},
      {"machine as a list", with_machine("[kind, planing-form]"), "'form' has a list"},
      {"machine as an alias", "format: x\nunit: in\nmachines: {a: &a {kind: b}, c: *a}\n",
       "an alias"},
      {"no kind", with_machine("{screws: [0, 5]}"), "lacks the key 'kind'"},
      {"two kinds", with_machine("{kind: cnc-mill, kind: screw-mill}"), "'kind' a second time"},
      {"unknown kind", with_machine("{kind: lathe}"), "has the unknown kind 'lathe'"},
      {"kind with a tag", with_machine("{kind: !!str cnc-mill}"), "a tag"},
      {"kind an alias", with("name: &a cnc-mill\ngauges: {c: *a}"), "an alias"},
      {"decimal comma", with("spare: {tip_end: '1,5'}"), "comma"},
      {"leading zero", with("spare: {tip_end: 015}"), "leading zero"},
      {"base sixty", with("spare: {tip_end: 1:30}"), "something after the number"},
      {"hexadecimal", with("spare: {tip_end: 0x10}"), "another base"},
      {"underscore", with("spare: {tip_end: 1_0}"), "something after the number"},
      {"exponent", with("spare: {tip_end: 1e1}"), "exponent"},
      {"1e308", with("spare: {tip_end: 1e308}"), "exponent"},
      {"not a number", with("spare: {tip_end: .nan}"), "not a finite number"},
      {"infinite", with("spare: {tip_end: .inf}"), "not a finite number"},
      {"1/0 in", with("spare: {tip_end: 1/0 in}"), "0 below the line"},
      {"negative spare", with("spare: {tip_end: -1.5}"), "out of its range"},
      {"spare of 40 m", with("spare: {tip_end: 40 m}"), "out of its range"},
      {"spare as a list", with("spare: [1.5, 1.5]"), "'spare' has a list"},
      {"rough of nothing", with("rough:"), "'rough' has nothing"},
      {"glue of a finger", with("allowances: {glue_line: 1}"), "out of its range"},
      {"negative cleanup", with("allowances: {cleanup: -0.001}"), "out of its range"},
      {"culm in the wrong unit", with("allowances: {enamel: {culm_diameter: 50}}"), "out of its"},
      {"round without a culm", with("allowances: {enamel: {face: round}}"), "without a culm"},
      {"swelling as a percent",
       with("allowances: {moisture: {per_percent: 0.18, at_milling: 9, in_service: 7}}"),
       "out of its range (0 to 0.01)"},
      {"moisture of a river",
       with("allowances: {moisture: {per_percent: 0.001, at_milling: 90, in_service: 7}}"),
       "out of its range (0 to 30)"},
      {"half a moisture", with("allowances: {moisture: {per_percent: 0.001}}"), "lacks the key"},
      {"allowances as a number", with("allowances: 0.001"), "'allowances' has a single value"},
      {"enamel as a length", with("allowances: {enamel: 0.004}"), "'enamel' has a single value"},
      {"tolerance under 0", with("tolerances: {strip: -0.001}"), "out of its range"},
      {"half a tolerance", with("tolerances: {strip: {over: 0.001}}"), "lacks the key 'under'"},
      {"angle of a right one", with("tolerances: {angle: 90}"), "out of its range"},
      {"angle with a unit", with("tolerances: {angle: 0.3 degrees}"), "something after the number"},
      {"gauge without a step", with("gauges: {caliper: {max_error: 0.001}}"), "'resolution'"},
      {"gauge of two minds",
       with("gauges: {c: {resolution: 0, max_error: 0, standard_uncertainty: 0}}"), "has both"},
      {"gauge of none", with("gauges: {c: {resolution: 0}}"), "lacks its uncertainty"},
      {"gauge twice", with("gauges: {c: {resolution: 0, max_error: 0}, c: {}}"), "a second time"},
      {"decide by dice", with("decide: dice"), "guarded or plain"},
      {"decide yes", with("decide: yes"), "guarded or plain"},
      {"a screw", with_machine("{kind: planing-form, screws: [0]}"), "fewer than two screws"},
      {"screws backwards", with_machine("{kind: planing-form, screws: [5, 0]}"), "does not lie"},
      {"a screw twice", with_machine("{kind: planing-form, screws: [0, 5 in, 127 mm]}"),
       "screw 3 does not lie beyond screw 2"},
      {"a thousand million screws",
       with_machine("{kind: planing-form, screws: {pitch: 5, count: 1000000000}}"), "range"},
      {"half a screw", with_machine("{kind: planing-form, screws: {pitch: 5, count: 2.5}}"),
       "not a whole number"},
      {"no pitch", with_machine("{kind: planing-form, screws: {pitch: 0, count: 9}}"), "range"},
      {"screws listed by the hundred thousand",
       "format: stripwright-shop-1\nunit: mm\nmachines:\n  form:\n    kind: planing-form\n"
       "    screws:\n" +
           hostile::repeated("    - 1\n", 100'000),
       "more than 2000 screws"},
      {"stages that rise", with_machine("{kind: cnc-mill, passes: {over: [0, 0.1]}}"), "fall to 0"},
      {"no cut", with_machine("{kind: cnc-mill, passes: {max_cut: 0, last_cut: 0}}"), "range"},
      {"cutter of both sizes",
       with_machine("{kind: cnc-mill, cutter_radius: 1, cutter_diameter: 2}"), "has both"},
      {"cutter of no size", with_machine("{kind: cnc-mill}"), "lacks the cutter's size"},
      {"dial backwards", with_machine("{kind: screw-mill, dial: {range: [1, 0]}}"), "lowest and a"},
      {"dial of nothing", with_machine("{kind: screw-mill, dial: }"), "'dial' has nothing"},
      {"blunt gauge without a size", with_machine("{kind: planing-form, depth_gauge: {tip: ball}}"),
       "lacks its diameter"},
      {"feed above its limit",
       with_machine("{kind: cnc-mill, feed: 40, spindle_rpm: 9, limits: {feed: 3}}"), "above the"},
      {"serves nobody", with_machine("{kind: cnc-mill, for: []}"), "serves no section"},
      {"serves a map", with_machine("{kind: cnc-mill, for: {tip: 1}}"), "'for' has a map"},
      {"serves lists", with_machine("{kind: cnc-mill, for: [[tip]]}"), "'for' has a list"},
      {"machine's name a path", "format: x\nunit: in\nmachines: {../up: {kind: cnc-mill}}\n",
       "characters that a name cannot have"},
      {"machine's name of a megabyte",
       with("? " + std::string(900'000, 'n') + "\n: {kind: cnc-mill}"), "unknown key"},
      {"100,000 machines",
       "format: stripwright-shop-1\nunit: in\nmachines:\n" +
           [] {
             std::string out;
             for (int i = 0; i < 100'000; ++i)
               out += "  m" + std::to_string(i) + ": {kind: lathe}\n";
             return out;
           }(),
       "has the unknown kind 'lathe'"},
      {"a taper file", "format: stripwright-taper-1\nunit: in\ntaper: {0: 0.068, 90: 0.318}\n",
       "this is a taper file, where a shop file is expected"},
  };
  return texts;
}

}  // namespace

TEST_CASE("no rubbish makes a shop, and all of it is told") {
  Problems problems;
  REQUIRE(read_shop(files::SourceText("sound.yaml", kSound), problems));
  CHECK(problems.empty());
  hostile::refuse_all(hostile::of_any_kind(kSound), read_shop);
}

TEST_CASE("no shops with mistakes are read") { hostile::refuse_all(bad_shops(), read_shop); }
