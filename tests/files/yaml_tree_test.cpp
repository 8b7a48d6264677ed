#include "files/yaml_tree.h"

#include <yaml-cpp/parser.h>

#include <sstream>

#include "catch.h"
#include "files/tree_builder.h"

using namespace stripwright;
using namespace stripwright::files;

namespace {

using Kind = YamlNode::Kind;

/// The tree of a text in which nothing is wrong.
YamlNode parse(std::string text) {
  Problems problems;
  auto tree = parse_yaml(SourceText("f.yaml", std::move(text)), problems);
  INFO(problems.text());
  REQUIRE(tree);
  CHECK(problems.empty());
  return std::move(*tree);
}

/// What is wrong with a text, one `line:column: what` each.
std::vector<std::string> faults(std::string text) {
  Problems problems;
  const SourceText source("f.yaml", std::move(text));
  parse_yaml(source, problems);
  std::vector<std::string> out;
  for (auto const& each : problems.list()) {
    CHECK_FALSE(each.remedy.empty());
    out.push_back(std::to_string(each.place.line) + ":" + std::to_string(each.place.column) + ": " +
                  each.what);
  }
  return out;
}

using Faults = std::vector<std::string>;

std::string nested(std::string_view open, int times, std::string_view inside,
                   std::string_view close) {
  std::string text;
  for (int i = 0; i < times; ++i) text += open;
  text += inside;
  for (int i = 0; i < times; ++i) text += close;
  return text;
}

}  // namespace

TEST_CASE("a tree keeps what was written, in its order") {
  const auto tree = parse("b: 1\na: [x, 'y', {z: 2}]\nb: again\nempty:\n");
  REQUIRE(tree.kind == Kind::map);
  REQUIRE(tree.entries.size() == 4);
  CHECK(tree.entries[0].key.text == "b");
  CHECK(tree.entries[0].value.text == "1");
  // Duplicates stay: the reader tells of them.
  CHECK(tree.entries[2].key.text == "b");
  CHECK(tree.entries[2].value.text == "again");
  auto const& list = tree.entries[1].value;
  REQUIRE(list.kind == Kind::sequence);
  REQUIRE(list.items.size() == 3);
  CHECK(list.items[0].text == "x");
  CHECK_FALSE(list.items[0].quoted);
  CHECK(list.items[1].text == "y");
  CHECK(list.items[1].quoted);
  CHECK(list.items[2].kind == Kind::map);
  CHECK(list.items[2].entries[0].value.text == "2");
  CHECK(tree.entries[3].value.kind == Kind::null);
}

TEST_CASE("scalars stay text, whatever YAML 1.1 or 1.2 would make of them") {
  // yaml.org/type/int: a leading 0 is octal, a colon base 60, underscores are left out; YAML
  // 1.2's core schema reads 0o17 and 1e3 as numbers; both read .nan and true.
  for (const std::string text :
       {"no",  "yes",  "off",  "y",     "True",  "010",    "0o17", "0x10",       "1:30", "1_000",
        "1e3", ".nan", ".inf", "1e308", "0,068", "1/0 in", "3.0",  "2024-02-29", "=",    "-"}) {
    INFO(text);
    const auto tree = parse("key: " + (text == "-" ? "'-'" : text) + "\n");
    CHECK(tree.entries[0].value.kind == Kind::scalar);
    CHECK(tree.entries[0].value.text == text);
  }
  for (const std::string text : {"~", "null", "Null", ""})
    CHECK(parse("key: " + text + "\n").entries[0].value.kind == Kind::null);
  CHECK(parse("key: 'null'\n").entries[0].value.text == "null");
  CHECK(parse("key: \"a\\u00fc\\n\"\n").entries[0].value.text == "a\xC3\xBC\n");
  CHECK(parse("key: |\n  one\n  two\n").entries[0].value.text == "one\ntwo\n");
}

