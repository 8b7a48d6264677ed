#include "inspection/readings.h"

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

/// `line:column what | remedy` of each problem.
std::vector<std::string> told(Problems const& problems) {
  std::vector<std::string> out;
  for (auto const& each : problems.list())
    out.push_back(std::to_string(each.place.line) + ":" + std::to_string(each.place.column) + " " +
                  each.what + (each.remedy.empty() ? "" : " | " + each.remedy));
  return out;
}

std::vector<std::string> faults(std::string const& csv, std::optional<Unit> unit = {}) {
  Problems problems;
  CHECK_FALSE(Bench().read(csv, problems, unit));
  return told(problems);
}

std::string first_fault(std::string const& csv) {
  const auto all = faults(csv);
  return all.empty() ? "" : all.front();
}

bool holds(std::string const& text, std::string const& part) {
  return text.find(part) != std::string::npos;
}

double mean(Readings const& readings, std::size_t piece, std::size_t place, std::size_t height) {
  return readings.pieces[piece].places[place].heights[height].mean.in_millimetres();
}

TEST_CASE("strips: rows in any order, heights missing or empty, the same place brought together") {
  const auto readings = Bench().must_read(
      "strip,at_mm,a_mm,b_mm,c_mm\n"
      "s1,250,1.502,,\n"
      "s2,0,1.003,1.001,1.002\n"
      "\n"
      "# the caliper was zeroed here\n"
      "s1,0,1.004,,\n"
      "s1,250,,1.499,\n"
      "s1,250,1.504,,\n"
      "s1,0.1 m,1.201,,\n");
  CHECK(readings.kind == ReadingKind::strips);
  REQUIRE(readings.pieces.size() == 2);
  auto const& s1 = readings.pieces[0];
  CHECK(s1.name == "s1");
  REQUIRE(s1.places.size() == 3);
  CHECK(s1.places[0].at == at(0));
  CHECK(s1.places[1].at == at(100));
  CHECK(s1.places[2].at == at(250));
  CHECK(s1.places[2].heights[0].count == 2);
  CHECK(mean(readings, 0, 2, 0) == Approx(1.503));
  CHECK(s1.places[2].heights[0].spread.in_millimetres() == Approx(0.0014142136));
  CHECK(s1.places[2].heights[1].count == 1);
  CHECK_FALSE(s1.places[2].heights[2].read());
  CHECK(mean(readings, 1, 0, 2) == Approx(1.002));
  CHECK(readings.targets[s1.places[2].targets][0]->value.in_millimetres() == Approx(1.5));
}

TEST_CASE("units stand in the header, in the field, or on the call") {
  const Bench bench;
  const auto inches = bench.must_read("strip,at_in,a_in\ns1,0,0.0394\ns1,5,1.25 mm\n");
  CHECK(mean(inches, 0, 0, 0) == Approx(0.0394 * 25.4));
  CHECK(inches.pieces[0].places[1].at.from_zero().in_millimetres() == Approx(127));
  CHECK(mean(inches, 0, 1, 0) == Approx(1.25));
  const auto mixed = bench.must_read("a_mm,strip,at_in\n1.01,s1,0\n");
  CHECK(mean(mixed, 0, 0, 0) == Approx(1.01));
  Problems problems;
  const auto named = bench.read("strip,at,a\ns1,0,0.0394\n", problems, Unit::inch);
  REQUIRE(named);
  CHECK(mean(*named, 0, 0, 0) == Approx(0.0394 * 25.4));
  CHECK(holds(first_fault("strip,at,a\ns1,0,1\n"), "the column 'at' says no unit"));
  CHECK(holds(faults("strip,at_in,a_in\ns1,0,1\n", Unit::millimetre)[0],
              "the column 'at_in' says in, but --readings-unit mm"));
}

TEST_CASE("CRLF, a byte order mark, quotes and blanks change nothing") {
  const auto readings = Bench().must_read(
      "\xEF\xBB\xBF\"strip\", at_mm ,\"a_mm\"\r\n\"s \"\"1\"\"\", 0 ,\"1.01\"\r\n");
  CHECK(readings.pieces[0].name == "s \"1\"");
  CHECK(mean(readings, 0, 0, 0) == Approx(1.01));
}

