#include "taper/read_taper.h"

#include <cmath>
#include <filesystem>

#include "catch.h"

using namespace stripwright;

namespace {

struct Read {
  explicit Read(std::string const& bytes, std::string name = "folder/yarrow.yaml")
      : taper(read_taper(files::SourceText(std::move(name), bytes), problems)) {}

  /// Each problem as `line:column: what`.
  std::vector<std::string> told() const {
    std::vector<std::string> out;
    for (auto const& each : problems.list())
      out.push_back(std::to_string(each.place.line) + ":" + std::to_string(each.place.column) +
                    ": " + each.what);
    return out;
  }

  Problems problems;
  std::optional<Taper> taper;
};

using Told = std::vector<std::string>;
constexpr Length in(double count) { return Length::inches(count); }
constexpr Station at(double inches) { return Station(Length::inches(inches)); }

std::string in_inches(std::string const& body) {
  return "format: stripwright-taper-1\nunit: in\n" + body;
}

/// A taper of which nothing is odd, 0 to 90, and more below it.
std::string yarrow(std::string const& more) {
  return in_inches("taper: {0: 0.068, 45: 0.2055, 90: 0.318}\n" + more);
}

}  // namespace

TEST_CASE("a taper file is read") {
  const Read read(
      "format: stripwright-taper-1\nname: Yarrow\nabout: |\n  two\n  lines\nunit: in\n"
      "measured: varnished\nbetween: smooth\n"
      "taper:\n  0: 0.068\n  5: 81 thou\n  90: 0.318\n  45: 5.2197 mm\n"
      "sections:\n  butt: {from: 45, to: 90}\n  tip: {from: 0, to: 3 ft 9 in, make: 2}\n"
      "ferrules:\n  - {at: 45, bore: 13/64 in}\n");
  INFO(read.problems.text());
  REQUIRE(read.taper);
  CHECK(read.problems.empty());
  auto const& taper = *read.taper;
  CHECK(taper.name == "Yarrow");
  CHECK(taper.about == "two\nlines\n");
  CHECK(taper.unit == Unit::inch);
  CHECK(taper.measured == Measured::varnished);
  CHECK(taper.between == Between::smooth);
  // Sorted from the tip end.
  REQUIRE(taper.points.size() == 4);
  CHECK(taper.points[0].at == at(0));
  CHECK(taper.points[1].flats == in(0.081));
  CHECK(taper.points[2].at == at(45));
  CHECK(taper.points[2].flats.in_millimetres() == 5.2197);
  CHECK(taper.tip_end() == at(0));
  CHECK(taper.butt_end() == at(90));
  REQUIRE(taper.sections.size() == 2);
  CHECK(taper.sections[0].name == "tip");
  CHECK(taper.sections[0].make == 2);
  CHECK(taper.sections[0].length() == in(45));
  CHECK(taper.sections[1].name == "butt");
  CHECK(taper.sections[1].make == 1);
  REQUIRE(taper.ferrules.size() == 1);
  CHECK(taper.ferrules[0].at == at(45));
  CHECK(taper.ferrules[0].bore == in(13.0 / 64));
}

TEST_CASE("what a taper file leaves out") {
  const Read read(yarrow(""));
  REQUIRE(read.taper);
  CHECK(read.problems.empty());
  CHECK(read.taper->name == "yarrow");
  CHECK(read.taper->about.empty());
  CHECK(read.taper->measured == Measured::bare);
  CHECK(read.taper->between == Between::linear);
  REQUIRE(read.taper->sections.size() == 1);
  CHECK(read.taper->sections[0].name == "rod");
  CHECK(read.taper->sections[0].from == at(0));
  CHECK(read.taper->sections[0].to == at(90));
  CHECK(read.taper->ferrules.empty());
  // A file may be called what no message should repeat.
  CHECK(Read(yarrow(""), "a\x1b[2J.yaml").taper->name == "a?[2J");
}

TEST_CASE("a bare number takes the file's unit") {
  const Read read(
      "format: stripwright-taper-1\nunit: mm\ntaper: {0: 1.7, 2286: 8, 45 in: 0.2 in}\n");
  REQUIRE(read.taper);
  CHECK(read.taper->butt_end() == at(90));
  CHECK(read.taper->points[1].at == at(45));
  CHECK(read.taper->points[1].flats == in(0.2));
}

TEST_CASE("equal lengths are one station however they are written") {
  for (const std::string second : {"5", "5.0", "5 in", "127 mm", "12.7 cm", "10/2", "'5'", "5.",
                                   "5000 thou", "0.127 m", "127000 um", "0 ft 5 in"}) {
    const Read read(in_inches("taper:\n  0: 0.068\n  5: 0.081\n  " + second + ": 0.09\n"));
    CHECK_FALSE(read.taper);
    CHECK(read.told() == Told{"6:3: the station 5 in a second time, first in line 5"});
  }
  // Nearly equal ones are two.
  CHECK(Read(in_inches("taper: {0: 0.068, 5: 0.081, 5.001: 0.081}\n")).taper);
  // Three are told twice.
  CHECK(Read(in_inches("taper: {5: 0.068, 5.0: 0.081, 127 mm: 0.081}\n")).problems.errors() == 2);
}