TEST_CASE("each node knows the byte where it starts, after CRLF, a BOM and long characters") {
  for (const std::string_view end : {"\n", "\r\n"})
    for (const std::string_view mark : {"", "\xEF\xBB\xBF"}) {
      std::string text(mark);
      for (const std::string_view line :
           {"# \xE7\xAB\xB9 \xF0\x9F\x8E\xA3", "\xC3\xBC: \xE7\xAB\xB9 \xC3\xBC  # \xC3\xBC",
            "l: [\xC3\xBC, 'q\xC3\xBC', \"\xE7\xAB\xB9\", {k: v}]", "m:", "  n: w"}) {
        text += line;
        text += end;
      }
      const SourceText source("f.yaml", text);
      Problems problems;
      const auto tree = parse_yaml(source, problems);
      REQUIRE(tree);
      const auto starts = [&](YamlNode const& node, std::string_view with, std::size_t line,
                              std::size_t column) {
        INFO("'" << with << "'");
        CHECK(source.text().substr(node.offset).starts_with(with));
        CHECK(source.place(node.offset).line == line);
        CHECK(source.place(node.offset).column == column);
      };
      starts(*tree, "\xC3\xBC:", 2, 1);
      starts(tree->entries[0].key, "\xC3\xBC:", 2, 1);
      starts(tree->entries[0].value, "\xE7\xAB\xB9", 2, 4);
      auto const& list = tree->entries[1].value;
      starts(list, "[", 3, 4);
      starts(list.items[0], "\xC3\xBC,", 3, 5);
      starts(list.items[1], "'q", 3, 8);
      starts(list.items[2], "\"", 3, 14);
      starts(list.items[3], "{", 3, 19);
      starts(list.items[3].entries[0].value, "v", 3, 23);
      starts(tree->entries[2].value, "n:", 5, 3);
      starts(tree->entries[2].value.entries[0].value, "w", 5, 6);
    }
}

TEST_CASE("a value that is left out is told at its key or dash, not at what follows") {
  const std::string text = "a:\n\nb: ~\nl:\n  -\n  - x\nf: {c: , d: 1}\ng:\n";
  const auto tree = parse(text);
  const auto rest = [&](YamlNode const& node) { return text.substr(node.offset, 2); };
  CHECK(rest(tree.entries[0].value) == "a:");
  CHECK(rest(tree.entries[1].value) == "~\n");
  CHECK(rest(tree.entries[2].value.items[0]) == "-\n");
  CHECK(text.substr(tree.entries[3].value.entries[0].value.offset).starts_with(", d"));
  CHECK(rest(tree.entries[4].value) == "g:");
}

TEST_CASE("anchors, aliases, tags and merge keys are refused, each at its place") {
  CHECK(faults("a: &x 1\n") == Faults{"1:4: an anchor (&)"});
  CHECK(faults("a: &x [1]\nb: &y {c: 1}\nd: &z\n") ==
        Faults{"1:4: an anchor (&)", "2:4: an anchor (&)", "3:4: an anchor (&)"});
  CHECK(faults("&k a: 1\n") == Faults{"1:1: an anchor (&)"});
  CHECK(faults("a: &x 1\nb: *x\n") == Faults{"1:4: an anchor (&)", "2:4: an alias (*)"});
  CHECK(faults("a: *x\n") == Faults{"1:4: an alias (*)"});
  CHECK(faults("a: &x [*x]\n") == Faults{"1:4: an anchor (&)", "1:8: an alias (*)"});
  CHECK(faults("a: &x {b: *x}\n") == Faults{"1:4: an anchor (&)", "1:11: an alias (*)"});
  CHECK(faults("a: &x 1\n*x : 2\n") == Faults{"1:4: an anchor (&)", "2:1: an alias (*)"});
  CHECK(faults("a: !!str 1\n") == Faults{"1:4: a tag (!)"});
  CHECK(faults("a: !x 1\nb: ! 1\nc: !<y> [1]\nd: !z {e: 1}\n") ==
        Faults{"1:4: a tag (!)", "2:4: a tag (!)", "3:4: a tag (!)", "4:4: a tag (!)"});
  CHECK(faults("a: '!x'\nb: x!\n") == Faults{});
  CHECK(faults("<<: {a: 1}\n") == Faults{"1:1: a merge key (<<)"});
  CHECK(faults("'<<': {a: 1}\n") == Faults{});
}

