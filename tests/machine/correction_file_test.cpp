#include "catch.h"
#include "machine/correction.h"

using namespace stripwright;
using namespace stripwright::machine;

namespace {

Length mm(double count) { return Length::millimetres(count); }
Station at(double count) { return Station(mm(count)); }

std::optional<Correction> read(std::string const& text, Problems& problems) {
  return read_correction(files::SourceText("correction.yaml", text), problems);
}

std::string file(std::string const& sections) {
  return "format: stripwright-correction-1\ntaper: Bramble\nmachine: bed\nunit: mm\n" + sections;
}

TEST_CASE("correct: a correction file, read as it was written") {
  for (const auto unit : {Unit::millimetre, Unit::inch}) {
    // A name that YAML would take for something else without its quotes, and for more with them.
    const Correction written{
        "no: \"Bramble\" \\ #1",
        "lifting bed",
        unit,
        {{"tip", {{at(0), mm(-0.0254)}, {at(127), mm(0)}, {at(254), mm(0.0127)}}}, {"butt", {}}}};
    const auto text = correction_text(written);
    INFO(text);
    Problems problems;
    const auto again = read(text, problems);
    INFO(problems.text());
    REQUIRE(again);
    CHECK(again->taper == written.taper);
    CHECK(again->machine == written.machine);
    CHECK(again->unit == unit);
    REQUIRE(again->sections.size() == 2);
    REQUIRE(again->of("tip")->points.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
      auto const& point = again->of("tip")->points[i];
      // To the last printed digit: 6 decimals of an inch, 5 of a millimetre.
      CHECK(abs(point.at - written.sections[0].points[i].at) < mm(0.00002));
      CHECK(abs(point.add - written.sections[0].points[i].add) < mm(0.00002));
    }
    CHECK(again->of("butt")->points.empty());
    CHECK(again->of("mid") == nullptr);
    CHECK(correction_text(*again) == text);
  }
}

TEST_CASE("correct: a correction file by hand, in any order and unit") {
  Problems problems;
  const auto read_back =
      read(file("sections:\n  tip: {points: [{at: 10 in, add: 1 thou}, {at: 0, add: -0.02}]}\n"),
           problems);
  INFO(problems.text());
  REQUIRE(read_back);
  auto const& points = read_back->of("tip")->points;
  REQUIRE(points.size() == 2);
  CHECK(points[0].at == at(0));
  CHECK(points[0].add == mm(-0.02));
  CHECK(points[1].at.from_zero().in_millimetres() == Approx(254));
  CHECK(points[1].add.in_millimetres() == Approx(0.0254));
}

TEST_CASE("correct: mistakes in a correction file are all told with their places") {
  struct Row {
    char const* sections;
    char const* told;
  };
  for (auto const& [sections, told] :
       {Row{"sections: {tip: {points: [{at: 0, add: 3}]}}\n", "correction.yaml:5:40"},
        Row{"sections: {tip: {points: [{at: 0}]}}\n", "add"},
        Row{"sections: {tip: {points: [{at: 0, add: 0.01}, {at: 0.0 mm, add: 0.02}]}}\n",
            "the station 0 mm a second time"},
        Row{"sections: {tip: {points: [{at: 0, add: 0.01, by: 2}]}}\n", "unknown key 'by'"},
        Row{"sections: {tip: {points: [7]}}\n", "correction.yaml:5:27"},
        Row{"sections: {tip: 7}\n", "correction.yaml:5:17"}, Row{"", "sections"}}) {
    Problems problems;
    INFO(sections);
    CHECK(!read(file(sections), problems));
    const auto text = problems.text();
    INFO(text);
    CHECK(text.find(told) != std::string::npos);
  }
}

}  // namespace
