#include "files/map_reader.h"

#include "catch.h"

using namespace stripwright;
using namespace stripwright::files;

namespace {

// A file of fences, read by nobody else.
constexpr std::string_view kWoods[] = {"hazel", "willow", "oak"};
constexpr std::string_view kGateKinds[] = {"field"};
constexpr KeySpec kPostKeys[] = {
    {.name = "height",
     .kind = ValueKind::length,
     .standard = "1.2 m",
     .meaning = "height of the post",
     .range = {.lowest = 0, .highest = 3000, .above = true}},
    {.name = "count",
     .kind = ValueKind::whole,
     .standard = "1",
     .meaning = "how many",
     .range = {.lowest = 1, .highest = 40}},
    {.name = "peg",
     .kind = ValueKind::length,
     .meaning = "how thick its peg is",
     .range = {.lowest = 15, .highest = 200}},
};
constexpr MapSpec kPost{"a post", kPostKeys};
constexpr KeySpec kGateKeys[] = {
    {.name = "kind", .kind = ValueKind::choice, .choices = kGateKinds},
};
constexpr KindSpec kGates[] = {{"field", {"a field gate", kGateKeys}}};
constexpr KeySpec kFileKeys[] = {
    {.name = "format", .kind = ValueKind::format, .standard = "fence-1", .required = true},
    {.name = "unit", .kind = ValueKind::unit, .meaning = "the unit", .required = true},
    {.name = "title", .kind = ValueKind::text, .meaning = "what it is called"},
    {.name = "wood",
     .kind = ValueKind::choice,
     .standard = "hazel",
     .meaning = "what it is made of",
     .choices = kWoods},
    {.name = "painted", .kind = ValueKind::yes_no, .standard = "true", .meaning = "has a coat"},
    {.name = "length",
     .kind = ValueKind::length,
     .meaning = "from end to end",
     .range = {.lowest = 0, .highest = 1e5}},
    {.name = "lean",
     .kind = ValueKind::number,
     .standard = "0.5",
     .meaning = "degrees",
     .range = {.lowest = -10, .highest = 10}},
    {.name = "post", .kind = ValueKind::map, .meaning = "its posts", .map = &kPost},
    {.name = "posts", .kind = ValueKind::named_maps, .meaning = "posts by name", .map = &kPost},
    {.name = "row", .kind = ValueKind::map_list, .meaning = "posts in a row", .map = &kPost},
    {.name = "at",
     .kind = ValueKind::length_list,
     .meaning = "where the posts are",
     .range = {.lowest = 0, .highest = 1e5}},
    {.name = "owners", .kind = ValueKind::name_list, .meaning = "whose it is"},
    {.name = "gates", .kind = ValueKind::machines, .meaning = "gates by name", .kinds = kGates},
    {.name = "gap",
     .kind = ValueKind::length,
     .standard = "10 mm",
     .meaning = "between two rods",
     .map = &kPost,
     .or_kind = ValueKind::map},
};
constexpr MapSpec kFile{"a fence file", kFileKeys};

/// A text opened as a fence file, and a reader of it.
struct Opened {
  explicit Opened(std::string body, std::string head = "format: fence-1\nunit: in\n")
      : source("fence.yaml", head + body), file(open_yaml(source, kFile, problems)) {
    if (!file) return;
    context.unit = file->unit;
    context.unit_line = file->unit_line;
  }

  MapReader reader() const {
    REQUIRE(file);
    return {file->root, kFile, context, false};
  }

  /// Each problem as `line:column: what`.
  std::vector<std::string> faults() const {
    std::vector<std::string> out;
    for (auto const& each : problems.list())
      out.push_back(std::to_string(each.place.line) + ":" + std::to_string(each.place.column) +
                    ": " + each.what);
    return out;
  }

  Problems problems;
  SourceText source;
  std::optional<OpenedFile> file;
  ReadContext context{source, problems};
};

using Faults = std::vector<std::string>;
constexpr Length mm(double count) { return Length::millimetres(count); }

}  // namespace

