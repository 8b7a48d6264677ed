#include "page/draft.h"

#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <random>

#include "bench.h"

using namespace stripwright;
using page::DraftChange;
using page::Drafted;

namespace {

using Path = std::vector<std::string>;

Drafted draft(std::string const& bytes, std::vector<DraftChange> const& changes) {
  return page::drafted(files::SourceText("burnet.yaml", bytes), bytes, changes);
}

std::string made(std::string const& bytes, std::vector<DraftChange> const& changes) {
  const auto out = draft(bytes, changes);
  INFO(bytes << out.problems.text() << out.clashes.size() << " clashes");
  REQUIRE(out);
  return *out.bytes;
}

std::string replaced(std::string text, std::string const& old, std::string const& with) {
  const auto at = text.find(old);
  REQUIRE(at != std::string::npos);
  return text.replace(at, old.size(), with);
}

DraftChange at_station(std::string station, std::optional<std::string> was,
                       std::optional<std::string> now, std::optional<std::string> key = {}) {
  return {{"taper", std::move(station)}, std::move(was), std::move(now), std::move(key)};
}

}  // namespace

TEST_CASE("a value is set, and all else stays byte for byte") {
  CHECK(made(bench::kBurnet, {at_station("10", "0.0955", "0.097")}) ==
        replaced(bench::kBurnet, "0.0955", "0.097"));
  CHECK(made(bench::kBurnet, {{{"name"}, "Burnet", "Great Burnet", {}}}) ==
        replaced(bench::kBurnet, "'Burnet'", "'Great Burnet'"));
  CHECK(made(bench::kBurnet, {{{"sections", "tip", "make"}, "2", "3", {}}}) ==
        replaced(bench::kBurnet, "make: 2", "make: 3"));
  CHECK(made(bench::kBurnet, {}) == bench::kBurnet);
}

TEST_CASE("with line ends of Windows, a byte order mark and no last line end, too") {
  std::string bytes = "\xEF\xBB\xBF";
  for (const char c : std::string_view(bench::kBurnet))
    bytes += c == '\n' ? std::string("\r\n") : std::string(1, c);
  bytes.resize(bytes.size() - 2);
  CHECK(made(bytes, {at_station("10", "0.0955", "0.097")}) == replaced(bytes, "0.0955", "0.097"));
}

TEST_CASE("a station is put in where it belongs") {
  const auto bytes = made(bench::kBurnet, {at_station("15", {}, "0.111")});
  const auto lines = replaced(bytes, "15: 0.111\n", "");
  CHECK(bytes.find("0.0955") < bytes.find("15: 0.111"));
  CHECK(bytes.find("15: 0.111") < bytes.find("20:"));
  CHECK(lines.size() + 2 == std::string(bench::kBurnet).size() + 2 + 2);  // two spaces of indent
  const auto ends =
      made(bench::kBurnet, {at_station("40", {}, "0.2"), at_station("-1", {}, "0.06")});
  CHECK(ends.find("-1: 0.06") < ends.find("0:   0.070"));
  CHECK(ends.find("40: 0.2") > ends.find("30:"));
  CHECK(ends.find("40: 0.2") < ends.find("sections:"));
}

TEST_CASE("places are compared in the file's unit, whatever unit each has") {
  const std::string bytes =
      "format: stripwright-taper-1\nunit: mm\ntaper:\n  0: 2\n  127: 2.5\n  381: 4\n";
  const auto text = made(bytes, {at_station("10 in", {}, "3")});  // 254 mm
  CHECK(text.find("127:") < text.find("10 in"));
  CHECK(text.find("10 in") < text.find("381:"));
}

TEST_CASE("a station is taken out with the remark on its line") {
  CHECK(made(bench::kBurnet, {at_station("0", "0.070", {})}) ==
        replaced(bench::kBurnet, "  0:   0.070  # under the tip top\n", ""));
  CHECK(made(bench::kBurnet, {{{"sections", "butt"}, {}, {}, {}}}) ==
        replaced(bench::kBurnet, "  butt: {from: 15, to: 30}\n", ""));
}

