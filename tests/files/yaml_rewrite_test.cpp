#include "files/yaml_rewrite.h"

#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <functional>
#include <random>

#include "catch.h"
#include "files/weird_yaml.h"
#include "files/yaml_writing.h"

using namespace stripwright;
using files::YamlEntry;
using files::YamlNode;
using files::YamlRewrite;

namespace {

using Change = std::function<void(YamlRewrite&)>;

files::YamlEdit edit_of(std::string const& bytes, Change const& change) {
  Problem problem;
  auto file = YamlRewrite::open("form.yaml", bytes, problem);
  INFO(bytes << "\n" << problem.what);
  REQUIRE(file);
  change(*file);
  return file->done();
}

std::string rewritten(std::string const& bytes, Change const& change) {
  const auto edit = edit_of(bytes, change);
  INFO(bytes << "\n" << edit.problem.what << " at " << edit.problem.place.line);
  REQUIRE(edit);
  return *edit.bytes;
}

YamlEntry entry(std::string key, std::string value) {
  return {files::scalar_node(std::move(key)), files::scalar_node(std::move(value))};
}

YamlNode const& value(YamlRewrite const& file, std::size_t index) {
  return file.root().entries[index].value;
}

}  // namespace

namespace {

/// All paths and values of a file, by the library's own tree.
void flatten(YAML::Node const& node, std::string const& path, std::vector<std::string>& out) {
  if (node.IsMap()) {
    for (auto const& each : node) flatten(each.second, path + "/" + each.first.Scalar(), out);
  } else if (node.IsSequence()) {
    for (std::size_t i = 0; i < node.size(); ++i) flatten(node[i], path + "/*", out);
  } else {
    out.push_back(path + " = " + (node.IsNull() ? "nothing" : node.Scalar()));
  }
}

std::vector<std::string> meaning(std::string const& bytes) {
  std::vector<std::string> out;
  flatten(YAML::Load(bytes), "", out);
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace

TEST_CASE("several values and keys are set at once") {
  CHECK(rewritten("t:  # one\n  0:  1.0  # a\n  '5': \"2\" # b\n", [](YamlRewrite& f) {
          auto const& map = value(f, 0);
          f.set(map.entries[0].value, "1.5");
          f.set(map.entries[1].key, "6");
          f.set(map.entries[1].value, "2.5");
        }) == "t:  # one\n  0:  1.5  # a\n  '6': \"2.5\" # b\n");
}

TEST_CASE("lines of a map are taken out and put in, the comments of the others stay") {
  const std::string text = "t:\n  0: 1  # a\n  # of its own\n  5: 2  # b\n  9: 3  # c\nz: 1\n";
  CHECK(rewritten(text, [](YamlRewrite& f) { f.take_out(value(f, 0), 1); }) ==
        "t:\n  0: 1  # a\n  # of its own\n  9: 3  # c\nz: 1\n");
  CHECK(rewritten(text,
                  [](YamlRewrite& f) {
                    f.put_in(value(f, 0), 0, entry("-1", "0"));
                    f.put_in(value(f, 0), 1, entry("2", "x"));
                    f.put_in(value(f, 0), 1, entry("3", "y"));
                    f.put_in(value(f, 0), 3, entry("12", "z"));
                  }) ==
        "t:\n  -1: 0\n  0: 1  # a\n  2: x\n  3: y\n  # of its own\n  5: 2  # b\n  9: 3  # c\n"
        "  12: z\nz: 1\n");
  CHECK(rewritten(text, [](YamlRewrite& f) {
          for (std::size_t i = 0; i < 3; ++i) f.take_out(value(f, 0), i);
          f.put_in(value(f, 0), 0, entry("1", "q"));
        }) == "t:\n  1: q\n  # of its own\nz: 1\n");
}

TEST_CASE("what is put in stands right behind the entry before it") {
  CHECK(rewritten("t:\n  0: 1\n  5: 2\nz: 1\n", [](YamlRewrite& f) {
          f.put_in(value(f, 0), 1, entry("2", "x"));
          f.put_in(value(f, 0), 2, entry("7", "y"));
        }) == "t:\n  0: 1\n  2: x\n  5: 2\n  7: y\nz: 1\n");
}

TEST_CASE("in brackets only the commas about an entry change") {
  const std::string text = "t: { 0: 1,5: 2 , 9: 3 }  # all\n";
  const auto out = [](std::vector<std::size_t> which) {
    return [which](YamlRewrite& f) {
      for (const auto i : which) f.take_out(value(f, 0), i);
    };
  };
  CHECK(rewritten(text, out({0})) == "t: {5: 2 , 9: 3 }  # all\n");
  CHECK(rewritten(text, out({1})) == "t: { 0: 1, 9: 3 }  # all\n");
  CHECK(rewritten(text, out({2})) == "t: { 0: 1,5: 2}  # all\n");
  CHECK(rewritten(text, out({0, 1})) == "t: {9: 3 }  # all\n");
  CHECK(rewritten(text, out({0, 1, 2})) == "t: {}  # all\n");
  CHECK(rewritten(text, [](YamlRewrite& f) {
          f.put_in(value(f, 0), 0, entry("-1", "a"));
          f.put_in(value(f, 0), 3, entry("12", "b"));
          f.take_out(value(f, 0), 1);
        }) == "t: {-1: a, 0: 1, 9: 3, 12: b}  # all\n");
}

// What a maker wrote beside an entry goes with it; what stands on a line of its own, or beside
// another entry, stays.
TEST_CASE("comments in brackets stay when entries are taken out or put in") {
  const std::string text =
      "t: {  # tip end first\n  0: 1,  # a\n  # of its own\n  5: 2, 6: 2.5,  # b\n"
      "  9: '3 # 4'   # c\n}  # all\nz: 1\n";
  const auto out = [](std::vector<std::size_t> which) {
    return [which](YamlRewrite& f) {
      for (const auto i : which) f.take_out(value(f, 0), i);
    };
  };
  CHECK(rewritten(text, out({0})) ==
        "t: {  # tip end first\n  # of its own\n  5: 2, 6: 2.5,  # b\n"
        "  9: '3 # 4'   # c\n}  # all\nz: 1\n");
  CHECK(rewritten(text, out({2})) ==
        "t: {  # tip end first\n  0: 1,  # a\n  # of its own\n  5: 2,  # b\n"
        "  9: '3 # 4'   # c\n}  # all\nz: 1\n");
  CHECK(rewritten(text, out({1, 2})) ==
        "t: {  # tip end first\n  0: 1,  # a\n  # of its own\n"
        "  9: '3 # 4'   # c\n}  # all\nz: 1\n");
  CHECK(
      rewritten(text, out({3})) ==
      "t: {  # tip end first\n  0: 1,  # a\n  # of its own\n  5: 2, 6: 2.5  # b\n}  # all\nz: 1\n");
  CHECK(rewritten(text, out({0, 1, 2, 3})) ==
        "t: {  # tip end first\n  # of its own\n}  # all\nz: 1\n");
  CHECK(rewritten(text,
                  [](YamlRewrite& f) {
                    f.put_in(value(f, 0), 0, entry("-1", "x"));
                    f.put_in(value(f, 0), 1, entry("2", "y"));
                    f.put_in(value(f, 0), 1, entry("3", "z"));
                    f.put_in(value(f, 0), 2, entry("5.5", "w"));
                    f.put_in(value(f, 0), 4, entry("12", "v"));
                  }) ==
        "t: {  # tip end first\n  -1: x,\n  0: 1,  # a\n  2: y,\n  3: z,\n  # of its own\n"
        "  5: 2, 5.5: w, 6: 2.5,  # b\n  9: '3 # 4',   # c\n  12: v\n}  # all\nz: 1\n");
  // A comma on the next line, the line ends of other systems, entries behind the key.
  CHECK(rewritten("t: {0: 1  # a\r\n    , 5: 2,  # b\r\n    9: 3}  # c\r\n", [](YamlRewrite& f) {
          f.take_out(value(f, 0), 1);
          f.put_in(value(f, 0), 3, entry("12", "v"));
        }) == "t: {0: 1,  # a\r\n    9: 3, 12: v}  # c\r\n");
  CHECK(rewritten("f: [{at: 1},  # a\n    {at: 2}]  # b\n", [](YamlRewrite& f) {
          f.put_in(value(f, 0), 1, files::map_node({entry("at", "7")}));
        }) == "f: [{at: 1},  # a\n    {at: 7},\n    {at: 2}]  # b\n");
}

TEST_CASE("brackets of any layout: what is asked for is done, and no comment of its own is lost") {
  std::mt19937 random(3);
  const auto below = [&](int n) { return std::uniform_int_distribution<int>(0, n - 1)(random); };
  for (int run = 0; run < 2000; ++run) {
    std::string text = "t: {";
    std::vector<std::string> own;
    const int entries = 1 + below(5);
    const auto own_line = [&] {
      own.push_back("# own " + std::to_string(own.size()));
      text += "\n   " + own.back();
    };
    if (below(3) == 0) text += "  # opening";
    bool comment = text.find('#') != std::string::npos;
    for (int i = 0; i < entries; ++i) {
      if (below(4) == 0) {
        own_line();
        comment = true;
      }
      if (comment || below(2) == 0) text += "\n    ";
      comment = below(3) == 0;
      text += std::to_string(i) + ": '" + std::to_string(i) + " # x'";
      const bool comma = i + 1 < entries || below(4) == 0;
      if (comma) text += below(2) == 0 ? "," : ", ";
      if (comment) text += " # beside " + std::to_string(i);
    }
    text += comment || below(2) == 0 ? "\n}\nz: 1\n" : "}\nz: 1\n";
    std::vector<std::string> expected = {"/z = 1"};
    const auto edit = edit_of(text, [&](YamlRewrite& f) {
      for (int i = 0; i < entries; ++i) {
        if (below(3) == 0)
          f.take_out(value(f, 0), static_cast<std::size_t>(i));
        else
          expected.push_back("/t/" + std::to_string(i) + " = " + std::to_string(i) + " # x");
        if (below(3) != 0) continue;
        const auto key = "n" + std::to_string(i);
        f.put_in(value(f, 0), static_cast<std::size_t>(i), entry(key, "new"));
        expected.push_back("/t/" + key + " = new");
      }
    });
    INFO(text << "\n" << edit.problem.what << "\n" << edit.bytes.value_or(""));
    REQUIRE(edit);
    std::sort(expected.begin(), expected.end());
    REQUIRE(meaning(*edit.bytes) == expected);
    for (auto const& each : own) REQUIRE(edit.bytes->find(each + "\n") != std::string::npos);
    if (text.find("# opening") != std::string::npos)
      REQUIRE(edit.bytes->find("# opening\n") != std::string::npos);
  }
}

TEST_CASE("items of lists") {
  const std::string text = "f:\n- {at: 1}  # a\n- at: 2  # b\n  bore: 3\n";
  const YamlNode item = files::map_node({entry("at", "7")});
  CHECK(rewritten(text, [&](YamlRewrite& f) {
          f.take_out(value(f, 0), 0);
          f.put_in(value(f, 0), 2, item);
        }) == "f:\n- at: 2  # b\n  bore: 3\n- {at: 7}\n");
  CHECK(rewritten("f: [{at: 1}, {at: 2}]", [&](YamlRewrite& f) {
          f.take_out(value(f, 0), 0);
          f.put_in(value(f, 0), 2, item);
        }) == "f: [{at: 2}, {at: 7}]");
}

TEST_CASE("a map and a list are added whole, a key goes with all its lines") {
  const YamlNode sections =
      files::map_node({{files::scalar_node("tip"), files::map_node({entry("from", "0")})},
                       {files::scalar_node("butt"), files::map_node({entry("from", "9")})}});
  YamlNode list;
  list.kind = YamlNode::Kind::sequence;
  list.items.push_back(files::map_node({entry("at", "7")}));
  CHECK(rewritten("a: 1\r\nb:\r\n  - x: 1\r\n    y: 2  # z\r\n",
                  [&](YamlRewrite& f) {
                    f.take_out(f.root(), 1);
                    f.put_in(f.root(), 2, YamlEntry{files::scalar_node("sections"), sections});
                    f.put_in(f.root(), 2, YamlEntry{files::scalar_node("ferrules"), list});
                  }) ==
        "a: 1\r\nsections:\r\n  tip: {from: 0}\r\n  butt: {from: 9}\r\nferrules:\r\n"
        "  - {at: 7}\r\n");
  CHECK(rewritten("a: 1", [&](YamlRewrite& f) { f.put_in(f.root(), 1, entry("b", "x: y")); }) ==
        "a: 1\nb: \"x: y\"\n");
}

TEST_CASE("remarks stand above the first key, behind the file's own head") {
  const auto remark = [](YamlRewrite& f) { f.remark({"one", "two # 'x"}); };
  CHECK(rewritten("\xEF\xBB\xBF# head\n\na: 1\n", remark) ==
        "\xEF\xBB\xBF# head\n\n# one\n# two # 'x\na: 1\n");
  CHECK(rewritten("---\r\na: 1\r\n", remark) == "---\r\n# one\r\n# two # 'x\r\na: 1\r\n");
  CHECK(rewritten("--- {a: 1}\n", remark) == "# one\n# two # 'x\n--- {a: 1}\n");
}

TEST_CASE("what cannot be rewritten safely is refused") {
  // The entry shares its line with the list's dash.
  CHECK(!edit_of("- a: 1\n  b: 2\n", [](YamlRewrite& f) { f.take_out(f.root().items[0], 0); }));
  // Nothing would be left of the map, and the key would have no value.
  CHECK(!edit_of("t:\n  a: 1\n", [](YamlRewrite& f) { f.take_out(value(f, 0), 0); }));
  Problem problem;
  CHECK(!YamlRewrite::open("form.yaml", "a: &x 1\n", problem));
  CHECK(problem.what.find("anchor") != std::string::npos);
  CHECK(!YamlRewrite::open("form.yaml",
                           "\xEF\xBB\xBF\xEF\xBB\xBF"
                           "a: 1\n",
                           problem));
}

TEST_CASE("entries of odd but legal YAML are taken out and put in, and nothing else changes") {
  std::size_t done = 0;
  for (unsigned seed = 1; seed <= 3000; ++seed) {
    const WeirdYaml yaml(seed);
    const auto place = seed % 7;
    std::string gone;
    const auto edit = edit_of(yaml.text(), [&](YamlRewrite& f) {
      auto const& root = f.root();
      const auto index = place % root.entries.size();
      gone = root.entries[index].key.text;
      f.take_out(root, index);
      f.put_in(root, index, entry("put in", "0.5"));
      f.remark({"remark"});
    });
    if (!edit) continue;
    ++done;
    auto expected = meaning(yaml.text());
    std::erase_if(expected, [&](std::string const& line) {
      return line.starts_with("/" + gone + "/") || line.starts_with("/" + gone + " = ");
    });
    expected.emplace_back("/put in = 0.5");
    std::sort(expected.begin(), expected.end());
    INFO("seed " << seed << "\n" << yaml.text() << "\n---\n" << *edit.bytes);
    REQUIRE(meaning(*edit.bytes) == expected);
  }
  // A value of nothing at the very end, say, has no end that can be told.
  CHECK(done > 2500);
}