TEST_CASE("from_end counts from the uncut strip's own tip end") {
  Bench bench;
  bench.targets.pop_back();  // only the tip
  const auto readings =
      bench.must_read("strip,from_end_mm,a_mm\ns1,0,0.93\ns1,40,1.01\ns1,570,2.07\n");
  CHECK(readings.pieces[0].places[0].at == at(-40));
  CHECK(readings.pieces[0].places[1].at == at(0));
  CHECK(readings.pieces[0].places[2].at == at(530));
  // With two sections that says nothing of which.
  CHECK(holds(first_fault("strip,from_end_mm,a_mm\ns1,0,0.93\n"),
              "the section does not follow from the place | add a column section, or call with "
              "--section; the sections are tip, butt"));
}

TEST_CASE(
    "the section is the row's, or the one that holds all of the strip, or the station's own") {
  const Bench bench;
  const auto section = [&](std::string const& rows) {
    const auto readings = bench.must_read("strip,at_mm,a_mm\n" + rows);
    std::string out;
    for (auto const& piece : readings.pieces) out += piece.name + std::to_string(piece.section);
    return out;
  };
  CHECK(section("s,0,1\ns,500,2\n") == "s0");  // 500 alone would be of either
  CHECK(section("s,500,2\ns,1000,3\n") == "s1");
  CHECK(section("s,480,2\ns,520,2\ns,1000,3\n") == "s1");  // 480 lies on its spare
  CHECK(section("s,100,1.2\ns,900,2.8\n") == "s0s1");      // no strip holds both
  CHECK(bench.must_read("strip,section,at_mm,a_mm\ns,butt,500,2\n").pieces[0].section == 1);
  CHECK(holds(first_fault("strip,at_mm,a_mm\ns,500,2\n"),
              "2:3 station 500 mm may be of several sections"));
  // The spare ends 40 before the tip and 30 behind the butt.
  CHECK(section("s,-40,0.92\n") == "s0");
  CHECK(section("s,1030,3.06\n") == "s1");
  for (const char* row : {"s,-41,1\n", "s,1031,1\n"})
    CHECK(holds(first_fault(std::string("strip,at_mm,a_mm\n") + row),
                "is on the strip of no section"));
  CHECK(holds(first_fault("strip,section,at_mm,a_mm\ns,mid,500,2\n"),
              "2:3 the taper has no section 'mid' | its sections are tip, butt"));
}

TEST_CASE("rows of sections that were not asked for are left out, and counted") {
  Bench bench;
  auto order = bench.order();
  order.choice.sections = {bench.targets[1].get()};
  order.choice.left_out = {"tip"};
  const files::SourceText source(
      "x", "strip,section,at_mm,a_mm\ns1,tip,0,1\ns1,butt,600,2.2\ns2,tip,9999,77\n");
  Problems problems;
  const auto readings = read_readings(source, *read_columns(source, {}, problems), order, problems);
  REQUIRE(readings);
  CHECK(readings->pieces.size() == 1);
  CHECK(readings->left_out == 2);
}

TEST_CASE("every bad row is named by its line, all at once") {
  const auto all = faults(
      "strip,at_mm,a_mm\n"
      "s1,0\n"           // 2
      "s1,0,1,01\n"      // 3
      "s1,0,1e0\n"       // 4
      "s1,,1\n"          // 5
      ",0,1\n"           // 6
      "s1,0,\n"          // 7
      "s1,0,1\n"         // right
      "s1,0,-1\n"        // 9
      "s1,0,0\n"         // 10
      "s1,0,1\"\n"       // 11
      "s1,1e3,1.01\n");  // 12
  REQUIRE(all.size() == 10);
  const auto found = [&](std::string const& start) {
    return std::any_of(all.begin(), all.end(),
                       [&](auto const& each) { return each.starts_with(start); });
  };
  CHECK(found("2:1 2 fields under 3 columns"));
  CHECK(found("3:1 4 fields under 3 columns | is there a decimal comma? write a point"));
  CHECK(found("4:6 '1e0': an exponent"));
  CHECK(found("5:4 no length given"));
  CHECK(found("6:1 a reading of no name"));
  CHECK(found("7:1 a row without a reading"));
  CHECK(found("9:6 a of -1 mm cannot be"));
  CHECK(found("10:6 a of 0 mm cannot be"));
  CHECK(found("11:7 a quote inside a field"));
  CHECK(found("12:4 '1e3': an exponent"));
}