TEST_CASE("a key gets another text, its value too or not") {
  CHECK(made(bench::kBurnet, {at_station("20", "0.127", "0.127", "21")}) ==
        replaced(bench::kBurnet, "20:", "21:"));
  CHECK(made(bench::kBurnet, {at_station("20", "0.127", "0.13", "21")}) ==
        replaced(replaced(bench::kBurnet, "20:", "21:"), "0.127", "0.13"));
}

TEST_CASE("a map gets another name and is kept") {
  CHECK(made(bench::kBurnet, {{{"sections", "butt"}, {}, {}, "lower"}}) ==
        replaced(bench::kBurnet, "butt", "lower"));
}

TEST_CASE("a map is not written over by a text") {
  const auto out = draft(bench::kBurnet, {{{"sections", "butt"}, {}, "5", {}}});
  CHECK_FALSE(out);
  CHECK(out.clashes.size() == 1);
}

TEST_CASE("a key with nothing behind it is filled") {
  const auto bytes = made("name:\nunit: in\n", {{{"name"}, {}, "Burnet", {}}});
  CHECK(YAML::Load(bytes)["name"].Scalar() == "Burnet");
  CHECK(YAML::Load(bytes)["unit"].Scalar() == "in");
}

TEST_CASE("a list of single values is one text") {
  const std::string bytes = "form:\n  over: [0.030, 0.010, 0]  # stages\n";
  CHECK(made(bytes, {{{"form", "over"}, "0.030, 0.010, 0", "0.030,0.012 ,0", {}}}) ==
        replaced(bytes, "0.010", "0.012"));
  const auto longer =
      made(bytes, {{{"form", "over"}, "0.030, 0.010, 0", "0.03, 0.02, 0.01, 0", {}}});
  CHECK(YAML::Load(longer)["form"]["over"].size() == 4);
  const auto shorter = made(bytes, {{{"form", "over"}, "0.030, 0.010, 0", "0.030", {}}});
  CHECK(YAML::Load(shorter)["form"]["over"].size() == 1);
  CHECK(shorter.find("# stages") != std::string::npos);
}

TEST_CASE("a list whose items hold commas is not taken apart") {
  const std::string bytes = "sections: [\"tip, fine\", butt]\n";
  const auto tree = files::YamlNode(*[&] {
    Problems problems;
    return files::parse_yaml(files::SourceText("x", bytes), problems);
  }());
  CHECK_FALSE(page::text_at(tree, {"sections"}));
  const auto out = draft(bytes, {{{"sections"}, "tip, fine, butt", "tip, fine, lower", {}}});
  CHECK_FALSE(out);
}

TEST_CASE("what grows deeper is made whole") {
  const auto bytes = made("machines:\n  form:\n    kind: planing-form\n",
                          {{{"machines", "bed", "kind"}, {}, "sliding-bed", {}},
                           {{"machines", "bed", "screws", "pitch"}, {}, "5", {}},
                           {{"machines", "bed", "screws", "count"}, {}, "13", {}}});
  const auto bed = YAML::Load(bytes)["machines"]["bed"];
  CHECK(bed["kind"].Scalar() == "sliding-bed");
  CHECK(bed["screws"]["pitch"].Scalar() == "5");
  CHECK(bed["screws"]["count"].Scalar() == "13");
}

TEST_CASE("new items of a list are put in at its end") {
  const auto bytes = made(
      "ferrules:\n  - {at: 45, bore: 13/64 in}\n",
      {{{"ferrules", "+0", "at"}, {}, "60", {}}, {{"ferrules", "+0", "bore"}, {}, "0.25 in", {}}});
  const auto list = YAML::Load(bytes)["ferrules"];
  REQUIRE(list.size() == 2);
  CHECK(list[0]["bore"].Scalar() == "13/64 in");
  CHECK(list[1]["at"].Scalar() == "60");
  CHECK(list[1]["bore"].Scalar() == "0.25 in");
}

TEST_CASE("texts stay texts, whatever they hold") {
  for (std::string const text : {"a: b",
                                 "#x",
                                 "'",
                                 "\"",
                                 "{",
                                 "[a]",
                                 "- x",
                                 "&a",
                                 "*a",
                                 "!tag",
                                 "|",
                                 ">",
                                 "%",
                                 "@",
                                 "`",
                                 "true",
                                 "null",
                                 "~",
                                 "010",
                                 "1e3",
                                 " lead",
                                 "trail ",
                                 "\xC3\xA9t\xC3\xA9",
                                 "a\\nb",
                                 ","}) {
    INFO(text);
    const auto bytes = made(bench::kBurnet, {{{"name"}, "Burnet", text, {}}});
    CHECK(YAML::Load(bytes)["name"].Scalar() == text);
    const auto added = made(bench::kBurnet, {{{"about"}, {}, text, {}}});
    CHECK(YAML::Load(added)["about"].Scalar() == text);
  }
}

