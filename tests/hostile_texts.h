#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "catch.h"
#include "files/source_text.h"

namespace hostile {

/// A file that must be refused, and part of what is to be said of it.
struct Text {
  std::string name;
  std::string bytes;
  std::string says;
};

inline std::string repeated(std::string_view part, std::size_t times) {
  std::string out;
  out.reserve(part.size() * times);
  for (std::size_t i = 0; i < times; ++i) out += part;
  return out;
}

/// Files that are no file of any kind of ours, whatever the reader; `sound` is one that is,
/// and ends in a line end.
inline std::vector<Text> of_any_kind(std::string const& sound) {
  using namespace std::string_literals;
  constexpr std::size_t kAlmostAMegabyte = 990'000;
  std::vector<Text> texts = {
      {"nothing", "", "empty"},
      {"one byte", "x", "a single value where"},
      {"only a remark", "# " + sound.substr(0, 10), "empty"},
      {"NUL byte", sound + "\0"s, "a NUL byte"},
      {"NUL bytes only", std::string(5000, '\0'), "a NUL byte"},
      {"UTF-16", "\xFF\xFE" + sound, "not UTF-8"},
      {"Latin-1", sound + "# \xFC\n", "not UTF-8"},
      {"cut character", sound + "# \xC3", "not UTF-8"},
      {"surrogate", sound + "# \xED\xA0\x80\n", "not UTF-8"},
      {"overlong slash", sound + "# \xC0\xAF\n", "not UTF-8"},
      {"control character", sound + "# \x1b[2J\n", "control character"},
      {"C1 control character", sound + "# \xC2\x9B"s + "2J\n", "control character"},
      {"end of transmission", sound + "\x04", "control character"},
      {"two byte order marks", "\xEF\xBB\xBF\xEF\xBB\xBF" + sound, "byte order mark"},
      {"old Macintosh line ends", "a: 1\rb: 2\r", "carriage return"},
      {"tab indent", sound + "about:\n\tx: 1\n", "a tab in the indent"},
      {"line over 1 MB", sound + "# " + std::string(1'000'000, 'x') + "\n", "over 1 MB"},
      {"20,000 open brackets", sound + "about: " + std::string(20'000, '['), "nested more than 32"},
      {"20,000 closed brackets",
       sound + "about: " + std::string(20'000, '[') + std::string(20'000, ']') + "\n",
       "nested more than 32"},
      {"20,000 braces", std::string(20'000, '{'), "nested more than 32"},
      {"20,000 maps", repeated("{a: ", 20'000), "nested more than 32"},
      {"20,000 dashes", repeated("- ", 20'000), "nested more than 32"},
      {"20,000 questions", repeated("? ", 20'000), "nested more than 32"},
      {"20,000 stairs", repeated("- ? ", 10'000), "nested more than 32"},
      {"33 deep", sound + "about: " + std::string(32, '[') + std::string(32, ']') + "\n",
       "nested more than 32"},
      {"a megabyte of [", std::string(kAlmostAMegabyte, '['), "nested more than 32"},
      {"a megabyte of {", std::string(kAlmostAMegabyte, '{'), "nested more than 32"},
      {"a megabyte of :", std::string(kAlmostAMegabyte, ':'), "a colon where none can be"},
      {"a megabyte of \\", "\"" + std::string(kAlmostAMegabyte, '\\') + "\"", "a single value"},
      {"a megabyte of '", std::string(kAlmostAMegabyte, '\''), "a single value where"},
      {"a megabyte of &", std::string(kAlmostAMegabyte, '&'), "an anchor"},
      {"a megabyte of *", std::string(kAlmostAMegabyte, '*'), "an alias"},
      {"a megabyte of !", std::string(kAlmostAMegabyte, '!'), ""},
      {"a megabyte of %", std::string(kAlmostAMegabyte, '%'), ""},
      {"a megabyte of ,", std::string(kAlmostAMegabyte, ','), ""},
      {"a megabyte of ]", std::string(kAlmostAMegabyte, ']'), ""},
      {"a megabyte of blanks", std::string(kAlmostAMegabyte, ' '), "empty"},
      {"a megabyte of line ends", std::string(kAlmostAMegabyte, '\n'), "empty"},
      {"a megabyte of documents", repeated("---\n", kAlmostAMegabyte / 4), "several documents"},
      {"a megabyte of words", repeated("a ", kAlmostAMegabyte / 2), "a single value where"},
      {"keys in one flow map", "{" + repeated("a, ", kAlmostAMegabyte / 3) + "}", "unknown key"},
      {"empty entries", "{" + repeated(", ", kAlmostAMegabyte / 2) + "}", "plain word"},
      {"one key again and again", repeated("unit: in\n", 100'000), "a second time"},
      {"100,000 aliases", "a: &a 1\n" + repeated("b: *a\n", 100'000), "an alias"},
      {"100,000 anchors", repeated("b: &a 1\n", 100'000), "an anchor"},
      {"alias loop", sound + "about: &a [*a]\n", "an alias"},
      {"alias of nothing", sound + "about: *a\n", "an alias"},
      {"alias as a key", "? &a [*a]\n: 1\n", "an alias"},
      {"merge key", sound + "<<: {a: 1}\n", "a merge key"},
      {"tag", sound + "about: !!python/object x\n", "a tag"},
      {"list as a key", sound + "[a, b]: 1\n", "plain word"},
      {"several documents", sound + "---\n" + sound, "several documents"},
      {"second document broken", sound + "---\n" + std::string(200, '['), "several documents"},
      {"something behind the end", sound + "...\nabout: x\n", "does not fit"},
      {"open bracket", sound + "about: [1\n", "["},
      {"open brace", sound + "about: {a: 1\n", "{"},
      {"open quote", sound + "about: 'x\n", "quotes that are not closed"},
      {"open double quote", sound + "about: \"x\n", "quotes that are not closed"},
      {"open quote at the top", "'" + sound, "single value"},
      {"list at the top", "- 1\n- 2\n", "a list where"},
      {"colon in a value", sound + "about: a: b\n", "a colon where none can be"},
      {"no blanks behind colons", "format:x\nunit:in\n", "a blank follows each colon"},
      {"JSON text", "\"format\"", "a single value where"},
      {"no format", "unit: in\n", "lacks the key 'format'"},
      {"another format", "format: stripwright-nonesuch-1\nunit: in\n", "nonesuch"},
      {"unit as a list", "format: x\nunit: [in]\n", "'unit' has a list"},
      {"unit in words", "format: x\nunit: inches\n", "not a unit"},
      {"unknown key", sound + "colour: green\n", "the unknown key 'colour'"},
      {"unknown key of a megabyte", sound + "? " + std::string(900'000, 'k') + "\n: 1\n",
       "the unknown key 'kkkk"},
      {"duplicate key", sound + "unit: in\n", "the key 'unit' a second time"},
      {"name over two lines", sound + "name: |\n  a\n  b\n", "more than one line"},
      {"name of a megabyte", sound + "name: " + std::string(900'000, 'n') + "\n",
       "characters long"},
      {"name with an escape", sound + "name: \"\\x1b[2J\"\n", "written as an escape"},
      {"name as a map", sound + "name: {a: 1}\n", "'name' has a map"},
  };
  return texts;
}

/// The text with its lines joined, so that it does not matter where they were broken.
inline std::string in_one_line(std::string const& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank || out.empty() || out.back() != ' ') out += blank ? ' ' : c;
  }
  return out;
}

/// Reads each and requires: no value, an error that says so, and a text of under 6,000 bytes
/// with nothing in it that a terminal might obey. What grows with the square of a megabyte would
/// run into the time limit of the tests.
template <class Read>
void refuse_all(std::vector<Text> const& texts, Read const& read) {
  using namespace stripwright;
  for (auto const& each : texts) {
    INFO("hostile file: " << each.name);
    Problems problems;
    const files::SourceText source("hostile.yaml", each.bytes);
    CHECK_FALSE(read(source, problems));
    CHECK(problems.any_error());
    const auto text = problems.text();
    INFO(text);
    CHECK(text.size() < 6000);
    CHECK(text.starts_with("hostile.yaml:"));
    CHECK(in_one_line(text).find(each.says) != std::string::npos);
    CHECK(std::none_of(text.begin(), text.end(),
                       [](unsigned char c) { return (c < 0x20 && c != '\n') || c == 0x7F; }));
  }
}

}  // namespace hostile
