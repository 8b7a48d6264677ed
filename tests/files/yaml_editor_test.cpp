#include "files/yaml_editor.h"

#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "catch.h"
#include "files/weird_yaml.h"

using namespace stripwright;
using files::edit_yaml;
using files::YamlChange;

namespace {

using Path = std::vector<std::string>;

std::string joined(Path const& path) {
  std::string out;
  for (auto const& key : path) out += "/" + key;
  return out;
}

/// What a file means, by the library's own tree: each single value with its path, each map
/// and list by its kind.
void flatten(YAML::Node const& node, std::string const& path, std::vector<std::string>& out) {
  if (node.IsMap()) {
    out.push_back(path + " {}");
    for (auto const& entry : node) flatten(entry.second, path + "/" + entry.first.Scalar(), out);
  } else if (node.IsSequence()) {
    out.push_back(path + " []");
    for (std::size_t i = 0; i < node.size(); ++i)
      flatten(node[i], path + "/" + std::to_string(i), out);
  } else {
    out.push_back(path + " = " + (node.IsNull() ? "nothing" : "'" + node.Scalar() + "'"));
  }
}

std::vector<std::string> meaning_of(std::string const& bytes) {
  std::vector<std::string> out;
  flatten(YAML::Load(bytes), "", out);
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<std::string> missing_from(std::vector<std::string> const& some,
                                      std::vector<std::string> const& all) {
  std::vector<std::string> out;
  std::set_difference(some.begin(), some.end(), all.begin(), all.end(), std::back_inserter(out));
  return out;
}

std::string edited(std::string const& bytes, std::vector<YamlChange> const& changes) {
  const auto edit = edit_yaml("form.yaml", bytes, changes);
  INFO(bytes << "\n" << edit.problem.what << " at " << edit.problem.place.line);
  REQUIRE(edit);
  return *edit.bytes;
}

std::string edited(std::string const& bytes, Path path, std::string value) {
  return edited(bytes, {{std::move(path), std::move(value)}});
}

Problem refusal(std::string const& bytes, Path path) {
  const auto edit = edit_yaml("form.yaml", bytes, {{std::move(path), "1"}});
  INFO(bytes);
  REQUIRE(!edit);
  return edit.problem;
}

std::string bytes_of(std::filesystem::path const& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

}  // namespace

TEST_CASE("a value is replaced in its place, its comment and its quotes stay") {
  CHECK(edited("a: 0.0015  # per flat\nb: 010\n", {"a"}, "0.0013") ==
        "a: 0.0013  # per flat\nb: 010\n");
  CHECK(edited("a: '0.0015'\n", {"a"}, "0.0013") == "a: '0.0013'\n");
  CHECK(edited("a: \"0.0015\"\n", {"a"}, "0.0013") == "a: \"0.0013\"\n");
  CHECK(edited("{\"a\":1,\"b\":2}", {"a"}, "0.5") == "{\"a\":0.5,\"b\":2}");
  CHECK(edited("a: one\n  two\nb: 1\n", {"a"}, "3") == "a: 3\nb: 1\n");
  CHECK(edited("a:\n  - 1\nb:\n  c: 1\r\n", {"b", "c"}, "2 in") == "a:\n  - 1\nb:\n  c: 2 in\r\n");
}

TEST_CASE("text that is not plain is put in quotes") {
  CHECK(edited("a: 1\n", {"a"}, "x: y") == "a: \"x: y\"\n");
  CHECK(edited("a: '1'\n", {"a"}, "it's") == "a: \"it's\"\n");
  CHECK(edited("a: 1\n", {"a"}, "") == "a: \"\"\n");
  CHECK(edited("a: 1\n", {"a"}, "null") == "a: \"null\"\n");
  CHECK(edited("a: 1\n", {"a"}, "a\\b\"c\n") == "a: \"a\\\\b\\\"c\\n\"\n");
  CHECK(edited("a: 1\n", {"a"}, "- x") == "a: \"- x\"\n");
}

TEST_CASE("a missing key goes to the end of its map, in the map's style") {
  CHECK(edited("a:\n    b: 1  # x\nc: 2\n", {"a", "d"}, "3") ==
        "a:\n    b: 1  # x\n    d: 3\nc: 2\n");
  CHECK(edited("a: {b: 1}  # x\n", {"a", "d"}, "3") == "a: {b: 1, d: 3}  # x\n");
  CHECK(edited("a: {}\n", {"a", "d"}, "3") == "a: {d: 3}\n");
  CHECK(edited("a: {b: [1, 2], }\n", {"a", "d"}, "3") == "a: {b: [1, 2], d: 3, }\n");
  CHECK(edited("{a: {b: 1  # }\n }}\n", {"d"}, "3") == "{a: {b: 1  # }\n }, d: 3}\n");
  CHECK(edited("a: 1", {"d"}, "3") == "a: 1\nd: 3");
  CHECK(edited("a: 1\r\nb: 2", {"d"}, "3") == "a: 1\r\nb: 2\r\nd: 3");
  CHECK(edited("\xEF\xBB\xBF"
               "a: 1\r\n",
               {"d", "e"}, "3") ==
        "\xEF\xBB\xBF"
        "a: 1\r\nd:\r\n  e: 3\r\n");
  CHECK(edited("a: 1\n...\n", {"d"}, "3") == "a: 1\nd: 3\n...\n");
}

TEST_CASE("a missing map is added with the key") {
  CHECK(edited("a: 1\n# end\n", {"b", "c", "d"}, "3") == "a: 1\nb:\n  c:\n    d: 3\n# end\n");
  CHECK(edited("a: {x: 1}\n", {"a", "c", "d"}, "3") == "a: {x: 1, c: {d: 3}}\n");
  CHECK(edited("a:  # none yet\nb: 1\n", {"a", "c"}, "3") == "a: {c: 3}  # none yet\nb: 1\n");
  CHECK(edited("a: ~\n", {"a", "c"}, "3") == "a: {c: 3}\n");
}

TEST_CASE("where a key at the end of a map would change another, it goes to the map's beginning") {
  // The line end behind the text belongs to it (|+): a key behind it would cut it off.
  CHECK(edited("a: |+\n  x\n\n", {"d"}, "3") == "d: 3\na: |+\n  x\n\n");
  CHECK(edited("m:\n  - 1\n  -\n", {"d"}, "3") == "d: 3\nm:\n  - 1\n  -\n");
}

TEST_CASE("several changes are made together or not at all") {
  const std::string text = "a: {b: 1}\n";
  CHECK(edited(text, {{{"a", "b"}, "2"}, {{"a", "c"}, "3"}, {{"d"}, "4"}}) ==
        "a: {b: 2, c: 3}\nd: 4\n");
  CHECK(!edit_yaml("form.yaml", text, {{{"a", "b"}, "2"}, {{"a"}, "3"}}));
  CHECK(edited(text, std::vector<YamlChange>{}) == text);
}

TEST_CASE("what cannot be changed safely is refused, with the place") {
  const auto list = refusal("x: 1\na: [1, 2]\n", {"a"});
  CHECK(list.place.line == 2);
  CHECK(list.place.column == 4);
  CHECK(list.what.find("a map or a list") != std::string::npos);
  CHECK(list.remedy.find("set a: 1 by hand") != std::string::npos);
  CHECK(refusal("a: 1\n", {"a", "b"}).what.find("a value where a map is needed") !=
        std::string::npos);
  CHECK(refusal("a: [1]\n", {"a", "b"}).what.find("a value where a map is needed") !=
        std::string::npos);
  CHECK(refusal("a: 1\nb: 2\na: 3\n", {"a"}).place.line == 3);
  CHECK(refusal("a: &x 1\nb: *x\n", {"a"}).what.find("anchor") != std::string::npos);
  CHECK(refusal("a: 1\n\"b: 2\n", {"a"}).place.line == 2);
  CHECK(refusal("? a\n? b\n", {"a"}).what.find("without risk") != std::string::npos);
  CHECK(refusal("a: |2\n   x\n", {"a"}).what.find("without risk") != std::string::npos);
  CHECK(!edit_yaml("form.yaml", "", {{{"a"}, "1"}}));
  CHECK(!edit_yaml("form.yaml",
                   "\xEF\xBB\xBF\xEF\xBB\xBF"
                   "a: 1\n",
                   {{{"a"}, "2"}}));
  CHECK(!edit_yaml("form.yaml", "a: 1\n", {{{"a"}, std::string("\x01", 1)}}));
}

TEST_CASE("any value of odd but legal YAML is replaced, and nothing else") {
  std::size_t edits = 0;
  for (unsigned seed = 1; seed <= 3000; ++seed) {
    WeirdYaml yaml(seed);
    if (yaml.values().empty()) continue;
    auto const& value = yaml.values()[yaml.below(yaml.values().size())];
    const std::string wanted = yaml.one_in(2) ? "0.00132" : "a: 'b' \"c\"";
    const bool plain = wanted[0] == '0';
    std::string expected = yaml.text();
    const std::string written = plain ? (value.quote ? value.quote + wanted + value.quote : wanted)
                                      : "\"a: 'b' \\\"c\\\"\"";
    expected.replace(value.begin, value.end - value.begin, (value.nothing ? " " : "") + written);
    INFO("seed " << seed << ", " << joined(value.path));
    REQUIRE(edited(yaml.text(), value.path, wanted) == expected);
    ++edits;
  }
  CHECK(edits > 2500);
}

TEST_CASE("the writer of odd YAML knows what it means") {
  for (unsigned seed = 1; seed <= 300; ++seed) {
    const WeirdYaml yaml(seed);
    const auto meaning = meaning_of(yaml.text());
    for (auto const& value : yaml.values()) {
      const bool null = value.quote == 0 && value.meaning.empty();
      INFO("seed " << seed << "\n" << yaml.text());
      REQUIRE(std::binary_search(
          meaning.begin(), meaning.end(),
          joined(value.path) + " = " + (null ? "nothing" : "'" + value.meaning + "'")));
    }
  }
}

TEST_CASE("a key is added to any map of odd but legal YAML, and nothing else changes") {
  for (unsigned seed = 1; seed <= 3000; ++seed) {
    WeirdYaml yaml(seed);
    Path path = yaml.maps()[yaml.below(yaml.maps().size())];
    const std::string map = joined(path);
    path.push_back("added");
    if (yaml.one_in(2)) path.push_back("below");
    INFO("seed " << seed << ", " << joined(path));
    const auto out = edited(yaml.text(), path, "0.00132");
    // One piece was put in: what is before and behind it is the old file.
    auto const& old = yaml.text();
    REQUIRE(out.size() > old.size());
    const auto same_front = static_cast<std::size_t>(
        std::mismatch(old.begin(), old.end(), out.begin()).first - old.begin());
    const auto same_back = static_cast<std::size_t>(
        std::mismatch(old.rbegin(), old.rend(), out.rbegin()).first - old.rbegin());
    REQUIRE(same_front + same_back >= old.size());
    const auto before = meaning_of(old);
    const auto after = meaning_of(out);
    REQUIRE(missing_from(before, after).empty());
    const auto added = missing_from(after, before);
    REQUIRE(added.back() == joined(path) + " = '0.00132'");
    const auto deep = static_cast<std::size_t>(std::count(map.begin(), map.end(), '/'));
    REQUIRE(added.size() == path.size() - deep);
    if (old.find("\r\n") != std::string::npos)
      for (std::size_t at = out.find('\n'); at != std::string::npos; at = out.find('\n', at + 1))
        REQUIRE(out[at - 1] == '\r');
  }
}

TEST_CASE("each value of the shipped files can be changed, and only its line changes") {
  std::size_t values = 0;
  for (auto const& entry :
       std::filesystem::recursive_directory_iterator(STRIPWRIGHT_SOURCE_DIR "/profiles")) {
    if (entry.path().extension() != ".yaml") continue;
    const auto old = bytes_of(entry.path());
    const auto before = meaning_of(old);
    for (auto const& line : before) {
      const auto end = line.find(" = '");
      // Paths through lists are not for the editor; no key of these files has a slash.
      if (end == std::string::npos || line.find("/0/") != std::string::npos ||
          line.find("ferrules") != std::string::npos)
        continue;
      Path path;
      std::istringstream keys(line.substr(1, end - 1));
      for (std::string key; std::getline(keys, key, '/');) path.push_back(key);
      if (path.back() == "0" && path.front() != "taper") continue;
      const auto edit = edit_yaml(entry.path().string(), old, {{path, "7.25"}});
      if (!edit) {
        // A list's items.
        CHECK(edit.problem.what.find("a value where a map is needed") != std::string::npos);
        continue;
      }
      ++values;
      const auto changed = missing_from(before, meaning_of(*edit.bytes));
      REQUIRE(changed == std::vector<std::string>{line});
      const auto value = line.substr(end + 4, line.size() - end - 5);
      REQUIRE(edit.bytes->size() == old.size() - value.size() + 4);
    }
  }
  CHECK(values > 150);
}
