#include "page/form.h"

#include <algorithm>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>
#include <variant>

#include "catch.h"
#include "shop/read_shop.h"
#include "shop/shop_keys.h"
#include "taper/read_taper.h"
#include "taper/taper_keys.h"

using namespace stripwright;
using files::KeySpec;
using files::MapSpec;
using files::ValueKind;
using page::DraftChange;
using Path = std::vector<std::string>;
using Tag = std::map<std::string, std::string>;

namespace {

std::string profile(std::string const& name) {
  std::ifstream in(std::string(STRIPWRIGHT_SOURCE_DIR) + "/profiles/" + name);
  std::ostringstream out;
  out << in.rdbuf();
  REQUIRE(!out.str().empty());
  return out.str();
}

/// The references of HTML that Html writes (HTML Living Standard, 13.5), undone.
std::string unescaped(std::string text) {
  for (auto const& [reference, letter] :
       {std::pair("&lt;", "<"), {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}})
    for (auto at = text.find(reference); at != std::string::npos; at = text.find(reference, at + 1))
      text.replace(at, std::string(reference).size(), letter);
  return text;
}

/// All start tags with their attributes; the element's name is "tag", what follows up to the next
/// tag is "text".
std::vector<Tag> tags_of(std::string const& html) {
  static const std::regex whole(R"(<([a-z]+)((?: [a-z-]+="[^"]*")*)\s*/?>([^<]*))");
  static const std::regex each(R"( ([a-z-]+)="([^"]*)\")");
  std::vector<Tag> out;
  for (std::sregex_iterator i(html.begin(), html.end(), whole), end; i != end; ++i) {
    Tag tag{{"tag", (*i)[1]}, {"text", unescaped((*i)[3])}};
    const std::string attributes = (*i)[2];
    for (std::sregex_iterator j(attributes.begin(), attributes.end(), each); j != end; ++j)
      tag[(*j)[1]] = unescaped((*j)[2]);
    out.push_back(std::move(tag));
  }
  return out;
}

/// A form as a browser has it, and what a hand does in it.
class Hand {
 public:
  Hand(MapSpec const& spec, std::string bytes) : spec_(spec), bytes_(std::move(bytes)) { show(); }

  /// Writes into the field of a path, as `draft.js` does.
  void type(Path const& path, std::string const& text) {
    INFO(page::path_text(path));
    auto const* field = this->field(path);
    REQUIRE(field);
    DraftChange change{path, std::nullopt, text, std::nullopt, false};
    if (field->contains("data-was")) change.was = field->at("data-was");
    if (text.empty() && field->contains("data-optional")) change.now = std::nullopt;
    change.list = field->contains("data-list");
    for (auto& known : changes)
      if (known.path == path) {
        known.now = change.now;
        return show();
      }
    changes.push_back(std::move(change));
    show();
  }

  void rename(Path const& path, std::string const& name) {
    std::erase_if(changes, [&](auto const& change) { return change.path == path; });
    changes.push_back({path, std::nullopt, std::nullopt, name, false});
    show();
  }

  /// Presses the button that adds one, of that name where it has a line for one.
  void add(Path const& path, std::string const& name, std::string const& kind = "") {
    const auto button = std::find_if(tags.begin(), tags.end(), [&](Tag const& tag) {
      return tag.contains("data-add") && tag.at("data-add") == page::path_text(path);
    });
    REQUIRE(button != tags.end());
    CHECK(button->contains("data-named") == !name.empty());
    auto added = path;
    added.push_back(name.empty() ? "+0" : name);
    if (const auto first = button->at("data-first"); !first.empty()) added.push_back(first);
    changes.push_back({added, std::nullopt, kind, std::nullopt, false});
    show();
  }

  void take_out(Path const& path) {
    const auto button = std::find_if(tags.begin(), tags.end(), [&](Tag const& tag) {
      return tag.contains("data-out") && tag.at("data-out") == page::path_text(path);
    });
    REQUIRE(button != tags.end());
    std::optional<std::string> was;
    if (button->contains("data-text")) was = button->at("data-text");
    changes.push_back({path, was, std::nullopt, std::nullopt, false});
    show();
  }

  Tag const* field(Path const& path) const {
    const auto found = std::find_if(tags.begin(), tags.end(), [&](Tag const& tag) {
      return tag.contains("data-path") && tag.at("data-path") == page::path_text(path);
    });
    return found == tags.end() ? nullptr : &*found;
  }

  /// What is said at the element of an id.
  std::string text_at(std::string const& id) const {
    const auto found = std::find_if(tags.begin(), tags.end(), [&](Tag const& tag) {
      return tag.contains("id") && tag.at("id") == id;
    });
    return found == tags.end() ? "nothing of that id" : found->at("text");
  }
  std::string said_at(Path const& path) const { return text_at(page::field_id(path) + "-wrong"); }

  std::string const& now() const { return *file.draft.bytes; }
  Shop shop() const {
    Problems none;
    auto out = read_shop(files::SourceText("lane.yaml", now()), none);
    INFO(now() << none.text());
    REQUIRE(out);
    return *out;
  }
  Taper taper() const {
    Problems none;
    auto out = read_taper(files::SourceText("lane.yaml", now()), none);
    INFO(now() << none.text());
    REQUIRE(out);
    return *out;
  }

  std::vector<DraftChange> changes;
  page::DraftedFile file;
  Problems problems;
  std::string html;
  std::vector<Tag> tags;

 private:
  void show() {
    file = page::drafted_bytes("lane.yaml", bytes_, changes);
    INFO(file.draft.problems.text());
    REQUIRE(file.draft);
    problems = {};
    if (&spec_ == &shop_file_keys())
      read_shop(*file.text, problems);
    else
      read_taper(*file.text, problems);
    html = page::form_html({spec_, file, changes, problems, {}});
    tags = tags_of(html);
  }

  MapSpec const& spec_;
  std::string bytes_;
};

std::string lower(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

/// The words of a key's meaning as a person reads them: no backticks, keys in words.
std::string plain(std::string_view meaning) {
  std::string out(meaning);
  out.erase(std::remove(out.begin(), out.end(), '`'), out.end());
  std::replace(out.begin(), out.end(), '_', ' ');
  return lower(out);
}

Path below(Path path, std::string_view step) {
  path.emplace_back(step);
  return path;
}

/// Each key below a map must be there; how many were looked at.
int check_keys(Hand const& hand, MapSpec const& spec, Path const& path);

int check_key(Hand const& hand, KeySpec const& key, Path const& path) {
  INFO(page::path_text(path));
  auto const* there = page::node_at(*hand.file.tree, path);
  if (key.kind == ValueKind::flats_table) return 1;  // the rod's page has its own table for it
  CHECK(lower(unescaped(hand.html)).find(plain(key.meaning)) != std::string::npos);
  if (key.kind == ValueKind::map) return 1 + check_keys(hand, *key.map, path);
  if (key.kind == ValueKind::named_maps) {
    int count = 1;
    for (auto const& entry : there->entries)
      count += check_keys(hand, *key.map, below(path, entry.key.text));
    return count;
  }
  if (key.kind == ValueKind::map_list) {
    int count = 1;
    for (std::size_t i = 0; i < there->items.size(); ++i)
      count += check_keys(hand, *key.map, below(path, std::to_string(i)));
    return count;
  }
  if (key.kind == ValueKind::machines) {
    int count = 1;
    for (auto const& entry : there->entries) {
      const auto machine = below(path, entry.key.text);
      for (auto const& kind : key.kinds)
        if (kind.word == page::text_at(*hand.file.tree, below(machine, "kind")))
          count += check_keys(hand, kind.map, machine);
    }
    return count;
  }
  auto const* field = hand.field(path);
  REQUIRE(field);
  const auto meaning = hand.text_at(field->at("id") + "-meaning");
  CHECK(lower(meaning).find(plain(key.meaning)) == 0);
  CHECK(field->at("aria-describedby").find(field->at("id") + "-meaning") != std::string::npos);
  if (!key.required && !key.standard.empty())
    CHECK(meaning.find("If left out: " + std::string(key.standard)) != std::string::npos);
  CHECK(field->contains("data-optional") == !key.required);
  const auto text = page::text_at(*hand.file.base, path);
  CHECK(field->contains("data-was") == text.has_value());
  if (text) CHECK(field->at("data-was") == *text);
  return 1;
}

int check_keys(Hand const& hand, MapSpec const& spec, Path const& path) {
  int count = 0;
  for (auto const& key : spec.keys) count += check_key(hand, key, below(path, key.name));
  return count;
}

/// The problem of the same id for the script must be the same.
void check_told_to_script(Hand const& hand, MapSpec const& spec, Path const& path) {
  const auto json = page::form_mistakes({spec, hand.file, hand.changes, hand.problems, {}});
  const auto found = json.find(page::field_id(path));
  REQUIRE(found != json.end());
  CHECK((*found)["text"] == hand.said_at(path));
}

const Path kVarnish = {"allowances", "varnish"};
constexpr Length in(double count) { return Length::inches(count); }

}  // namespace

TEST_CASE(
    "every key of a shop and of a taper has a field, with its meaning and what the file has") {
  const Hand shop(shop_file_keys(), profile("shops/saltmarsh-lane.yaml"));
  // Four machines of four kinds, every map that a key may have.
  CHECK(check_keys(shop, shop_file_keys(), {}) > 90);
  const Hand taper(taper_file_keys(), profile("yarrow.yaml"));
  CHECK(check_keys(taper, taper_file_keys(), {}) > 15);
}

TEST_CASE("a field edits what it shows, in any unit, and nothing else") {
  const auto bytes = profile("shops/saltmarsh-lane.yaml");
  Hand hand(shop_file_keys(), bytes);
  hand.type(kVarnish, "0.3 mm");
  hand.type({"machines", "steel form", "depth_gauge", "diameter"}, "1/64 in");
  hand.type({"machines", "steel form", "screws", "count"}, "17");
  hand.type({"allowances", "enamel", "off"}, "before-milling");
  const auto shop = hand.shop();
  CHECK(shop.allowances.varnish == Length::millimetres(0.3));
  CHECK(shop.allowances.enamel.off == EnamelOff::before_milling);
  auto const& form = std::get<PlaningForm>(shop.machines[0].kind);
  CHECK(form.screws.size() == 17);
  REQUIRE(form.depth_gauge);
  CHECK(form.depth_gauge->diameter == in(1.0 / 64));
  auto wanted = bytes;
  for (auto const& [from, to] : {std::pair("varnish: 0.0015", "varnish: 0.3 mm"),
                                 {"diameter: 0.010", "diameter: 1/64 in"},
                                 {"pitch: 5, count: 13", "pitch: 5, count: 17"},
                                 {"off: before-gluing", "off: before-milling"}})
    wanted.replace(wanted.find(from), std::string(from).size(), to);
  CHECK(hand.now() == wanted);
}

TEST_CASE("an optional field that is emptied takes its key out, the last one its map") {
  Hand hand(shop_file_keys(), profile("shops/saltmarsh-lane.yaml"));
  hand.type(kVarnish, "");
  CHECK(hand.now().find("varnish:") == std::string::npos);
  CHECK(hand.shop().allowances.assumed == std::vector<std::string>{"varnish"});
  CHECK(hand.field(kVarnish)->at("value").empty());
  for (const auto key : {"tip_end", "butt_end"}) hand.type({"spare", key}, "");
  CHECK(hand.now().find("spare:") == std::string::npos);
  CHECK(hand.shop().spare.tip_end == in(1.5));  // what is taken if it is left out
  // A block of lines as well as what stands in brackets.
  for (const auto key : {"strip", "flats", "angle"}) hand.type({"tolerances", key}, "");
  CHECK(hand.now().find("tolerances:") == std::string::npos);
  CHECK(hand.now().find("# The strip starts") == std::string::npos);
  CHECK(hand.now().find("# Two steel bars") != std::string::npos);
}

TEST_CASE("a list is one text with commas, be it there or not") {
  Hand hand(shop_file_keys(), profile("shops/saltmarsh-lane.yaml"));
  const Path over = {"machines", "steel form", "passes", "over"};
  REQUIRE(hand.field(over));
  CHECK(hand.field(over)->at("value") == "0.030, 0.010, 0");
  hand.type(over, "0.4 mm, 0");
  hand.type({"machines", "lifting bed", "passes", "over"}, "0.02, 0");
  hand.type({"machines", "lifting bed", "for"}, "tip, mid");
  const auto shop = hand.shop();
  CHECK(hand.now().find("passes: {over: [0.4 mm, 0]}") != std::string::npos);
  CHECK(shop.machines[1].serves == std::vector<std::string>{"tip", "mid"});
  REQUIRE(shop.machines[1].passes);
  CHECK(std::get<PassesByStage>(*shop.machines[1].passes).over ==
        std::vector<Length>{in(0.02), Length{}});
}

TEST_CASE("a map that was left out comes with the first of its keys") {
  Hand hand(shop_file_keys(), "format: stripwright-shop-1\nunit: mm\n# mine\n");
  CHECK(!hand.shop().allowances.moisture);
  hand.type({"allowances", "moisture", "per_percent"}, "0.002");
  // Now there is a map that lacks two keys; each is told at its own field.
  CHECK(hand.said_at({"allowances", "moisture", "at_milling"}).find("lacks the key 'at_milling'") !=
        std::string::npos);
  CHECK(hand.said_at({"allowances", "moisture", "per_percent"}).empty());
  hand.type({"allowances", "moisture", "at_milling"}, "9");
  hand.type({"allowances", "moisture", "in_service"}, "7");
  hand.type({"tolerances", "angle"}, "1/2");
  const auto shop = hand.shop();
  REQUIRE(shop.allowances.moisture);
  CHECK(shop.allowances.moisture->swelling_per_percent == 0.002);
  CHECK(shop.tolerances.angle == Angle::degrees(0.5));
  CHECK(hand.now().find("# mine") != std::string::npos);
}

TEST_CASE("a machine and a gauge are added by name, and taken out") {
  Hand hand(shop_file_keys(), profile("shops/saltmarsh-lane.yaml"));
  hand.add({"machines"}, "short form", "planing-form");
  const Path form = {"machines", "short form"};
  CHECK(hand.field(below(form, "kind"))->contains("data-was") == false);
  CHECK(hand.said_at(below(form, "screws")).find("lacks the key 'screws'") != std::string::npos);
  hand.type({"machines", "short form", "screws", "pitch"}, "125 mm");
  hand.type({"machines", "short form", "screws", "count"}, "7");
  hand.add({"gauges"}, "micrometer");
  hand.type({"gauges", "micrometer", "resolution"}, "0.01 mm");
  hand.type({"gauges", "micrometer", "max_error"}, "4 um");
  hand.take_out({"machines", "copier"});
  const auto shop = hand.shop();
  std::vector<std::string> names;
  for (auto const& machine : shop.machines) names.push_back(machine.name);
  CHECK(names == std::vector<std::string>{"steel form", "lifting bed", "router", "short form"});
  CHECK(std::get<PlaningForm>(shop.machines[3].kind).screws.size() == 7);
  REQUIRE(shop.gauges.size() == 2);
  CHECK(shop.gauges[1].resolution == Length::millimetres(0.01));
  CHECK(!hand.field({"machines", "copier", "base"}));
}

TEST_CASE("what has a name gets another, and keeps what is in it") {
  const auto bytes = profile("shops/saltmarsh-lane.yaml");
  Hand hand(shop_file_keys(), bytes);
  const Path bed = {"machines", "lifting bed"};
  REQUIRE(hand.field(bed));
  CHECK(hand.field(bed)->at("data-role") == "key");
  hand.rename(bed, "long bed");
  hand.type(below(bed, "cutter_radius"), "40 mm");
  CHECK(hand.shop().machines[1].name == "long bed");
  CHECK(std::get<ScrewMill>(hand.shop().machines[1].kind).cutter_radius == Length::millimetres(40));
  auto wanted = bytes;
  wanted.replace(wanted.find("lifting bed:"), 12, "long bed:");
  wanted.replace(wanted.find("cutter_radius: 1.5"), 18, "cutter_radius: 40 mm");
  CHECK(hand.now() == wanted);
  // Its mistakes are told where its fields are, which keep the name of the file.
  hand.type(below(bed, "strip_at"), "here");
  CHECK(hand.said_at(below(bed, "strip_at")).find("'here'") != std::string::npos);
  hand.rename(bed, "bed/2");
  CHECK(hand.said_at(bed).find("characters that a name cannot have") != std::string::npos);
}

TEST_CASE("items of a list keep their numbers while one is taken out and one added") {
  const auto bytes = profile("yarrow.yaml") +
                     "  - {at: 20, bore: 7/64 in}  # the second\n"
                     "  - {at: 70, bore: 15/64 in}\n";
  Hand hand(taper_file_keys(), bytes);
  REQUIRE(hand.taper().ferrules.size() == 3);
  hand.take_out({"ferrules", "0"});
  hand.add({"ferrules"}, "");
  CHECK(!hand.field({"ferrules", "0", "bore"}));
  REQUIRE(hand.field({"ferrules", "1", "bore"}));
  CHECK(hand.field({"ferrules", "1", "bore"})->at("value") == "7/64 in");
  CHECK(hand.field({"ferrules", "2", "bore"})->at("value") == "15/64 in");
  CHECK(hand.field({"ferrules", "+0", "at"})->contains("data-was") == false);
  CHECK(!hand.said_at({"ferrules", "+0", "at"}).empty());
  CHECK(hand.said_at({"ferrules", "+0", "bore"}).find("lacks the key 'bore'") != std::string::npos);
  hand.type({"ferrules", "1", "bore"}, "6/64 in");
  hand.type({"ferrules", "+0", "at"}, "30");
  hand.type({"ferrules", "+0", "bore"}, "3.5 mm");
  const auto taper = hand.taper();
  REQUIRE(taper.ferrules.size() == 3);
  CHECK(taper.ferrules[0].bore == in(6.0 / 64));
  CHECK(taper.ferrules[1].bore == in(15.0 / 64));
  CHECK(taper.ferrules[2].bore == Length::millimetres(3.5));
  CHECK(hand.now().find("# the second") != std::string::npos);
}

TEST_CASE("what a file says is text on the page, never markup") {
  const std::string nasty = "<script>alert(1)</script>\"'&";
  Hand hand(shop_file_keys(),
            "format: stripwright-shop-1\nunit: in\nname: '<script>alert(1)</script>\"''&'\n"
            "\"<b>\": '<i onclick=x>'\nmachines: {\"<img src=x>\": {kind: '<u>'}}\n");
  CHECK(hand.field({"name"})->at("value") == nasty);
  CHECK(hand.field({"name"})->at("data-was") == nasty);
  for (const auto mark : {"<script", "<b>", "<i ", "<img", "<u>"})
    CHECK(hand.html.find(mark) == std::string::npos);
  hand.type({"name"}, nasty + "\n" + nasty + nasty);  // now in several lines
  CHECK(hand.field({"name"})->at("tag") == "textarea");
  CHECK(hand.html.find("<script") == std::string::npos);
}

TEST_CASE("mistakes are told at the field they belong to") {
  Hand hand(shop_file_keys(), profile("shops/saltmarsh-lane.yaml"));
  CHECK(
      page::form_mistakes({shop_file_keys(), hand.file, hand.changes, hand.problems, {}}).empty());
  hand.type(kVarnish, "thick");
  CHECK(hand.said_at(kVarnish).find("'thick'") != std::string::npos);
  CHECK(hand.field(kVarnish)->at("aria-invalid") == "true");
  CHECK(hand.field(kVarnish)->at("aria-describedby").find("f.allowances.varnish-wrong") !=
        std::string::npos);
  check_told_to_script(hand, shop_file_keys(), kVarnish);
  const Path glue = {"allowances", "glue_line"};
  CHECK(hand.said_at(glue).empty());
  CHECK(hand.field(glue)->at("aria-invalid") == "false");
  // One of a list; out of its range; a word that is none.
  const Path range = {"machines", "lifting bed", "dial", "range"};
  hand.type(range, "0, 1 ell");
  CHECK(hand.said_at(range).find("ell") != std::string::npos);
  const Path count = {"machines", "lifting bed", "screws", "count"};
  hand.type(count, "1");
  CHECK(hand.said_at(count).find("out of its range") != std::string::npos);
  hand.type({"decide"}, "by eye");
  CHECK(hand.said_at({"decide"}).find("'by eye'") != std::string::npos);
  CHECK(hand.text_at("f.machines.lifting_20bed-wrong").empty());
}

TEST_CASE("a key that is missing is told at its field, one that is unknown where it can go") {
  Hand hand(shop_file_keys(),
            "format: stripwright-shop-1\nunit: in\ngauges:\n  caliper:\n"
            "    standard_uncertainty: 0.0003\n    colour: green\nmachines:\n  bed:\n"
            "    kind: screw-mill\n    cutter_radius: 1\n    screws:\n      first: 0\n");
  CHECK(hand.said_at({"gauges", "caliper", "resolution"}).find("lacks the key 'resolution'") !=
        std::string::npos);
  CHECK(hand.said_at({"gauges", "caliper", "standard_uncertainty"}).empty());
  CHECK(hand.said_at({"machines", "bed", "screws", "pitch"}).find("lacks the key 'pitch'") !=
        std::string::npos);
  CHECK(hand.said_at({"machines", "bed", "screws", "count"}).find("lacks the key 'count'") !=
        std::string::npos);
  CHECK(hand.said_at({"machines", "bed", "screws", "first"}).empty());
  const Path colour = {"gauges", "caliper", "colour"};
  CHECK(hand.said_at(colour).find("unknown key 'colour'") != std::string::npos);
  hand.take_out(colour);
  CHECK(hand.now().find("colour") == std::string::npos);
  CHECK(hand.said_at(colour) == "nothing of that id");
  // A unit that the file lacks is told at the unit, though the place is that of the first key.
  const Hand bare(shop_file_keys(), "format: stripwright-shop-1\n");
  CHECK(bare.said_at({"unit"}).find("lacks the key 'unit'") != std::string::npos);
  CHECK(bare.said_at({"format"}).empty());
}

TEST_CASE("what may be a length or a map is shown as the file has it") {
  const Hand one(shop_file_keys(), "format: stripwright-shop-1\nunit: in\n");
  CHECK(one.field({"tolerances", "strip"}));
  CHECK(!one.field({"tolerances", "strip", "over"}));
  Hand two(shop_file_keys(),
           "format: stripwright-shop-1\nunit: in\ntolerances:\n  strip: {over: 0.002, under: 0}\n"
           "machines:\n  bed: {kind: screw-mill, screws: [0, 5, 11], cutter_radius: 1}\n");
  CHECK(!two.field({"tolerances", "strip"}));
  two.type({"tolerances", "strip", "under"}, "0.001");
  CHECK(two.shop().tolerances.strip.under == in(0.001));
  const Path screws = {"machines", "bed", "screws"};
  REQUIRE(two.field(screws));
  CHECK(two.field(screws)->at("value") == "0, 5, 11");
  two.type(screws, "0, 5, 11, 16");
  CHECK(std::get<ScrewMill>(two.shop().machines[0].kind).screws.size() == 4);
}

TEST_CASE("a field that became a map of its own outside is not written over") {
  const std::string bytes =
      "format: stripwright-shop-1\nunit: in\ntolerances:\n  strip: {over: 0.002, under: 0}\n";
  const auto file = page::drafted_bytes(
      "lane.yaml", bytes, {{{"tolerances", "strip"}, std::nullopt, "0.001", std::nullopt, false}});
  CHECK(!file.draft);
  CHECK(file.draft.clashes.size() == 1);
}
