#include "hostile_texts.h"
#include "taper/read_taper.h"

using namespace stripwright;
using hostile::Text;

namespace {

const std::string kSound =
    "format: stripwright-taper-1\nunit: in\ntaper:\n  0: 0.068\n  45: 0.2055\n  90: 0.318\n";

std::string head(std::string_view taper) {
  return "format: stripwright-taper-1\nunit: in\ntaper:" + std::string(taper);
}
std::string with_station(std::string_view line) { return kSound + "  " + std::string(line) + "\n"; }
std::string with_sections(std::string_view flow) {
  return kSound + "sections: " + std::string(flow) + "\n";
}
std::string with_ferrules(std::string_view flow) {
  return kSound + "ferrules: " + std::string(flow) + "\n";
}

std::vector<Text> bad_tapers() {
  std::vector<Text> texts = {
      {"no taper", "format: stripwright-taper-1\nunit: in\n", "lacks the key 'taper'"},
      {"taper of nothing", head("\n"), "'taper' has nothing"},
      {"taper as a list", head(" [0.068, 0.318]\n"), "'taper' has a list"},
      {"taper as a word", head(" straight\n"), "'taper' has a single value"},
      {"empty taper", head(" {}\n"), "fewer than two stations"},
      {"one station", head(" {0: 0.068}\n"), "fewer than two stations"},
      {"one of two stations refused", head(" {~: 0.068, 80: 0.2}\n"), "not a plain word"},
      {"flats left out", with_station("50:"), "station '50' has nothing"},
      {"flats as a list", with_station("50: [0.22]"), "station '50' has a list"},
      {"flats of 0", with_station("50: 0"), "out of its range"},
      {"negative flats", with_station("50: -0.22"), "out of its range"},
      {"flats of a tree", with_station("50: 4"), "out of its range"},
      {"decimal comma", with_station("50: 0,22"), "comma"},
      {"not a number", with_station("50: .nan"), "not a finite number"},
      {"infinite", with_station("50: .inf"), "not a finite number"},
      {"1e308", with_station("50: 1e308"), "exponent"},
      {"1/0 in", with_station("50: 1/0 in"), "0 below the line"},
      {"leading zero", with_station("50: 010"), "leading zero"},
      {"base sixty", with_station("50: 1:30"), "something after the number"},
      {"hexadecimal", with_station("50: 0x10"), "another base"},
      {"underscore", with_station("50: 1_000"), "something after the number"},
      {"a word", with_station("50: no"), "no number"},
      {"station with a comma", with_station("50,5: 0.22"), "comma"},
      {"station of nonsense", with_station("tip: 0.22"), "'tip': no number"},
      {"station in octal", with_station("050: 0.22"), "leading zero"},
      {"station too far", with_station("1e9: 0.22"), "exponent"},
      {"station beyond a kilometre", with_station("99999999: 0.22"), "longer than a kilometre"},
      {"station twice", with_station("45: 0.2055"), "the station 45 in a second time"},
      {"station twice, with a point", with_station("45.0: 0.3"), "a second time, first in line 5"},
      {"station twice, with a unit", with_station("45 in: 0.3"), "the station 45 in"},
      {"station twice, in millimetres", with_station("1143 mm: 0.3"), "the station 45 in"},
      {"station twice, in feet", with_station("3 ft 9 in: 0.3"), "the station 45 in"},
      {"station twice, as a fraction", with_station("90/2: 0.3"), "the station 45 in"},
      {"quoted keys twice", with_station("'45': 0.3"), "the station 45 in"},
      {"100,000 wrong lines", kSound + hostile::repeated("  5x: 0.1y\n", 100'000), "unknown unit"},
      {"measured wet", kSound + "measured: wet\n", "bare or varnished"},
      {"between wavy", kSound + "between: wavy\n", "linear or smooth"},
      {"sections of nothing", with_sections(""), "'sections' has nothing"},
      {"no sections", with_sections("{}"), "no section under 'sections'"},
      {"sections as a list", with_sections("[tip, butt]"), "'sections' has a list"},
      {"section as a list", with_sections("{tip: [0, 45]}"), "a list where a section"},
      {"section of nothing", with_sections("{tip: }"), "nothing where a section"},
      {"section without an end", with_sections("{tip: {from: 0}}"), "lacks the key 'to'"},
      {"empty section", with_sections("{tip: {from: 45, to: 45}}"), "is empty"},
      {"section nearly empty", with_sections("{tip: {from: 45, to: 1143 mm}}"), "is empty"},
      {"section backwards", with_sections("{tip: {from: 45, to: 0}}"), "runs backwards"},
      {"section leaves the taper", with_sections("{tip: {from: 0, to: 91}}"), "leaves the taper"},
      {"section before the taper", with_sections("{tip: {from: -1, to: 9}}"), "leaves the taper"},
      {"sections overlap", with_sections("{tip: {from: 0, to: 46}, butt: {from: 45, to: 90}}"),
       "section 'butt' begins at 45 in, before 'tip' ends at 46 in"},
      {"section within another", with_sections("{a: {from: 0, to: 90}, b: {from: 5, to: 9}}"),
       "section 'b' begins at 5 in, before 'a' ends"},
      {"section twice", with_sections("{tip: {from: 0, to: 45}, tip: {from: 45, to: 90}}"),
       "the name 'tip' a second time"},
      {"section twice but for a capital",
       with_sections("{tip: {from: 0, to: 45}, Tip: {from: 45, to: 90}}"), "name of another"},
      {"section with a path", with_sections("{../tip: {from: 0, to: 45}}"), "characters that a"},
      {"section without a name", with_sections("{'': {from: 0, to: 45}}"), "characters that a"},
      {"section of a long name", with_sections("{" + std::string(300, 's') + ": {from: 0, to: 9}}"),
       "over 60 characters"},
      {"no rods to make", with_sections("{tip: {from: 0, to: 45, make: 0}}"), "out of its range"},
      {"half a rod to make", with_sections("{tip: {from: 0, to: 45, make: 1.5}}"), "not a whole"},
      {"a thousand to make", with_sections("{tip: {from: 0, to: 45, make: 1000}}"), "range"},
      {"unknown key in a section", with_sections("{tip: {from: 0, until: 45}}"), "'until'"},
      {"ferrule as a map", with_ferrules("{at: 45, bore: 13/64}"), "'ferrules' has a map"},
      {"ferrule of nothing", with_ferrules("[~]"), "nothing where a ferrule"},
      {"ferrule without a bore", with_ferrules("[{at: 45}]"), "lacks the key 'bore'"},
      {"ferrule beyond the taper", with_ferrules("[{at: 95, bore: 13/64}]"), "beyond the taper"},
      {"bore of 0", with_ferrules("[{at: 45, bore: 0}]"), "out of its range"},
      {"bore of a pipe", with_ferrules("[{at: 45, bore: 13}]"), "out of its range"},
      {"ferrule at an alias", with_ferrules("[{at: *a, bore: 13/64}]"), "an alias"},
      {"ferrule at an anchored alias", kSound + "about: &a x\nferrules: [{at: *a, bore: *a}]\n",
       "an alias"},
      {"section from an alias", kSound + "about: &a x\nsections: {tip: {from: *a, to: *a}}\n",
       "an alias"},
      {"sections an alias", kSound + "about: &a x\nsections: *a\nferrules: *a\n", "an alias"},
      {"a shop file", "format: stripwright-shop-1\nunit: in\nmachines: {}\n",
       "this is a shop file, where a taper file is expected"},
  };
  return texts;
}

}  // namespace

TEST_CASE("no rubbish makes a taper, and all of it is told") {
  Problems problems;
  REQUIRE(read_taper(files::SourceText("sound.yaml", kSound), problems));
  CHECK(problems.empty());
  hostile::refuse_all(hostile::of_any_kind(kSound), read_taper);
}

TEST_CASE("no tapers with mistakes are read") { hostile::refuse_all(bad_tapers(), read_taper); }
