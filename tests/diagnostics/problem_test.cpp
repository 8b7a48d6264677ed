#include "diagnostics/problem.h"

#include <algorithm>
#include <sstream>

#include "catch.h"
#include "thinned.h"

using namespace stripwright;

namespace {

Problem at(std::size_t line, std::size_t column, std::string what,
           Severity severity = Severity::error) {
  return {severity, {"yarrow.yaml", line, column}, std::move(what), {}, {}};
}

std::vector<std::string> lines_of(std::string const& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("a problem is its place, the line with a caret, and the way out") {
  Problems problems;
  problems.add({Severity::error,
                {"yarrow.yaml", 3, 6},
                "a comma in a number",
                "write a decimal point",
                "  0: 0,068"});
  CHECK(problems.text() ==
        "yarrow.yaml:3:6: a comma in a number\n"
        "    0: 0,068\n"
        "       ^\n"
        "  write a decimal point\n");
}

TEST_CASE("a problem without a place, a line or a remedy leaves those out") {
  Problems problems;
  problems.error("--units takes in or mm");
  CHECK(problems.text() == "--units takes in or mm\n");
  Problems with_file;
  with_file.add({Severity::error, {"gone.yaml", 0, 0}, "no such file", "check the name", {}});
  CHECK(with_file.text() == "gone.yaml: no such file\n  check the name\n");
}

TEST_CASE("severities are counted, labelled and told errors first") {
  Problems problems;
  CHECK(problems.empty());
  CHECK(problems.text().empty());
  problems.warn("odd", "look again");
  CHECK_FALSE(problems.any_error());
  CHECK_FALSE(problems.any_unmet());
  problems.unmet("too shallow");
  CHECK(problems.any_unmet());
  CHECK_FALSE(problems.any_error());
  problems.error("wrong");
  CHECK(problems.any_error());
  CHECK(problems.errors() == 1);
  CHECK_FALSE(problems.empty());
  CHECK(problems.list().size() == 3);
  CHECK(problems.text() ==
        "wrong\n"
        "cannot be met: too shallow\n"
        "warning: odd\n"
        "  look again\n");
}

TEST_CASE("problems are told by place in each file, in the order found where it is one place") {
  Problems problems;
  problems.add(at(9, 1, "f"));
  problems.add(at(2, 7, "c"));
  problems.add(at(2, 3, "b"));
  problems.add(at(2, 3, "b again"));
  problems.add(at(1, 1, "warned", Severity::warning));
  problems.add({Severity::error, {"a.yaml", 80, 1}, "a", {}, {}});
  CHECK(problems.text() ==
        "a.yaml:80:1: a\n"
        "yarrow.yaml:2:3: b\n"
        "yarrow.yaml:2:3: b again\n"
        "yarrow.yaml:2:7: c\n"
        "yarrow.yaml:9:1: f\n"
        "yarrow.yaml:1:1: warning: warned\n");
}

TEST_CASE("the first twenty are told, and how many more there are") {
  Problems problems;
  for (std::size_t i = 1; i <= 20; ++i) problems.add(at(i, 1, "wrong"));
  CHECK(lines_of(problems.text()).size() == 20);
  CHECK(lines_of(problems.text()).back() == "yarrow.yaml:20:1: wrong");
  problems.add(at(21, 1, "wrong"));
  CHECK(lines_of(problems.text()).size() == 21);
  CHECK(lines_of(problems.text()).back() == "and 1 more");
  for (std::size_t i = 22; i <= 300'000; ++i) problems.add(at(i, 1, "wrong"));
  CHECK(lines_of(problems.text()).back() == "and 299980 more");
  CHECK(problems.errors() == 300'000);
  CHECK(problems.list().size() <= 1000);
}

TEST_CASE("an error behind a thousand warnings is still told") {
  Problems problems;
  for (std::size_t i = 1; i <= 5000; ++i) problems.add(at(i, 1, "odd", Severity::warning));
  CHECK_FALSE(problems.keeps(Severity::warning));
  CHECK(problems.keeps(Severity::error));
  problems.add(at(6000, 1, "wrong"));
  problems.add_unkept(Severity::warning);
  CHECK(problems.any_error());
  CHECK(lines_of(problems.text()).front() == "yarrow.yaml:6000:1: wrong");
  CHECK(lines_of(problems.text()).back() == "and 4982 more");
}

TEST_CASE("lists join, with what they did not keep") {
  Problems all;
  all.warn("odd");
  Problems others;
  for (std::size_t i = 1; i <= 3000; ++i) others.add(at(i, 1, "wrong"));
  all.add_all(others);
  CHECK(all.errors() == 3000);
  CHECK(lines_of(all.text()).back() == "and 2981 more");
  all.add_all(others);
  CHECK(all.errors() == 6000);
  CHECK(lines_of(all.text()).back() == "and 5981 more");
}

TEST_CASE("the text stays under 6,000 bytes, whatever is in it") {
  const std::string long_text(1'000'000, 'x');
  std::string wide;
  for (int i = 0; i < 1000; ++i) wide += "\xF0\x9F\x8E\xA3";
  for (auto const& text : {long_text, wide, std::string(5000, '\x01')}) {
    Problems problems;
    for (std::size_t i = 1; i <= static_cast<std::size_t>(thinned(2000)); ++i)
      problems.add({Severity::error, {text, i, i}, text, text, text});
    const auto shown = problems.text();
    CHECK(shown.size() < 6000);
    CHECK(shown.size() > 1000);
    CHECK(lines_of(shown).back().starts_with("and "));
  }
  // At least one problem is told, however long it is.
  Problems one;
  one.add({Severity::error, {long_text, 1, 1}, wide, wide, wide});
  CHECK(lines_of(one.text()).size() == 4);
}

TEST_CASE("long messages are broken at 80 columns, places and source lines are not") {
  const std::string words =
      "a station that is so far off that a whole sentence is needed to say so";
  Problems problems;
  problems.add(
      {Severity::error,
       {"a file whose name has many blanks and is long.csv", 7, 3},
       words,
       words + ", and another",
       "s1,5,0.0444,0.0441,0.0441,and a line of the file that goes on over all of the columns"});
  CHECK(problems.text() ==
        "a file whose name has many blanks and is long.csv:7:3: a station that is so far\n"
        "    off that a whole sentence is needed to say so\n"
        "  s1,5,0.0444,0.0441,0.0441,and a line of the file that goes on over all of the columns\n"
        "    ^\n"
        "  a station that is so far off that a whole sentence is needed to say so, and\n"
        "  another\n");
  Problems warned;
  warned.warn(words + words);
  for (auto const& line : lines_of(warned.text())) CHECK(line.size() <= 80);
  CHECK(lines_of(warned.text())[0].starts_with("warning: a station"));
}

TEST_CASE("what could upset a terminal is shown as a question mark") {
  Problems problems;
  problems.add({Severity::error,
                {"a\x1b]0;b.yaml", 1, 1},
                "the key '\x1b[2J\n'",
                "leave \xC2\x9B it out",
                "\xE2\x80\xAE: 1"});
  const auto text = problems.text();
  CHECK(text ==
        "a?]0;b.yaml:1:1: the key '?[2J?'\n"
        "  ?: 1\n"
        "  ^\n"
        "  leave ? it out\n");
  Problems bytes;
  bytes.error("--section '\xFF\xC3'");
  CHECK(bytes.text() == "--section '?\?'\n");
}

TEST_CASE("the nearest known word") {
  const std::vector<std::string_view> known = {"varnish",     "cleanup",  "glue_line", "enamel",
                                               "apex_relief", "moisture", "for",       "fit"};
  CHECK(nearest_word("glueline", known) == "glue_line");
  CHECK(nearest_word("glue line", known) == "glue_line");
  CHECK(nearest_word("clenaup", known) == "cleanup");
  // Two neighbours swapped are one slip.
  CHECK(nearest_word("fro", known) == "for");
  CHECK(nearest_word("mositure", known) == "moisture");
  CHECK(nearest_word("Varnish", known) == "varnish");
  CHECK(nearest_word("MOISTURE", known) == "moisture");
  CHECK(nearest_word("enamels", known) == "enamel");
  CHECK(nearest_word("fo", known) == "for");
  CHECK(nearest_word("fi", known) == "fit");
  // Nothing is near.
  CHECK(nearest_word("colour", known).empty());
  CHECK(nearest_word("xyz", known).empty());
  CHECK(nearest_word("", known).empty());
  CHECK(nearest_word("varnish", {}).empty());
  CHECK(nearest_word(std::string(100'000, 'v'), known).empty());
}

TEST_CASE("what must hold and does not stops the program") {
  CHECK_NOTHROW(check_internal(true, "a taper of fewer than two points"));
  CHECK_THROWS_WITH(check_internal(false, "a taper of fewer than two points"),
                    "a taper of fewer than two points");
}