TEST_CASE("changes outside and changes here are merged") {
  const auto outside =
      replaced(replaced(bench::kBurnet, "0.1590", "0.160"), "tip end first", "tip at top");
  const auto bytes = made(outside, {at_station("10", "0.0955", "0.097"),
                                    at_station("15", {}, "0.11"), at_station("20", "0.127", {})});
  CHECK(bytes.find("0.160") != std::string::npos);
  CHECK(bytes.find("tip at top") != std::string::npos);
  CHECK(bytes.find("0.097") != std::string::npos);
  CHECK(bytes.find("15: 0.11") != std::string::npos);
  CHECK(bytes.find("0.127") == std::string::npos);
}

TEST_CASE("the same change outside and here is no clash") {
  CHECK(made(replaced(bench::kBurnet, "0.0955", "0.097"), {at_station("10", "0.0955", "0.097")}) ==
        replaced(bench::kBurnet, "0.0955", "0.097"));
  const auto without = replaced(bench::kBurnet, "  10:  0.0955\n", "");
  CHECK(made(without, {at_station("10", "0.0955", {})}) == without);
  const auto with = replaced(bench::kBurnet, "  20:", "  15: 0.11\n  20:");
  CHECK(made(with, {at_station("15", {}, "0.11")}) == with);
}

TEST_CASE("what was changed both here and outside is asked about, and nothing is made") {
  const auto outside = replaced(bench::kBurnet, "0.0955", "0.099");
  const auto out =
      draft(outside, {at_station("10", "0.0955", "0.097"), at_station("20", "0.127", "0.13")});
  CHECK_FALSE(out);
  REQUIRE(out.clashes.size() == 1);
  CHECK(out.clashes[0].change.path == Path{"taper", "10"});
  CHECK(out.clashes[0].there == "0.099");
  const auto gone =
      draft(replaced(bench::kBurnet, "  10:  0.0955\n", ""), {at_station("10", "0.0955", "0.097")});
  REQUIRE(gone.clashes.size() == 1);
  CHECK_FALSE(gone.clashes[0].there);
  const auto both =
      draft(replaced(bench::kBurnet, "  20:", "  15: 0.11\n  20:"), {at_station("15", {}, "0.12")});
  REQUIRE(both.clashes.size() == 1);
  CHECK(both.clashes[0].there == "0.11");
  const auto taken = draft(outside, {at_station("10", "0.0955", {})});
  REQUIRE(taken.clashes.size() == 1);
}

TEST_CASE("a file that is no YAML is told, not changed") {
  for (std::string const bytes :
       {"", "\n", "x", "- a\n", "a: [\n", "a: &x 1\nb: *x\n", "\xFF\xFE"}) {
    INFO(bytes);
    const auto out = draft(bytes, {at_station("10", {}, "0.1")});
    CHECK_FALSE(out);
    CHECK(out.problems.any_error());
  }
}

// ---- What a script sends.

TEST_CASE("changes are read from what a script sends") {
  const auto changes = page::read_changes(nlohmann::ordered_json::parse(
      R"([{"path":["taper","10"],"was":"0.1","now":null,"key":"11"},{"path":["a"],"now":"x"}])"));
  REQUIRE(changes);
  REQUIRE(changes->size() == 2);
  CHECK((*changes)[0].path == Path{"taper", "10"});
  CHECK((*changes)[0].was == "0.1");
  CHECK_FALSE((*changes)[0].now);
  CHECK((*changes)[0].key == "11");
  CHECK((*changes)[1].now == "x");
}

TEST_CASE("nonsense is no list of changes") {
  for (
      std::string const text :
      {"null", "{}", "1", "\"x\"", "[1]", "[null]", "[[]]", "[{}]", R"([{"path":"taper"}])",
       R"([{"path":[]}])", R"([{"path":[1]}])", R"([{"path":["a",null]}])", R"([{"path":{}}])",
       R"([{"path":["1","2","3","4","5","6","7","8","9","10","11","12","13","14","15","16","17"]}])",
       R"([{"path":["a"]},7])"}) {
    INFO(text);
    CHECK_FALSE(page::read_changes(nlohmann::ordered_json::parse(text)));
  }
}