TEST_CASE("headers that are none") {
  const auto fault = [](std::string const& header) { return first_fault(header + "\ns1,0,1\n"); };
  CHECK(holds(fault("s1,0,1.01"), "a number where the names of the columns are expected"));
  CHECK(holds(fault("strip,at_mm,A_mm"), "1:13 the unknown column 'A_mm' | is a_mm meant?"));
  CHECK(holds(fault("strip,at_mm,a_mm,a_in"), "a second column 'a'"));
  CHECK(
      holds(fault("strip,at_mm,a_mm,f1_mm"), "the column 'f1_mm' of sections in a file of strips"));
  CHECK(holds(fault("strip,a_mm"), "no column at"));
  CHECK(holds(fault("at_mm,a_mm"), "no column strip"));
  CHECK(holds(fault("strip,at_mm"), "no column with a reading"));
  CHECK(holds(fault("strip,at_mm,from_end_mm,a_mm"), "two columns for the place"));
  CHECK(holds(fault("strip_mm,at_mm,a_mm"), "the unknown column 'strip_mm'"));
  CHECK(holds(fault("machine_at_mm,at_mm,gauge_mm"), "two columns for the place"));
  CHECK(holds(first_fault("# nothing\n"), "holds no readings"));
  CHECK(holds(first_fault("strip,at_mm,a_mm\n"), "holds no readings"));
  CHECK(holds(first_fault("strip,at_mm,a_mm\ns1,0,\x01\n"), "a control character"));
}

TEST_CASE("a reading that cannot be is refused with a guess at why") {
  const auto guess = [](std::string const& row) {
    const auto all = faults("strip,section,at_mm,a_mm\n" + row + "\n");
    REQUIRE(all.size() == 1);
    return all.front();
  };
  // Targets: tip 1 at 0, 1.5 at 250, 2 at 500; butt 2 at 500, 3 at 1000.
  CHECK(holds(guess("s,tip,250,0.059"),
              "2:11 a of 0.059 mm cannot be: it should be near 1.500 mm | a "
              "number in inches that was taken for millimetres?"));
  CHECK(holds(guess("s,tip,250,38.1 in"), "measure again"));  // its unit is written: no guess
  CHECK(holds(guess("s,tip,250,15.0"), "a slip of the decimal point?"));
  CHECK(holds(guess("s,tip,250,1502"), "thousandths of a millimetre? write um behind the number"));
  CHECK(holds(guess("s,tip,250,7"), "measure again, or correct the row"));
  CHECK(holds(guess("s,tip,600,2.2"),
              "2:7 station 600 mm is off the strip of section tip | the strip, "
              "spare included, goes from station -40 mm to 530 mm"));
  CHECK(holds(guess("s,butt,100,2.2"),
              "stations count from the rod's tip end: the section begins at 500 "
              "mm; is another section meant, or from_end?"));
  CHECK(holds(guess("s,butt,30,2.2"), "a number in inches that was taken for millimetres?"));
  const auto in_inches =
      faults("strip,section,at_in,a_in\ns,tip,0,1.01\ns,tip,0,39.5\ns,butt,700,0.1\n");
  REQUIRE(in_inches.size() == 3);
  CHECK(holds(in_inches[0], "a number in millimetres that was taken for inches?"));
  CHECK(holds(in_inches[1], "thousandths of an inch? write thou behind the number"));
  CHECK(holds(in_inches[2], "a number in millimetres that was taken for inches?"));
}

/// Rows of strips of the tip as they should be, 1 + 0.002 x, in this unit's numbers.
std::string tip_rows(double per_mm, std::string const& separator = ",") {
  std::string out;
  for (int s = 0; s < 3; ++s)
    for (int x = 0; x <= 500; x += 100)
      out += "s" + std::to_string(s) + separator + std::to_string(x) + separator +
             std::to_string((1 + 0.002 * x) * per_mm) + "\n";
  return out;
}

