#include "inspection/ring.h"

#include "catch.h"

using namespace stripwright;
using inspection::Stage;

namespace {

std::string const kWhole = R"(format: stripwright-ring-1
taper: yarrow.yaml
section: butt
unit: in
rod: Yarrow 3
piece: A
strips: [s3, s9, s1, s12, s4, "s 7"]
shifts: {s9: 0.5, "s 7": -10 mm}
marked: false
moisture: {ready: 9, glued: 7.5, bare: 7}
readings: {ready: strips.csv, glued: sub/glued.csv, varnished: /tmp/done.csv}
)";

std::optional<Ring> read(std::string const& text, Problems& problems) {
  return read_ring(files::SourceText("rods/butt-a.yaml", text), problems);
}

std::string with(std::string const& old, std::string const& replaced) {
  std::string out = kWhole;
  const auto at = out.find(old);
  REQUIRE(at != std::string::npos);
  return out.replace(at, old.size(), replaced);
}

/// The problems of a file that must be refused.
std::string refusal(std::string const& text) {
  Problems problems;
  INFO(text);
  CHECK(!read(text, problems));
  return problems.text();
}

bool says(std::string const& text, std::string const& what) {
  const auto problems = refusal(text);
  INFO(problems);
  return problems.find(what) != std::string::npos;
}

}  // namespace

TEST_CASE("a ring file with all its keys") {
  Problems problems;
  const auto ring = read(kWhole, problems);
  INFO(problems.text());
  REQUIRE(ring);
  CHECK(problems.empty());
  CHECK(ring->name == "butt-a");
  CHECK(ring->taper == "rods/yarrow.yaml");
  CHECK(ring->section == "butt");
  CHECK(ring->rod == "Yarrow 3");
  CHECK(ring->piece == "A");
  CHECK(ring->strips == std::array<std::string, 6>{"s3", "s9", "s1", "s12", "s4", "s 7"});
  CHECK(ring->shifts[1].in_inches() == Approx(0.5));
  CHECK(ring->shifts[5].in_millimetres() == Approx(-10));
  CHECK(ring->shifts[0] == Length{});
  CHECK(!ring->marked);
  CHECK(ring->percent_moisture ==
        std::map<Stage, double>{{Stage::ready, 9}, {Stage::glued, 7.5}, {Stage::bare, 7}});
  CHECK(ring->readings == std::map<Stage, std::string>{{Stage::ready, "rods/strips.csv"},
                                                       {Stage::glued, "rods/sub/glued.csv"},
                                                       {Stage::varnished, "/tmp/done.csv"}});
}

TEST_CASE("the least that a ring file needs") {
  Problems problems;
  const auto ring =
      read_ring(files::SourceText("r.yaml",
                                  "format: stripwright-ring-1\ntaper: t.yaml\nsection: tip\nunit: "
                                  "mm\nstrips: [1, 2, 3, 4, 5, 6]\n"),
                problems);
  REQUIRE(ring);
  CHECK(ring->taper == "t.yaml");
  CHECK(ring->strips[0] == "1");
  CHECK(ring->marked);
  CHECK(ring->readings.empty());
  CHECK(ring->unit == Unit::millimetre);
}

TEST_CASE("a ring has six different strips") {
  CHECK(says(with("s12, s4, \"s 7\"", "s12, s4"), "5 strips where six make a section"));
  CHECK(says(with("s12", "s3"), "the strip 's3' a second time"));
  CHECK(says(with("s12", "[s12]"), "no strip's name"));
  CHECK(says(with("s12", "\"\""), "no strip's name"));
  CHECK(says(with("[s3, s9, s1, s12, s4, \"s 7\"]", "s3"), "'strips' has a single value"));
}

TEST_CASE("shifts are lengths of strips of the ring") {
  CHECK(says(with("{s9: 0.5,", "{s8: 0.5,"), "a shift of 's8', which is not in the ring"));
  CHECK(says(with("{s9: 0.5,", "{s9: 0,5,"), "not in the ring"));
  CHECK(says(with("{s9: 0.5,", "{s9: 0.5, s9: 1,"), "the shift of 's9' a second time"));
  CHECK(says(with("{s9: 0.5,", "{s9: [1],"), "a list where a length is expected"));
  CHECK(says(with("{s9: 0.5,", "{s9: 40 in,"), "out of its range"));
  CHECK(says(with("{s9: 0.5, \"s 7\": -10 mm}", "0.5"), "'shifts' has a single value"));
}

TEST_CASE("other mistakes in a ring file are told, all at once, with their places") {
  const auto text = refusal(
      "format: stripwright-ring-2\ntaper: \"\"\nsection: bu_tt\nunit: in\nstrips: [a, b, c, d, e, "
      "f]\nmarked: no\nmoisture: {redy: 9, bare: 31}\nreadings: {glued: [x]}\n");
  for (auto const* what :
       {":1:9: the format is", ":2:8: 'taper' names no file",
        ":3:10: 'bu_tt' cannot be a section's name", ":6:9: 'marked' is neither true nor false",
        ":7:12: the unknown key 'redy'", "the nearest known key is 'ready'",
        "'bare' is '31': out of its range", ":8:19: 'glued' has a list"}) {
    INFO(text);
    CHECK(text.find(what) != std::string::npos);
  }
  CHECK(says("format: stripwright-ring-1\n", "lacks the key 'strips'"));
  CHECK(says(kWhole + "unit: mm\n", "a second time"));
}