// ---- Random edits of random tapers against a plain model: pairs of texts.

namespace {

struct Row {
  std::string key;
  std::string value;
  std::string remark;  // on its line
};
using Rows = std::vector<Row>;

double place(Row const& row) { return std::stod(row.key); }

std::string text_of(Rows const& rows) {
  std::string out = "# a rod\nformat: stripwright-taper-1\nunit: in\ntaper:\n";
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (i % 3 == 2) out += "  # before " + std::to_string(i) + "\n";
    out += "  " + rows[i].key + ":  " + rows[i].value + rows[i].remark + "\n";
  }
  return out + "sections: {tip: {from: 0, to: 100}}\n";
}

Rows rows_of(std::string const& bytes) {
  Rows out;
  for (auto const& each : YAML::Load(bytes)["taper"])
    out.push_back({each.first.Scalar(), each.second.Scalar(), ""});
  return out;
}

std::vector<std::string> lines_of(std::string const& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

class Chance {
 public:
  explicit Chance(unsigned seed) : engine_(seed) {}
  int below(int limit) { return std::uniform_int_distribution<int>(0, limit - 1)(engine_); }
  std::string value() { return "0." + std::to_string(1000 + below(9000)); }
  Rows rows() {
    Rows out;
    int at = below(3);
    for (int i = 2 + below(9); i > 0; --i) {
      out.push_back({std::to_string(at), value(), below(3) == 0 ? "  # " + std::to_string(i) : ""});
      at += 2 + below(5);
    }
    return out;
  }

 private:
  std::mt19937 engine_;
};

/// One hand: changes some rows, and tells what was changed. A station stays between its neighbours.
std::vector<DraftChange> edit(Rows& rows, Chance& chance) {
  std::vector<DraftChange> out;
  Rows now;
  for (auto const& row : rows) {
    auto next = row;
    switch (chance.below(8)) {
      case 0:
        out.push_back(at_station(row.key, row.value, {}));
        continue;
      case 1:
        next.value = chance.value();
        out.push_back(at_station(row.key, row.value, next.value));
        break;
      case 2:
        next.key += ".25";
        out.push_back(at_station(row.key, row.value, row.value, next.key));
        break;
      case 3:
        now.push_back(next);
        next = {row.key + ".75", chance.value(), ""};
        out.push_back(at_station(next.key, {}, next.value));
        break;
      default:
        break;
    }
    now.push_back(next);
  }
  rows = now;
  std::reverse(out.begin(), out.end());  // their order must not count
  return out;
}

bool same(Rows const& a, Rows const& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](Row const& x, Row const& y) {
    return x.key == y.key && x.value == y.value;
  });
}

}  // namespace

TEST_CASE("random edits of random tapers are what a plain model makes of them") {
  Chance chance(1);
  for (int round = 0; round < 2000; ++round) {
    const auto before = chance.rows();
    auto rows = before;
    const auto changes = edit(rows, chance);
    if (rows.empty()) continue;
    const auto old_bytes = text_of(before);
    INFO(old_bytes);
    const auto bytes = made(old_bytes, changes);
    INFO(bytes);
    REQUIRE(same(rows_of(bytes), rows));
    // Lines that no change names stay as they are, in their order.
    auto lines = lines_of(bytes);
    auto from = lines.begin();
    for (auto const& line : lines_of(old_bytes)) {
      const bool changed = std::any_of(changes.begin(), changes.end(), [&](auto const& change) {
        return line.starts_with("  " + change.path.back() + ":");
      });
      if (changed) continue;
      from = std::find(from, lines.end(), line);
      INFO(line);
      REQUIRE(from != lines.end());
      ++from;
    }
  }
}