TEST_CASE("an alias does not copy what it stands for") {
  // The doubling that makes a kilobyte into gigabytes elsewhere.
  std::string text = "a0: &a0 [x, x]\n";
  for (int i = 1; i < 40; ++i)
    text += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [*a" + std::to_string(i - 1) +
            ", *a" + std::to_string(i - 1) + "]\n";
  Problems problems;
  const auto tree = parse_yaml(SourceText("f.yaml", text), problems);
  REQUIRE(tree);
  CHECK(problems.errors() == 40 + 2 * 39);
  CHECK(tree->entries[39].value.items[0].refused);
  CHECK(tree->entries[39].value.items[0].kind == Kind::null);
}

TEST_CASE("keys that are not plain words are refused") {
  CHECK(faults("[a]: 1\n") == Faults{"1:1: a key that is not a plain word"});
  CHECK(faults("? {a: 1}\n: 1\n") == Faults{"1:3: a key that is not a plain word"});
  CHECK(faults("? - a\n: 1\n") == Faults{"1:3: a key that is not a plain word"});
  CHECK(faults(": 1\n") == Faults{"1:1: a key that is not a plain word"});
  CHECK(faults("null: 1\n") == Faults{"1:1: a key that is not a plain word"});
  CHECK(faults("? a\n: 1\n") == Faults{});
  CHECK(faults("'a b': 1\n\"c\": 2\n3: 4\n") == Faults{});
}

TEST_CASE("one document a file") {
  CHECK(faults("---\na: 1\n") == Faults{});
  CHECK(faults("%YAML 1.2\n---\na: 1\n...\n") == Faults{});
  CHECK(faults("a: 1\n---\nb: 2\n") == Faults{"2:1: several documents in one file (---)"});
  CHECK(faults("a: 1\n---\n") == Faults{"2:1: several documents in one file (---)"});
  CHECK(faults("a: 1\n...\n---\n[[[\n") == Faults{"3:1: several documents in one file (---)"});
  CHECK(faults("- a\nb: 1\n") == Faults{"2:1: a line that does not fit the lines above it"});
  // The second one's nesting and faults are no reason to be silent about it.
  CHECK(faults("a: 1\n---\n" + nested("[", 50, "", "]")) ==
        Faults{"2:1: several documents in one file (---)"});
}

TEST_CASE("an empty file is told to be empty") {
  CHECK(faults("") == Faults{"1:1: the file is empty"});
  CHECK(faults("# only a remark\n\n") == Faults{"1:1: the file is empty"});
  CHECK(faults("\n\n\n") == Faults{"1:1: the file is empty"});
}

TEST_CASE("32 levels are read, the 33rd is refused, however they are written") {
  struct Form {
    std::string_view open, inside, close;
    std::size_t width;
  };
  for (const auto& [open, inside, close, width] :
       {Form{"[", "x", "]", 1}, Form{"{a: ", "x", "}", 4}, Form{"- ", "x", "", 2},
        Form{"[ {a: ", "x", "} ]", 0}}) {
    INFO(open);
    const int levels = width == 0 ? 16 : 32;
    CHECK(faults(nested(open, levels, inside, close) + "\n") == Faults{});
    const auto found = faults(nested(open, levels + 1, inside, close) + "\n");
    REQUIRE(found.size() == 1);
    CHECK(found.front().find("nested more than 32 deep") != std::string::npos);
    if (width > 0) CHECK(found.front().starts_with("1:" + std::to_string(32 * width + 1) + ":"));
  }
  std::string block;
  for (std::size_t i = 0; i < 32; ++i) block += std::string(i, ' ') + "a:\n";
  CHECK(faults(block) == Faults{});
  block += std::string(32, ' ') + "a: 1\n";
  CHECK(faults(block) == Faults{"33:33: nested more than 32 deep"});
}

TEST_CASE("20,000 nested brackets are refused, open or closed") {
  for (const std::string_view open : {"[", "{", "- ", "? ", "[{", "- ? ", "{a: [", "a: "}) {
    INFO(open);
    Problems problems;
    const auto text = nested(open, 20'000, "", "");
    CHECK_FALSE(parse_yaml(SourceText("f.yaml", text), problems));
    CHECK(problems.errors() == 1);
    CHECK(problems.text().size() < 6000);
  }
  CHECK(faults(nested("[", 20'000, "x", "]")) == Faults{"1:33: nested more than 32 deep"});
  CHECK(faults(nested("{a: ", 20'000, "x", "}")) == Faults{"1:129: nested more than 32 deep"});
  std::string stairs;
  for (std::size_t i = 0; i < 1000; ++i) stairs += std::string(i, ' ') + "a:\n";
  CHECK(faults(stairs) == Faults{"33:33: nested more than 32 deep"});
}

TEST_CASE("quotes that the file's end closes are refused") {
  // The YAML library takes the end of the file for the end of the quotes, and would read on.
  CHECK(faults("a: 'x\n") == Faults{"1:4: quotes that are not closed"});
  CHECK(faults("a: \"x\nb: 1\n") == Faults{"1:4: quotes that are not closed"});
  CHECK(faults("a: 'it''s\n") == Faults{"1:4: quotes that are not closed"});
  CHECK(faults("a: \"x\\\"\n") == Faults{"1:4: quotes that are not closed"});
  CHECK(faults("a: 'it''s'\nb: \"x\\\"\"\nc: ''\nd: \"\"\ne: '\"'\n") == Faults{});
  CHECK(faults("a: \"x\\\\\"\n") == Faults{});
}

TEST_CASE("control characters written as escapes are refused") {
  CHECK(faults("a: \"\\x1b[31m\"\n") == Faults{"1:4: a control character, written as an escape"});
  CHECK(faults("a: \"\\0\"\n") == Faults{"1:4: a control character, written as an escape"});
  CHECK(faults("a: \"\\x9b\"\n") == Faults{"1:4: a control character, written as an escape"});
  CHECK(faults("a: \"\\r\"\n") == Faults{"1:4: a control character, written as an escape"});
  CHECK(faults("a: \"\\t\\n\\u00fc\"\n") == Faults{});
}

TEST_CASE("a fault in the YAML comes alone, in words for people, at its place") {
  struct Row {
    std::string_view text;
    std::string_view fault;
  };
  for (const auto& [text, fault] : std::initializer_list<Row>{
           {"a: b: c\n", "1:5: a colon where none can be"},
           {"a: 1\n b: 2\n", "2:3: a colon where none can be"},
           {"a: [1\nb: 2\n", "2:2: a [ whose ] is missing, or a comma missing before here"},
           {"a: {x: 1\nb: 2\n", "2:2: a { whose } is missing, or a comma missing before here"},
           {"a: 1\n- b\n", "2:1: a line that does not fit the lines above it"},
           {"a: \"x\" y\n", "1:8: a line that does not fit the lines above it"},
           {"- a\n b\n c: 1\n", "3:3: a colon where none can be"},
           {"a: - b\n", "1:4: a dash where none can be"},
           {"a: @x\n", "1:4: a character that no value can start with"},
           {"a: `x\n", "1:4: a character that no value can start with"},
           {"a: %x\n", "1:4: a character that no value can start with"},
           {"a: \"\\q\"\n", "1:7: a backslash before something it cannot stand before"},
           {"a: |x\n y\n", "1:5: something behind a | or >"},
           {"a: ]\n", "1:4: a closing bracket that was never opened"},
           {"a: \"\\ud800\"\n", "1:11: not valid YAML: invalid unicode: 55296"},
           {"a: 'x\n---\n", "2:1: a line of --- or ... within quotes"},
           {"a: & x\n", "1:5: an anchor (&) without a name"},
           // Everything before it is fine, or would be told as well.
           {"a: &x 1\nb: @\n", "2:4: a character that no value can start with"},
       }) {
    INFO(text);
    const auto found = faults(std::string(text));
    REQUIRE_FALSE(found.empty());
    CHECK(found.back() == fault);
  }
}

TEST_CASE("what goes on for more than a megabyte is given up") {
  // The library holds all that stands in a bracket until it closes.
  std::string text = "[\n";
  for (int i = 0; i < 40'000; ++i) text += "  one, two, three, four, five, six, seven, eight,\n";
  CHECK(faults(text) ==
        Faults{"1:1: a bracket, text or comment that goes on for over 1 MB from here"});
  // As long as that, but one value after another.
  text = "a:\n";
  for (int i = 0; i < 40'000; ++i) text += "- [one, two, three, four, five, six, seven, eight]\n";
  CHECK(faults(text) == Faults{});
  CHECK(faults("a: 1\n" + std::string(990'000, '#') + "\n") == Faults{});
}

TEST_CASE("a tree of more values than it may have is refused") {
  // Of the millions that are allowed, three serve.
  const auto build = [](std::string const& text) {
    const SourceText source("f.yaml", text);
    Problems problems;
    TreeBuilder builder(source, problems, 3);
    std::istringstream stream(text);
    YAML::Parser(stream).HandleNextDocument(builder);
    return builder.take_root();
  };
  CHECK(build("- x\n- y\n").items.size() == 2);
  try {
    build("- x\n- y\n- z\n");
    FAIL("not refused");
  } catch (TreeTooLarge const& refused) {
    CHECK(refused.offset == 10);
    CHECK(refused.what == "more than 3 values");
  }
}
