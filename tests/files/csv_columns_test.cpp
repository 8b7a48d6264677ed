#include "catch.h"
#include "files/csv_reader.h"

using namespace stripwright;
using files::column_name;
using files::csv_separator;

namespace {

std::vector<std::string> fields(std::string const& text, char separator) {
  const files::SourceText source("a.csv", text);
  Problems problems;
  files::CsvReader reader(source, problems, 0, separator);
  files::CsvRecord record;
  std::vector<std::string> out;
  while (reader.next(record))
    for (auto const& field : record.fields) out.emplace_back(field.text);
  CHECK(problems.empty());
  return out;
}

}  // namespace

TEST_CASE("other separators than the comma") {
  CHECK(fields("a;b,c;\"d;e\"\n1;2;3", ';') ==
        std::vector<std::string>{"a", "b,c", "d;e", "1", "2", "3"});
  CHECK(fields("a\tb\n\"1\"\t2\n", '\t') == std::vector<std::string>{"a", "b", "1", "2"});
  CHECK(fields("a;b,c\n", ',') == std::vector<std::string>{"a;b", "c"});
}

TEST_CASE("the separator is that of the first line that is no remark") {
  CHECK(csv_separator("at,flats\n0;1\n") == ',');
  CHECK(csv_separator("# a;b\n\nat;flats\n") == ';');
  CHECK(csv_separator("at\tflats\n") == '\t');
  CHECK(csv_separator("\"a;b\",c\n") == ',');
  CHECK(csv_separator("") == ',');
  CHECK(csv_separator("# only a remark; no line end") == ',');
}

TEST_CASE("a heading has its unit behind it") {
  const auto check = [](std::string_view heading, std::string_view name, std::optional<Unit> unit) {
    INFO(heading);
    CHECK(column_name(heading).name == name);
    CHECK(column_name(heading).unit == unit);
  };
  check("at_in", "at", Unit::inch);
  check("flats_mm", "flats", Unit::millimetre);
  check(" station (in) ", "station", Unit::inch);
  check("across flats [mm]", "across flats", Unit::millimetre);
  check("flats, mm", "flats", Unit::millimetre);
  check("at", "at", std::nullopt);
  check("origin", "origin", std::nullopt);  // ends in `in`, but that is no unit
  check("in", "in", std::nullopt);
  check("", "", std::nullopt);
}