TEST_CASE("what is wrong in nearly all rows for one cause is told once") {
  const auto inches = faults("strip,at_mm,a_mm\n" + tip_rows(1 / 25.4));
  REQUIRE(inches.size() == 1);
  CHECK(inches[0] ==
        "2:6 a of 0.03937 mm cannot be: it should be near 1.000 mm; and 17 more, in nearly all "
        "rows, are wrong in the same way | a number in inches that was taken for millimetres? then "
        "head the columns a_in");
  // What is wrong besides is told as well.
  const auto other = faults("strip,at_mm,a_mm\n" + tip_rows(1 / 25.4) + ",0,0.04\n");
  REQUIRE(other.size() == 2);
  CHECK(other[0].starts_with("20:1 a reading of no name"));
  const auto commas = faults("strip;at_mm;a_mm\n" + [] {
    auto rows = tip_rows(1, ";");
    std::replace(rows.begin(), rows.end(), '.', ',');
    return rows;
  }());
  REQUIRE(commas.size() == 1);
  CHECK(holds(commas[0], "and 17 more, in nearly all rows"));
  CHECK(holds(commas[0], "decimal"));
  // Among right rows each has to be found.
  const auto some =
      faults("strip,at_mm,a_mm\n" + tip_rows(1) + "t,0,0.04\nt,100,0.05\nt,200,0.055\n" +
             "t,300,0.06\nt,400,0.07\nt,500,0.08\n");
  CHECK(some.size() == 6);
}

TEST_CASE("columns at and a that are swapped are asked about") {
  const auto swapped = [](std::string const& head) { return faults(head + "\n" + tip_rows(1)); };
  const auto all = swapped("strip,a_mm,at_mm");
  REQUIRE(all.size() == 1);
  CHECK(holds(all[0], "1:12 are the columns at and a swapped?"));
  CHECK(swapped("strip,b_mm,at_mm").size() == 1);
  CHECK(holds(swapped("strip,b_mm,at_mm")[0], "are the columns at and b swapped?"));
}

TEST_CASE("semicolons and tabs between the columns are as good as commas") {
  for (const std::string separator : {";", "\t"}) {
    const auto readings = Bench().must_read("strip" + separator + "at_mm" + separator + "a_mm\n" +
                                            "# a remark, with a comma\n" + tip_rows(1, separator));
    CHECK(readings.pieces.size() == 3);
    CHECK(mean(readings, 2, 5, 0) == Approx(2));
  }
  CHECK(holds(first_fault("strip;at_mm;a_mm\ns1;0;1,01\n"), "2:6 '1,01'"));
  CHECK(holds(first_fault("strip;at_mm;a_mm\ns1;0\n"), "keep what separates them"));
  CHECK(holds(first_fault("strip;at_mm;a_mm\ns1;0;1;2\n"), "each row has a field for each column"));
}

TEST_CASE("sections and the order of magnitude they have") {
  const Bench bench(shop_text(kFlat), Stage::glued);
  const auto readings = bench.must_read("piece,at_mm,f1_mm,f2_mm,f3_mm\ntip 1,0,2.01,2.02,2\n");
  CHECK(readings.kind == ReadingKind::sections);
  CHECK(mean(readings, 0, 0, 1) == Approx(2.02));
  Problems problems;
  CHECK_FALSE(bench.read("piece,at_mm,f1_mm\ntip 1,0,0.5\n", problems));
  CHECK(problems.errors() == 1);
}

TEST_CASE("a hundred thousand rows in any order give what the same rows in order give") {
  std::string in_order = "strip,at_mm,a_mm\n";
  std::vector<std::string> rows;
  for (int s = 0; s < 500; ++s)
    for (int p = 0; p < 20; ++p)
      rows.push_back("s" + std::to_string(s) + "," + std::to_string(25 * p) + ",1." +
                     std::to_string(100 + (s * 7 + p) % 90));
  for (auto const& row : rows) in_order += row + "\n";
  std::string backwards = "strip,at_mm,a_mm\n";
  for (auto row = rows.rbegin(); row != rows.rend(); ++row) backwards += *row + "\n";
  const Bench bench;
  const auto one = bench.must_read(in_order);
  const auto other = bench.must_read(backwards);
  REQUIRE(one.pieces.size() == 500);
  REQUIRE(other.pieces.size() == 500);
  CHECK(one.targets.size() == 20);
  for (std::size_t s = 0; s < 500; ++s) {
    auto const& a = one.pieces[s];
    auto const& b = other.pieces[499 - s];
    REQUIRE(a.name == b.name);
    REQUIRE(a.places.size() == 20);
    for (std::size_t p = 0; p < 20; ++p) {
      REQUIRE(a.places[p].at == b.places[p].at);
      REQUIRE(a.places[p].heights[0].mean == b.places[p].heights[0].mean);
    }
  }
}

}  // namespace