TEST_CASE("random edits by two hands are merged, or clash just where both changed one station") {
  Chance chance(2);
  int merged = 0;
  int clashed = 0;
  for (int round = 0; round < 3000; ++round) {
    const auto before = chance.rows();
    auto theirs = before;
    const auto their_changes = edit(theirs, chance);
    auto mine = before;
    const auto my_changes = edit(mine, chance);
    if (theirs.empty() || my_changes.empty()) continue;
    // The model: what they left at each of my stations, against what I saw and want there.
    std::vector<std::string> clashes;
    Rows wanted = theirs;
    for (auto const& change : my_changes) {
      auto const& key = change.path.back();
      const auto there = std::find_if(wanted.begin(), wanted.end(),
                                      [&](Row const& row) { return row.key == key; });
      const bool gone = there == wanted.end();
      if (gone && !change.was)
        wanted.push_back({key, *change.now, ""});
      else if (gone && change.now)
        clashes.push_back(key);
      else if (gone)
        continue;
      else if (there->value != change.was && there->value != change.now)
        clashes.push_back(key);
      else if (!change.now)
        wanted.erase(there);
      else
        *there = {change.key.value_or(key), *change.now, ""};
    }
    const auto bytes = text_of(theirs);
    const auto out = draft(bytes, my_changes);
    INFO(text_of(before) << "theirs\n" << bytes);
    std::vector<std::string> found;
    for (auto const& clash : out.clashes) found.push_back(clash.change.path.back());
    REQUIRE(found == clashes);
    if (!clashes.empty()) {
      ++clashed;
      REQUIRE_FALSE(out);
      continue;
    }
    std::stable_sort(wanted.begin(), wanted.end(),
                     [](Row const& a, Row const& b) { return place(a) < place(b); });
    const bool doubled =
        std::adjacent_find(wanted.begin(), wanted.end(), [](Row const& a, Row const& b) {
          return a.key == b.key;
        }) != wanted.end();
    if (wanted.empty() || doubled) continue;
    INFO(out.problems.text());
    REQUIRE(out);
    ++merged;
    REQUIRE(same(rows_of(*out.bytes), wanted));
  }
  CHECK(merged > 300);
  CHECK(clashed > 300);
}

TEST_CASE("nonsense changes never spoil a file: it can be read, or nothing is made") {
  Chance chance(3);
  const std::vector<std::string> steps = {"taper",    "sections", "tip", "10",  "20",      "from",
                                          "name",     "0",        "+0",  "+1",  "-1",      "",
                                          "\xC3\xA9", "a: b",     "#",   "1e3", "ferrules"};
  const std::vector<std::string> texts = {"",  "0.070",  "0.0955", "x",  "a, b",
                                          "[", "{a: 1}", "# x",    "\n", "2"};
  const auto any = [&](std::vector<std::string> const& list) {
    return list[static_cast<std::size_t>(chance.below(static_cast<int>(list.size())))];
  };
  const auto maybe = [&]() -> std::optional<std::string> {
    return chance.below(2) ? std::optional(any(texts)) : std::nullopt;
  };
  int good = 0;
  for (int round = 0; round < 5000; ++round) {
    std::vector<DraftChange> changes;
    for (int i = 1 + chance.below(4); i > 0; --i) {
      DraftChange change;
      for (int depth = 1 + chance.below(4); depth > 0; --depth) change.path.push_back(any(steps));
      change.was = maybe();
      change.now = maybe();
      if (chance.below(3) == 0) change.key = any(steps);
      changes.push_back(std::move(change));
    }
    const auto out = draft(bench::kBurnet, changes);
    if (!out) {
      CHECK((out.problems.any_error() || !out.clashes.empty()));
      continue;
    }
    ++good;
    INFO(*out.bytes);
    CHECK_NOTHROW(YAML::Load(*out.bytes));
    CHECK(out.bytes->starts_with("# Burnet, for the small brook\n"));
  }
  CHECK(good > 500);
}

TEST_CASE("the path to a place of a file is found") {
  const files::SourceText source("burnet.yaml", bench::kBurnet);
  Problems problems;
  const auto root = files::parse_yaml(source, problems);
  REQUIRE(root);
  CHECK(page::path_near(*root, source, {"", 8, 3}) == Path{"taper", "10"});
  CHECK(page::path_near(*root, source, {"", 8, 8}) == Path{"taper", "10"});
  CHECK(page::path_near(*root, source, {"", 13, 21}) == Path{"sections", "tip", "to"});
  CHECK(page::path_near(*root, source, {"", 1, 1}).empty());
}