TEST_CASE("all mistakes of a taper file are told at once") {
  const Read read(
      "format: stripwright-taper-2\nunit: in\nmeasured: bear\nbetwen: linear\n"
      "taper:\n  0: 0,068\n  5: 0.081\n  5.0: 0.082\n  x: 0.1\n  90:\n"
      "sections:\n  tip: {from: 0, to: 45, make: no}\n  butt: {form: 45, to: 90}\n"
      "ferrules:\n  - {at: 45, bore: .nan}\n");
  CHECK_FALSE(read.taper);
  CHECK(read.told() ==
        Told{"4:1: the unknown key 'betwen' in a taper file",
             "1:9: the format is 'stripwright-taper-2'", "3:11: 'measured' is 'bear'",
             "6:6: '0,068': a comma in a number", "9:3: 'x': no number where one is expected",
             "10:3: station '90' has nothing where its across flats is expected",
             "8:3: the station 5 in a second time, first in line 7",
             "12:32: 'no': no number where one is expected",
             "13:10: the unknown key 'form' in a section", "13:9: a section lacks the key 'from'",
             "15:20: '.nan': not a finite number"});
}

TEST_CASE("a section with a mistake gives rise to no others") {
  // `to` is wrong, so the section would be empty, and butt would overlap it or leave a gap.
  const Read read(yarrow("sections:\n  tip: {from: 0, to: 45x}\n  butt: {from: 45, to: 90}\n"));
  CHECK(read.told() == Told{"5:22: '45x': the unknown unit 'x'"});
  // With too few stations nothing is said about where sections lie.
  const Read few(in_inches("taper: {0: x}\nsections: {tip: {from: 0, to: 45}}\n"));
  CHECK(few.told() == Told{"3:12: 'x': no number where one is expected",
                           "3:8: a taper of fewer than two stations"});
}

TEST_CASE("earlier errors of another file do not make a taper unreadable") {
  Problems problems;
  problems.error("an option is wrong");
  const auto taper = read_taper(
      files::SourceText("y.yaml", yarrow("ferrules: [{at: 45, bore: 1/4}]\n")), problems);
  CHECK(taper);
  // Nor keep its oddities from being told.
  CHECK(problems.list().size() == 3);
}

TEST_CASE("sections may touch; a gap is a warning") {
  CHECK(Read(yarrow("sections: {tip: {from: 0, to: 45}, butt: {from: 1143 mm, to: 90}}\n"))
            .problems.empty());
  const Read gap(yarrow("sections:\n  tip: {from: 0, to: 44}\n  butt: {from: 45, to: 90}\n"));
  REQUIRE(gap.taper);
  CHECK(gap.told() == Told{"6:3: a gap between section 'tip' (to 44 in) and 'butt' (from 45 in)"});
  CHECK(gap.problems.list().front().severity == Severity::warning);
}

TEST_CASE("flats under 1 mm or over 25 mm are odd") {
  const Read thin("format: stripwright-taper-1\nunit: mm\ntaper: {0: 0.068, 45: 0.2, 90: 0.318}\n");
  REQUIRE(thin.taper);
  CHECK(thin.told() == Told{"3:9: 0.068 mm across flats at 0 mm (and at 2 more stations): under 1 "
                            "mm or over 25 mm"});
  CHECK(thin.problems.list().front().remedy == "are inch and millimetre mixed up?");
  const Read thick(in_inches("taper: {0: 0.068, 45: 0.2, 90: 1}\n"));
  REQUIRE(thick.taper);
  CHECK(thick.told().front() == "3:28: 1 in across flats at 90 in: under 1 mm or over 25 mm");
  CHECK(Read("format: stripwright-taper-1\nunit: mm\ntaper: {0: 1, 5000: 25}\n").problems.empty());
  CHECK_FALSE(
      Read("format: stripwright-taper-1\nunit: mm\ntaper: {0: 1, 5000: 25.1}\n").problems.empty());
}

TEST_CASE("a fall towards the butt is told, level flats are not") {
  const Read falls(
      in_inches("taper:\n  0: 0.068\n  40: 0.19\n  45: 0.19\n  50: 0.188\n  90: 0.318\n"));
  REQUIRE(falls.taper);
  CHECK(falls.told().front() ==
        "7:3: the taper falls towards the butt: 0.19 in at 45 in, then 0.188 in at 50 in");
  CHECK(falls.problems.list().front().remedy == "right if a hinge is meant");
  // Not reported as steps of slope: 0.00365 of the length at most.
  CHECK(falls.problems.list().size() == 1);
}

