#include "files/csv_reader.h"

#include "catch.h"

namespace stripwright::files {
namespace {

using Rows = std::vector<std::vector<std::string>>;

struct Read {
  Rows rows;
  Problems problems;
};

Read read(std::string bytes) {
  Read out;
  const SourceText source("readings.csv", std::move(bytes));
  CsvReader reader(source, out.problems);
  CsvRecord record;
  while (reader.next(record)) {
    auto& row = out.rows.emplace_back();
    for (auto const& field : record.fields) row.emplace_back(field.text);
  }
  return out;
}

/// One pair of the csv-spectrum corpus: a text and the records it holds, the header row first.
struct Spectrum {
  std::string name;
  std::string csv;
  Rows rows;
};

// csv-spectrum 2.0.0 by Max Ogden (npm package csv-spectrum, BSD-2-Clause): each text and what
// its JSON file says it holds. Its twelfth pair, location_coordinates, has a quote in an unquoted
// field, which RFC 4180 forbids; it stands with the mistakes below.
std::vector<Spectrum> spectrum() {
  return {{"comma_in_quotes",
           "first,last,address,city,zip\nJohn,Doe,120 any st.,\"Anytown, WW\",08123",
           {{"first", "last", "address", "city", "zip"},
            {"John", "Doe", "120 any st.", "Anytown, WW", "08123"}}},
          {"empty", "a,b,c\n1,\"\",\"\"\n2,3,4", {{"a", "b", "c"}, {"1", "", ""}, {"2", "3", "4"}}},
          {"empty_crlf",
           "a,b,c\r\n1,\"\",\"\"\r\n2,3,4",
           {{"a", "b", "c"}, {"1", "", ""}, {"2", "3", "4"}}},
          {"escaped_quotes",
           "a,b\n1,\"ha \"\"ha\"\" ha\"\n3,4\n",
           {{"a", "b"}, {"1", "ha \"ha\" ha"}, {"3", "4"}}},
          {"json",
           "key,val\n1,\"{\"\"type\"\": \"\"Point\"\", \"\"coordinates\"\": [102.0, 0.5]}\"\n",
           {{"key", "val"}, {"1", "{\"type\": \"Point\", \"coordinates\": [102.0, 0.5]}"}}},
          {"newlines",
           "a,b,c\n1,2,3\n\"Once upon \na time\",5,6\n7,8,9\n",
           {{"a", "b", "c"}, {"1", "2", "3"}, {"Once upon \na time", "5", "6"}, {"7", "8", "9"}}},
          {"newlines_crlf",
           "a,b,c\r\n1,2,3\r\n\"Once upon \r\na time\",5,6\r\n7,8,9\r\n",
           {{"a", "b", "c"}, {"1", "2", "3"}, {"Once upon \r\na time", "5", "6"}, {"7", "8", "9"}}},
          {"quotes_and_newlines",
           "a,b\n1,\"ha \n\"\"ha\"\" \nha\"\n3,4\n",
           {{"a", "b"}, {"1", "ha \n\"ha\" \nha"}, {"3", "4"}}},
          {"simple", "a,b,c\n1,2,3\n", {{"a", "b", "c"}, {"1", "2", "3"}}},
          {"simple_crlf", "a,b,c\r\n1,2,3\r\n", {{"a", "b", "c"}, {"1", "2", "3"}}},
          {"utf8",
           "a,b,c\n1,2,3\n4,5,\xCA\xA4",
           {{"a", "b", "c"}, {"1", "2", "3"}, {"4", "5", "\xCA\xA4"}}}};
}

TEST_CASE("the csv-spectrum corpus reads as its JSON says") {
  for (auto const& pair : spectrum()) {
    INFO(pair.name);
    const auto found = read(pair.csv);
    CHECK(found.rows == pair.rows);
    CHECK(found.problems.empty());
  }
}

TEST_CASE("what RFC 4180 allows: last line end or none, empty fields, blanks that belong to them") {
  CHECK(read("a,b\r\n1,2\r\n").rows == Rows{{"a", "b"}, {"1", "2"}});
  CHECK(read("a,b\r\n1,2").rows == Rows{{"a", "b"}, {"1", "2"}});
  CHECK(read("a,,c\n,,\n").rows == Rows{{"a", "", "c"}, {"", "", ""}});
  CHECK(read(" a , b \n").rows == Rows{{" a ", " b "}});
  CHECK(read("\"a\"\n").rows == Rows{{"a"}});
  CHECK(read("\"\"\"\"\n").rows == Rows{{"\""}});
  CHECK(read("").rows.empty());
}

TEST_CASE("beyond the RFC: a byte order mark, blank lines and remarks are passed over") {
  CHECK(read("\xEF\xBB\xBF"
             "a,b\n1,2\n")
            .rows == Rows{{"a", "b"}, {"1", "2"}});
  CHECK(read("# made at the bench\n\na\n   \n# no row, \"not even\n1\n\t\r\n  # indented\n").rows ==
        Rows{{"a"}, {"1"}});
  // In quotes it is a field.
  CHECK(read("\"#1\",5\n").rows == Rows{{"#1", "5"}});
  CHECK(read("s#1,5\n").rows == Rows{{"s#1", "5"}});
}

TEST_CASE("a record that breaks the rules is told, and reading goes on behind it") {
  const auto found = read(
      "a,b\n"
      "1,2\"\n"     // a quote inside
      "\"3\"x,4\n"  // something behind a closing quote
      "5,6\n"
      "7\r8,9\n"   // a carriage return alone
      "10,\"11\n"  // never closed
      "12,13\n");
  CHECK(found.rows == Rows{{"a", "b"}, {"5", "6"}, {"12", "13"}});
  auto const& list = found.problems.list();
  REQUIRE(list.size() == 4);
  CHECK(list[0].place.line == 2);
  CHECK(list[0].place.column == 4);
  CHECK(list[0].what == "a quote inside a field that does not begin with one");
  CHECK(list[1].place.line == 3);
  CHECK(list[1].what == "something behind the closing quote of a field");
  CHECK(list[2].place.line == 5);
  CHECK(list[2].place.column == 2);
  CHECK(list[2].what == "a carriage return that ends no line");
  CHECK(list[3].place.line == 6);
  CHECK(list[3].place.column == 4);
  CHECK(list[3].what == "a quote that is never closed");

  // csv-spectrum's location_coordinates.
  const auto coordinates =
      read("Phone,Coordinates,City\n1,37\xEF\xBF\xBD\x33\x36'37.8\"N,Modesto\n");
  CHECK(coordinates.rows.size() == 1);
  CHECK(coordinates.problems.errors() == 1);
}

TEST_CASE("fields know where they stand") {
  const SourceText source("x", "\xEF\xBB\xBF# one\na,\"b \"\"c\"\"\"\r\nd,e");
  Problems problems;
  CsvReader reader(source, problems);
  CsvRecord record;
  REQUIRE(reader.next(record));
  CHECK(record.offset == 6);
  CHECK(record.fields[1].offset == 8);
  CHECK(record.fields[1].text == "b \"c\"");
  CHECK(source.text().substr(record.end, 2) == "\r\n");
  REQUIRE(reader.next(record));
  CHECK(source.place(record.fields[1].offset).line == 3);
  CHECK(source.place(record.fields[1].offset).column == 3);
  CHECK_FALSE(reader.next(record));

  CsvReader from_second(source, problems, record.offset);
  REQUIRE(from_second.next(record));
  CHECK(record.fields[0].text == "d");
}

TEST_CASE("texts of earlier records stay while the reader lives") {
  const SourceText source("x", "\"a\"\"1\"\n\"b\"\"2\"\n\"c\"\"3\"\n");
  Problems problems;
  CsvReader reader(source, problems);
  CsvRecord record;
  std::vector<std::string_view> seen;
  while (reader.next(record)) seen.push_back(record.fields[0].text);
  CHECK(seen == std::vector<std::string_view>{"a\"1", "b\"2", "c\"3"});
}

TEST_CASE("a field that is written reads back") {
  for (const std::string text : {"s1", "", "a,b", "\"", "say \"so\"", "two\nlines", "# no"}) {
    const auto found = read(csv_quoted(text) + ",1\n");
    REQUIRE(found.rows.size() == 1);
    CHECK(found.rows[0][0] == text);
  }
}

TEST_CASE("bytes that are no text are told before anything is read") {
  const auto clean = [](std::string bytes) {
    const SourceText source("x", std::move(bytes));
    Problems problems;
    return check_csv_bytes(source, problems);
  };
  CHECK(clean("strip,at_in\ns1,\t5\r\n"));
  CHECK(clean("caf\xC3\xA9,1\n"));
  CHECK_FALSE(clean("a\xC3,1\n"));
  CHECK_FALSE(clean(std::string("a\0b", 3)));
  CHECK_FALSE(clean("a\x1B[0m\n"));
  CHECK_FALSE(clean("a\x7F\n"));
  CHECK(clean(std::string(999'000, 'a') + "\n" + std::string(999'000, 'b')));
  CHECK_FALSE(clean("a\n" + std::string(1'100'000, 'b') + "\nc\n"));
  CHECK_FALSE(clean(std::string(1'600'000, 'b')));
}

}  // namespace
}  // namespace stripwright::files