TEST_CASE("values are read by their kinds") {
  const Opened opened(
      "title: The lane\nwood: oak\npainted: false\nlength: 7 ft 6 in\nlean: -1.5\n"
      "post: {height: 40, count: 3}\nat: [0, 5, 1 3/8, 127 mm]\nowners: [Ann, '7']\n"
      "posts:\n  first: {height: 1 m}\n  last one: {}\nrow:\n  - {count: 2}\n  - {}\n"
      "gates:\n  lower: {kind: field}\ngap: 0.5\n");
  CHECK(opened.faults() == Faults{});
  CHECK(opened.file->unit == Unit::inch);
  const auto reader = opened.reader();
  CHECK(reader.text("title") == "The lane");
  CHECK(reader.line("title") == "The lane");
  CHECK(reader.choice("wood") == "oak");
  CHECK_FALSE(reader.yes_no("painted"));
  CHECK(reader.length("length") == Length::inches(90));
  CHECK(reader.number("lean") == -1.5);
  CHECK(reader.length("gap") == Length::inches(0.5));
  const auto post = reader.map("post");
  REQUIRE(post);
  CHECK(post->length("height") == Length::inches(40));
  CHECK(post->whole("count") == 3);
  CHECK(reader.lengths("at") == std::vector{mm(0), mm(127), Length::inches(1.375), mm(127)});
  CHECK(reader.has_items("at", 4));
  CHECK_FALSE(reader.has_items("at", 3));
  CHECK(reader.names("owners") == std::vector<std::string>{"Ann", "7"});
  const auto posts = reader.named("posts");
  REQUIRE(posts.size() == 2);
  CHECK(posts[0].first->text == "first");
  CHECK(posts[1].first->text == "last one");
  CHECK(reader.list("row").size() == 2);
  CHECK(reader.named("gates").size() == 1);
  CHECK(opened.faults() == Faults{});
}

TEST_CASE("what is left out has its standard value") {
  const Opened opened("post: {}\n");
  const auto reader = opened.reader();
  CHECK(reader.text("title").empty());
  CHECK(reader.choice("wood") == "hazel");
  CHECK(reader.yes_no("painted"));
  CHECK(reader.length("length") == mm(0));
  CHECK_FALSE(reader.optional_length("length"));
  CHECK(reader.number("lean") == 0.5);
  CHECK(*reader.optional_number("lean") == 0.5);
  CHECK(reader.length("gap") == mm(10));
  CHECK(reader.map("post")->length("height") == mm(1200));
  CHECK(reader.map("post")->whole("count") == 1);
  CHECK_FALSE(reader.map("gap"));
  CHECK(reader.lengths("at").empty());
  CHECK(reader.names("owners").empty());
  CHECK(reader.named("posts").empty());
  CHECK(reader.list("row").empty());
  CHECK_FALSE(reader.has("title"));
  CHECK_FALSE(reader.written("title"));
  CHECK(opened.faults() == Faults{});
}

TEST_CASE("unknown, duplicate and missing keys are told at once, with the nearest known one") {
  const Opened opened("titel: x\nwood: oak\ncolour: green\nwood: hazel\nUnit: mm\n", "unit: in\n");
  CHECK(opened.faults() == Faults{"2:1: the unknown key 'titel' in a fence file",
                                  "4:1: the unknown key 'colour' in a fence file",
                                  "5:1: the key 'wood' a second time, first in line 3",
                                  "6:1: the unknown key 'Unit' in a fence file",
                                  "1:1: a fence file lacks the key 'format'"});
  auto const& list = opened.problems.list();
  CHECK(list[0].remedy == "the nearest known key is 'title'");
  CHECK(list[1].remedy.starts_with("known here: format, unit, title, wood"));
  CHECK(list[3].remedy == "the nearest known key is 'unit'");
  // The first of the two is the one read.
  CHECK(opened.reader().choice("wood") == "oak");
}