TEST_CASE("a step of slope that no bar follows is told") {
  // The flats grow by 0.002 of the length, then by 0.0062: a step of 0.0042, over 0.004.
  const Read step(in_inches("taper:\n  0: 0.068\n  45: 0.158\n  90: 0.437\n"));
  REQUIRE(step.taper);
  CHECK(step.told() ==
        Told{"5:3: a step of slope at 45 in that no bar follows: the flats grow by 0.002 of the "
             "length before it, by 0.0062 behind it"});
  // 0.002 and 0.0059: a step of 0.0039.
  CHECK(Read(in_inches("taper: {0: 0.068, 45: 0.158, 90: 0.4235}\n")).problems.empty());
  // A smooth taper has no steps.
  CHECK(Read(in_inches("between: smooth\ntaper: {0: 0.068, 45: 0.158, 90: 0.437}\n"))
            .problems.empty());
}

TEST_CASE("the last figure of stations close together makes no step of slope") {
  // A straight taper of 0.0027 in an inch, measured each 0.02 in to a tenth of a thousandth:
  // from reading to reading the slope is 0 or 0.005.
  std::string text = in_inches("taper:\n");
  for (int i = 0; i <= 4500; ++i) {
    const double flats = std::floor((0.068 + 0.0027 * i * 0.02) * 1e4) / 1e4;
    text += "  " + std::to_string(i * 0.02) + ": " + std::to_string(flats) + "\n";
  }
  const Read read(text);
  REQUIRE(read.taper);
  CHECK(read.told() == Told{});
  // A real step among them is told.
  text = in_inches("taper:\n");
  for (int i = 0; i <= 4500; ++i) {
    const double x = i * 0.02;
    const double flats =
        std::floor((0.068 + 0.002 * x + 0.005 * std::max(0.0, x - 45)) * 1e4) / 1e4;
    text += "  " + std::to_string(x) + ": " + std::to_string(flats) + "\n";
  }
  const Read kinked(text);
  REQUIRE_FALSE(kinked.problems.empty());
  for (auto const& each : kinked.problems.list())
    CHECK(each.what.starts_with("a step of slope at 4"));
}

TEST_CASE("ferrules are held against sections and flats") {
  CHECK(Read(yarrow("sections: {tip: {from: 0, to: 45}, butt: {from: 45, to: 90}}\n"
                    "ferrules: [{at: 45, bore: 13/64}]\n"))
            .problems.empty());
  const Read nowhere(
      yarrow("sections: {tip: {from: 0, to: 45}, butt: {from: 45, to: 90}}\n"
             "ferrules:\n  - {at: 46, bore: 13/64}\n"));
  REQUIRE(nowhere.taper);
  CHECK(nowhere.told() == Told{"6:10: a ferrule at 46 in, where no section ends"});
  // 0.2055 in across flats at 45 in; 0.2188 in is more.
  const Read wide(
      yarrow("sections: {tip: {from: 0, to: 45}, butt: {from: 45, to: 90}}\n"
             "ferrules:\n  - {at: 45, bore: 14/64}\n"));
  REQUIRE(wide.taper);
  CHECK(wide.told() ==
        Told{"6:10: a ferrule at 45 in with a bore of 0.21875 in, over 0.2055 in across flats: no "
             "cane is left to turn down"});
  CHECK(wide.taper->ferrules.size() == 1);
  // Between stations the flats are the curve's: 0.13675 in at 22.5 in.
  CHECK(Read(yarrow("sections: {t: {from: 0, to: 22.5}, b: {from: 22.5, to: 90}}\n"
                    "ferrules: [{at: 22.5, bore: 0.1367}]\n"))
            .problems.empty());
  CHECK(Read(yarrow("sections: {t: {from: 0, to: 22.5}, b: {from: 22.5, to: 90}}\n"
                    "ferrules: [{at: 22.5, bore: 0.1368}]\n"))
            .problems.list()
            .size() == 1);
}

TEST_CASE("the shipped tapers are read without a word") {
  std::size_t count = 0;
  for (auto const& entry :
       std::filesystem::directory_iterator(STRIPWRIGHT_SOURCE_DIR "/profiles")) {
    if (entry.path().extension() != ".yaml") continue;
    ++count;
    Problems problems;
    const auto source = files::read_source(entry.path().string(), problems);
    REQUIRE(source);
    CHECK(read_taper(*source, problems));
    INFO(problems.text());
    CHECK(problems.empty());
  }
  CHECK(count >= 3);
}

// In a moment: what grows with the square would run into the time limit of the tests.
TEST_CASE("a taper of 100,000 stations and as many ferrules is read") {
  std::string text = in_inches("taper:\n");
  for (int i = 0; i <= 100'000; ++i)
    text += "  " + std::to_string(i * 0.0009) + ": " + std::to_string(0.068 + i * 2.5e-6) + "\n";
  text += "ferrules:\n";
  for (int i = 0; i < 20'000; ++i)
    text += "  - {at: " + std::to_string(i * 0.0045) + ", bore: 0.05}\n";
  const Read read(text);
  REQUIRE(read.taper);
  CHECK(read.taper->points.size() == 100'001);
  CHECK(read.taper->ferrules.size() == 20'000);
}
