#include "report/table.h"

#include "catch.h"
#include "report/json.h"
#include "report/paragraph.h"

using namespace stripwright;
using namespace stripwright::report;

namespace {

Table sample() {
  Table table{"sample",
              {{"section", ""},
               {"at", "station", true},
               {"depth", "groove depth", true},
               {"turns", "turns"},
               {"", "by~hand"},
               {"note", ""}},
              {}};
  table.rows.push_back({std::string("tip"), Place{Length::inches(5)}, Length::inches(0.0335),
                        Number{1.70556, 4, 2}, std::string("1 + 254°"), std::string("a \"b\", c")});
  table.rows.push_back({std::string("tip"), Place{Length::inches(12.5)}, std::monostate{},
                        std::monostate{}, std::string(), std::string()});
  return table;
}

}  // namespace

TEST_CASE("CSV is as RFC 4180 has it: CRLF, quotes doubled, a header row with units") {
  // RFC 4180, section 2, rules 1 to 7.
  CHECK(to_csv(sample(), Unit::inch) ==
        "section,at_in,depth_in,turns,note\r\n"
        "tip,5.000000,0.033500,1.7056,\"a \"\"b\"\", c\"\r\n"
        "tip,12.500000,,,\r\n");
}

TEST_CASE("the same table in millimetres has five decimals") {
  CHECK(to_csv(sample(), Unit::millimetre)
            .starts_with("section,at_mm,depth_mm,turns,note\r\ntip,127.00000,0.85090,"));
}

TEST_CASE("at the bench figures stand to the right under their headings") {
  CHECK(to_text(sample(), Unit::inch) ==
        "           groove\n"
        "  station   depth\n"
        "       in      in  turns  by hand\n"
        "        5  0.0335   1.71  1 + 254°\n"
        "     12.5\n");
}

TEST_CASE("JSON has a row an object, figures as in files, nothing as null") {
  const auto json = to_json(sample(), Unit::inch);
  REQUIRE(json.size() == 2);
  CHECK(json[0]["depth_in"] == 0.0335);
  CHECK(json[0]["turns"] == 1.7056);
  CHECK(json[1]["depth_in"].is_null());
  CHECK_FALSE(json[0].contains("by hand"));
}

TEST_CASE("text that is not UTF-8 cannot break the JSON") {
  CHECK_NOTHROW(json_text(Json{{"name", "\xff"}}));
}

TEST_CASE("paragraphs break at blanks within 80 columns and keep long words") {
  const std::string words(100, 'x');
  CHECK(paragraph("a " + words + " b", "- ", "  ") == "- a\n  " + words + "\n  b\n");
  CHECK(paragraph("", "", "") == "\n");
  const auto text = paragraph(
      "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen",
      "", "");
  std::size_t start = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos;
       start = end + 1, end = text.find('\n', start))
    CHECK(end - start <= 80);
}