TEST_CASE("a wrong type tells what is there, what is expected and what the key means") {
  const Opened opened(
      "title: [a]\nwood: {a: b}\npainted: yes\nlength: [1]\nlean:\npost: 3\nposts: [a]\n"
      "row: {a: b}\nat: 5\nowners: Ann\ngates: none\ngap: [1]\n");
  const auto reader = opened.reader();
  reader.text("title");
  reader.choice("wood");
  CHECK(reader.yes_no("painted"));
  reader.length("length");
  CHECK(reader.number("lean") == 0.5);
  CHECK_FALSE(reader.map("post"));
  reader.named("posts");
  reader.list("row");
  reader.lengths("at");
  reader.names("owners");
  reader.named("gates");
  CHECK(reader.length("gap") == mm(10));
  CHECK(opened.faults() ==
        Faults{"3:8: 'title' has a list where text is expected", "4:7: 'wood' is a map",
               "5:10: 'painted' is neither true nor false",
               "6:9: 'length' has a list where a length is expected",
               "7:1: 'lean' has nothing where a number is expected",
               "8:7: 'post' has a single value where a map is expected",
               "9:8: 'posts' has a list where names, each with a map is expected",
               "10:6: 'row' has a map where a list of maps is expected",
               "11:5: 'at' has a single value where a list of lengths is expected",
               "12:9: 'owners' has a single value where a list of names is expected",
               "13:8: 'gates' has a single value where names, each with a map is expected",
               "14:6: 'gap' has a list where a length is expected"});
  CHECK(opened.problems.list()[3].remedy == "from end to end");
  CHECK(opened.problems.list()[1].remedy == "expected hazel or willow or oak");
}

TEST_CASE("values out of their range, odd numbers and unknown words") {
  const Opened opened(
      "wood: wilow\nlength: -1 mm\nlean: 10.5\npost: {height: 0, count: 41}\n"
      "at: [1, -2, x, [3]]\nowners: [[Ann]]\nrow:\n  - {count: 2.5}\n  - {count: 4/2}\n  - 3\n");
  const auto reader = opened.reader();
  CHECK(reader.choice("wood") == "hazel");
  CHECK(reader.length("length") == mm(0));
  CHECK(reader.number("lean") == 0.5);
  CHECK(reader.map("post")->length("height") == mm(1200));
  CHECK(reader.map("post")->whole("count") == 1);
  CHECK(reader.lengths("at") == std::vector{Length::inches(1)});
  CHECK_FALSE(reader.has_items("at", 1));
  reader.names("owners");
  for (auto const* item : reader.list("row")) {
    const MapReader post(*item, kPost, opened.context);
    if (item->kind == YamlNode::Kind::map) post.whole("count");
  }
  CHECK(opened.faults() ==
        Faults{"3:7: 'wood' is 'wilow'",
               "4:9: 'length' is '-1 mm': out of its range (0 to 3937.0079 in)",
               "5:7: 'lean' is '10.5': out of its range (-10 to 10)",
               "6:16: 'height' is '0': out of its range (above 0 to 118.1102 in)",
               "6:26: 'count' is '41': out of its range (1 to 40)",
               "7:9: 'at' is '-2': out of its range (0 to 3937.0079 in)",
               "7:13: 'x': no number where one is expected",
               "7:16: 'at' has a list where a length is expected",
               "8:10: 'owners' has a list where a name is expected",
               "10:13: '2.5': not a whole number", "11:13: '4/2': not a whole number",
               "12:5: a single value where a post is expected"});
  CHECK(opened.problems.list()[0].remedy ==
        "expected hazel or willow or oak; the nearest is 'willow'");
}

TEST_CASE("a length out of range is told in both units, and the file's unit is asked about once") {
  // 5000 are too much in either unit; 4000 in are 101600 mm, and 4000 mm would do.
  const Opened inches("post: {height: 5000}\nat: [4000, 4001]\nlength: 4000 in\n");
  inches.reader().map("post")->length("height");
  CHECK(inches.reader().lengths("at").empty());
  inches.reader().length("length");
  CHECK(inches.faults() ==
        Faults{"3:16: 'height' is 5000 in (127000 mm): out of its range (above 0 to 118.1102 in)",
               "4:6: 'at' is 4000 in (101600 mm): out of its range (0 to 3937.0079 in)",
               "4:12: 'at' is 4001 in (101625.4 mm): out of its range (0 to 3937.0079 in)",
               "5:9: 'length' is '4000 in': out of its range (0 to 3937.0079 in)"});
  auto const& list = inches.problems.list();
  for (std::size_t i = 0; i < list.size(); ++i)
    CHECK(list[i].remedy.ends_with("; the file says unit: in (line 2): is it mm?") == (i == 1));

  const Opened millimetres("post: {height: 3001}\nlength: 100001\n",
                           "format: fence-1\n\nunit: mm\n");
  millimetres.reader().map("post")->length("height");
  millimetres.reader().length("length");
  CHECK(millimetres.faults() ==
        Faults{"4:16: 'height' is 3001 mm (118.1496 in): out of its range (above 0 to 3000 mm)",
               "5:9: 'length' is 100001 mm (3937.0472 in): out of its range (0 to 100000 mm)"});
  // An inch is more than a millimetre: it is none of these.
  for (auto const& each : millimetres.problems.list())
    CHECK(each.remedy.find("the file says") == std::string::npos);
  // What is too small in millimetres may be in inches.
  const Opened small("post: {peg: 1.9}\n", "format: fence-1\nunit: mm\n");
  CHECK(small.reader().map("post")->length("peg") == mm(0));
  CHECK(
      small.problems.list().front().remedy.ends_with("the file says unit: mm (line 2): is it in?"));
}

