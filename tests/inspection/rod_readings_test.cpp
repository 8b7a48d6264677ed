#include "inspection/rod_readings.h"

#include <cmath>

#include "catch.h"

using namespace stripwright;
using inspection::RodTable;

namespace {

struct Read {
  explicit Read(std::string const& bytes, RodTable const& table = {})
      : readings(inspection::read_rod(files::SourceText("rod.csv", bytes), table, problems)) {}

  /// `station flats` in inches, in their order.
  std::vector<std::pair<double, double>> inches() const {
    INFO(problems.text());
    REQUIRE(readings);
    std::vector<std::pair<double, double>> out;
    for (auto const& each : readings->readings)
      out.emplace_back(rounded(each.at.from_zero().in_inches()), rounded(each.flats.in_inches()));
    return out;
  }

  /// Inches that were read as inches are so to the last bit but one.
  static double rounded(double inches) { return std::round(inches * 1e12) / 1e12; }

  bool says(std::string const& what) const {
    INFO(problems.text());
    CHECK(!readings);
    return problems.text().find(what) != std::string::npos;
  }

  Problems problems;
  std::optional<inspection::RodReadings> readings;
};

using Pairs = std::vector<std::pair<double, double>>;
const Pairs kTwo = {{0, 0.068}, {5, 0.081}};

RodTable with_unit(Unit unit) {
  RodTable table;
  table.unit = unit;
  return table;
}

RodTable with_columns(std::string at, std::string flats, std::optional<Unit> unit = std::nullopt) {
  RodTable table;
  table.columns = {std::move(at), std::move(flats)};
  table.unit = unit;
  return table;
}

}  // namespace

TEST_CASE("two columns are taken by their headings where these say which is which") {
  for (const std::string head :
       {"flats_in,station_in", "across flats (in),at (in)", "Flats_in,x_in", "d_in,Station in",
        "flats_in,something_in", "something_in,at_in", "across_in,from_tip_in"})
    CHECK(Read(head + "\n0.068,0\n0.081,5\n").inches() == kTwo);
  for (const std::string head : {"one_in,other_in", "flats_in,across flats_in", "at_in,station_in",
                                 "station_in,d_in", "x_in,value_in"})
    CHECK(Read(head + "\n0,0.068\n5,0.081\n").inches() == kTwo);
}

TEST_CASE("two columns, however they are separated and headed") {
  CHECK(Read("at_in,flats_in\n0,0.068\n5,0.081\n").inches() == kTwo);
  CHECK(Read("\xEF\xBB\xBF# a rod\nstation (in);across flats [in]\r\n5;.081\r\n0;0.068\r\n")
            .inches() == kTwo);
  CHECK(Read("at in\tflats in\n0\t68 thou\n5\t0.081 in\n").inches() == kTwo);
  CHECK(Read("0,0.068\n\n5,0.081\n", with_unit(Unit::inch)).inches() == kTwo);
  CHECK(Read("at,flats\n0,0.068\n5,0.081\n", with_unit(Unit::inch)).inches() == kTwo);
  const Read mixed("at_in,flats_mm\n0,1.7272\n5,2.0574\n");
  CHECK(mixed.inches()[1].second == Approx(0.081).epsilon(1e-14));
  CHECK(mixed.readings->unit == Unit::inch);
}

TEST_CASE("any two columns, by name or by number") {
  const std::string text = "no,station_in,colour,tip_in,mid_in\n1,0,red,0.068,9\n2,5,,0.081,9\n";
  CHECK(Read(text, with_columns("station", "tip")).inches() == kTwo);
  CHECK(Read(text, with_columns("station_in", "tip_in")).inches() == kTwo);
  CHECK(Read(text, with_columns("2", "4")).inches() == kTwo);
  CHECK(Read("x;0.068;0\ny;0.081;5\n", with_columns("3", "2", Unit::inch)).inches() == kTwo);
  CHECK(Read(text).says("none of them said to be station and flats"));
  CHECK(Read(text, with_columns("station", "butt")).says("no column 'butt'"));
  CHECK(Read(text, with_columns("station", "6")).says("no column '6'"));
  CHECK(Read(text, with_columns("station", "0")).says("no column '0'"));
  CHECK(Read(text, with_columns("station", "1.5")).says("no column '1.5'"));
  CHECK(Read(text, with_columns("2", "station")).says("one column for both"));
}