TEST_CASE("what YAML libraries make of a text never reaches a length") {
  for (const std::string text : {"no", "010", "1:30", "0x10", "1_000", "1e3", ".nan", ".inf",
                                 "1e308", "'0,068'", "1/0 in", "true", "2024-02-29"}) {
    INFO(text);
    const Opened opened("length: " + text + "\n");
    CHECK_FALSE(opened.reader().optional_length("length"));
    CHECK(opened.problems.errors() == 1);
    CHECK(opened.problems.list().front().place.column == 9);
  }
}

TEST_CASE("a title is one line, and not a novel") {
  for (std::string const& text : std::vector<std::string>{
           "|\n  two\n  lines\n", "\"a\\nb\"\n", "\"a\\tb\"\n", std::string(201, 'x') + "\n"}) {
    const Opened opened("title: " + text);
    opened.reader().line("title");
    CHECK(opened.problems.errors() == 1);
    CHECK(opened.reader().text("title").size() > 2);
  }
  std::string umlauts;
  for (int i = 0; i < 200; ++i) umlauts += "\xC3\xBC";
  const Opened opened("title: " + umlauts + "\n");
  CHECK(opened.reader().line("title") == umlauts);
  CHECK(opened.faults() == Faults{});
}

TEST_CASE("names of maps are plain, not too long, and not twice") {
  const Opened opened(
      "posts:\n  a: {}\n  a.b: {}\n  a: {}\n  '': {}\n  ' a': {}\n  \xC3\xBC: {}\n  " +
      std::string(61, 'n') + ": {}\n  " + std::string(60, 'n') + ": {}\n");
  const auto named = opened.reader().named("posts");
  REQUIRE(named.size() == 2);
  CHECK(named[0].first->text == "a");
  CHECK(named[1].first->text == std::string(60, 'n'));
  CHECK(opened.faults() ==
        Faults{"5:3: the name 'a.b' has characters that a name cannot have",
               "6:3: the name 'a' a second time",
               "7:3: the name '' has characters that a name cannot have",
               "8:3: the name ' a' has characters that a name cannot have",
               "9:3: the name '\xC3\xBC' has characters that a name cannot have",
               "10:3: the name '" + std::string(40, 'n') + "...' is over 60 characters long"});
  for (const std::string_view good : {"tip", "steel form", "Form-2", "7"}) CHECK(is_name(good));
  for (const std::string_view bad : {"", " ", "tip ", " tip", "a/b", "..", "a_b", "a\nb"})
    CHECK_FALSE(is_name(bad));
}

TEST_CASE("what was refused already is not told again") {
  const Opened opened("post: &p {height: 40}\nlength: *p\ngap: *p\nrow: [*p]\nat: [*p]\n*p : 3\n");
  const auto reader = opened.reader();
  reader.length("length");
  reader.length("gap");
  reader.lengths("at");
  for (auto const* item : reader.list("row")) MapReader(*item, kPost, opened.context);
  CHECK(opened.problems.errors() == 6);
  // Written, though there is no value to be had.
  CHECK(reader.written("length"));
  CHECK_FALSE(reader.has("length"));
}