TEST_CASE("stations counted from the butt end") {
  RodTable table = with_unit(Unit::inch);
  table.from_butt = true;
  CHECK(Read("5,0.068\n0,0.081\n", table).inches() == kTwo);
  table.length = "10";
  CHECK(Read("10,0.068\n5,0.081\n", table).inches() == kTwo);
  table.length = "101.6 mm";
  CHECK(Read("5,0.068\n0,0.081\n", table).says("beyond the tip end of a rod of 4 in"));
  table.length = "ten";
  CHECK(Read("5,0.068\n0,0.081\n", table).says("--length 'ten'"));
}

TEST_CASE("readings of three pairs of flats, some of them missing") {
  const std::string text =
      "piece,at_in,f1_in,f2_in,f3_in\ntip,0,0.068,0.067,0.069\nbutt,45,0.2,,0.21\nspare,0,9 mm,,\n";
  const Read all(text);
  REQUIRE(all.readings);
  CHECK(all.readings->of_sections);
  CHECK(all.readings->pieces == std::vector<std::string>{"tip", "butt", "spare"});
  CHECK(all.readings->readings.size() == 6);
  RodTable table;
  table.pieces = {"tip", "butt"};
  const Read some(text, table);
  CHECK(some.inches() == Pairs{{0, 0.068}, {0, 0.067}, {0, 0.069}, {45, 0.2}, {45, 0.21}});
  CHECK(some.readings->readings[1].column == "f2");
  table.pieces = {"mid"};
  CHECK(Read(text, table).says("--piece 'mid': no row has it"));
}

TEST_CASE("what is no table of a rod is refused, at its line, with the way out") {
  CHECK(Read("").says("holds no rows"));
  CHECK(Read("# nothing\n").says("holds no rows"));
  CHECK(Read("at_in,flats_in\n").says("no row with a reading"));
  CHECK(Read("at,flats\n0,1\n").says("the column 'at' says no unit"));
  CHECK(Read("0,0.068\n").says("columns without headings, and no unit"));
  CHECK(Read("at_in,flats_in\n0,1\n", with_unit(Unit::millimetre)).says("leave --unit out"));
  CHECK(Read("format: stripwright-taper-1\n").says("a YAML file"));
  CHECK(Read("a\n1\n").says("separate the columns by commas, tabs or semicolons"));
  CHECK(
      Read("at_in,flats_in\n0,0.068\n0.0,0.081\n").says("rod.csv:3:5: the station 0 in a second"));
  CHECK(Read("at_in,flats_in\n0,0.068\n25.4 mm,1\n1,1\n").says("first in line 3"));
  CHECK(Read("at_in,flats_in\n0,0.068,1\n")
            .says("rod.csv:2:1: not as many fields as columns: 3, and not 2"));
  CHECK(Read("at_in,flats_in\n0\n").says("columns: 1, and not 2"));
  CHECK(Read("at_in,flats_in\n0,0\n").says("out of its range"));
  CHECK(Read("at_in,flats_in\n0,-1\n").says("out of its range"));
  CHECK(Read("at_in,flats_in\n0,4\n").says("out of its range"));
  CHECK(Read("at_in,flats_in\n0,\n").says("rod.csv:2:3"));
  CHECK(Read("at_in,flats_in\n0,0.0x\n5,nan\n").says("rod.csv:3:3"));
  CHECK(Read(std::string("at_in,flats_in\n0,\0\n", 18)).says("NUL"));
  CHECK(Read("at_in,flats_in\n0,\"0.068\n").says("never closed"));
}

TEST_CASE("a decimal comma is refused with the way out, whatever separates the columns") {
  const Read semicolons("at_in;flats_in\n0;0,068\n");
  CHECK(semicolons.says("rod.csv:2:3: '0,068': a comma in a number"));
  CHECK(semicolons.says("write a decimal point"));
  CHECK(Read("at_mm,flats_mm\n0,1,7\n").says("if commas stand in the numbers, write points"));
  // A field too few, or semicolons between them, is no decimal comma.
  CHECK_FALSE(Read("at_mm,flats_mm\n0\n").says("if commas stand"));
  CHECK_FALSE(Read("at_mm;flats_mm\n0;1;7\n").says("if commas stand"));
}