TEST_CASE("complaints are told at the key's value, or at the map where it is not written") {
  const Opened opened("post:\n  height: 40\n");
  const auto post = opened.reader().map("post");
  REQUIRE(post);
  post->complain("height", "a");
  post->complain("count", "b", "remedy", Severity::warning);
  CHECK(opened.faults() == Faults{"4:11: a", "4:3: b"});
  CHECK(opened.problems.errors() == 1);
}

TEST_CASE("asking for what the table has not is an internal error") {
  const Opened opened("");
  const auto reader = opened.reader();
  CHECK_THROWS(reader.text("nonesuch"));
  CHECK_THROWS(reader.has("nonesuch"));
  CHECK_THROWS(reader.length("title"));
  CHECK_THROWS(reader.text("length"));
  CHECK_THROWS(reader.number("length"));
  CHECK_THROWS(reader.map("posts"));
  CHECK_THROWS(reader.named("post"));
  CHECK_THROWS(reader.choice("title"));
}

TEST_CASE("format and unit come first") {
  const auto faults = [](std::string head) { return Opened("", std::move(head)).faults(); };
  CHECK(faults("format: fence-1\nunit: mm\n") == Faults{});
  CHECK(Opened("", "format: fence-1\nunit: mm\n").file->unit == Unit::millimetre);
  // One of our own files in the wrong place is told as that, once, whatever its keys.
  CHECK(faults("format: stripwright-shop-1\nunit: furlong\nmachines: {}\n") ==
        Faults{"1:9: this is a shop file, where a fence file is expected"});
  CHECK(faults("format: fence-2\nunit: in\n") == Faults{"1:9: the format is 'fence-2'"});
  CHECK(faults("format: [fence-1]\nunit: in\n") == Faults{"1:9: the format is a list"});
  CHECK(faults("format:\nunit: in\n") == Faults{"1:1: the format is nothing"});
  CHECK(faults("format: fence-1\nunit: inch\n") == Faults{"2:7: 'inch' is not a unit for a file"});
  CHECK(faults("format: fence-1\nunit: {in: mm}\n") == Faults{"2:7: 'unit' has a map"});
  CHECK(faults("{}") == Faults{"1:1: a fence file lacks the key 'format'",
                               "1:1: a fence file lacks the key 'unit'"});
  CHECK(faults("- a\n") == Faults{"1:1: a list where a fence file is expected"});
  CHECK(faults("~\n") == Faults{"1:1: nothing where a fence file is expected"});
  // Without blanks behind the colons it is one word to YAML.
  const Opened colons("", "format:fence-1\nunit:in\n");
  CHECK_FALSE(colons.file);
  CHECK(colons.faults() == Faults{"1:1: a single value where a fence file is expected"});
  CHECK(colons.problems.list().front().remedy.find("a blank follows each colon") !=
        std::string::npos);
}

TEST_CASE("bytes come first, then the YAML's own faults, then everything else") {
  CHECK(Opened("titel: \x01 @\n").faults() == Faults{"3:8: a control character (0x01)"});
  CHECK(Opened("titel: x\n\twood: @\n").faults() == Faults{"4:1: a tab in the indent"});
  CHECK(Opened("titel: x\nwood: @\n").faults() ==
        Faults{"4:7: a character that no value can start with"});
}

TEST_CASE("kinds and ranges in words") {
  CHECK(kind_text(find_key(kFile, "length")) == "a length");
  CHECK(kind_text(find_key(kFile, "format")) == "fence-1");
  CHECK(kind_text(find_key(kFile, "wood")) == "hazel or willow or oak");
  CHECK(kind_text(find_key(kFile, "gap")) == "a length or a map");
  CHECK(range_text(find_key(kFile, "title")).empty());
  CHECK(range_text(find_key(kFile, "lean")) == "-10 to 10");
  CHECK(range_text(find_key(kFile, "length")) == "0 to 100000 mm");
  CHECK(range_text({.name = "x", .kind = ValueKind::length, .range = {.lowest = 15}}) ==
        "from 15 mm");
  CHECK(
      range_text({.name = "x", .kind = ValueKind::number, .range = {.lowest = 0, .above = true}}) ==
      "above 0");
  CHECK(range_text({.name = "x", .kind = ValueKind::number, .range = {.highest = 3}}) == "up to 3");
  CHECK_THROWS(find_key(kFile, "nonesuch"));
}
