#include "shop/read_machine.h"

#include <fmt/format.h>

#include <algorithm>

#include "shop/read_passes.h"
#include "shop/shop_keys.h"
#include "units/parse.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::ReadContext;
using files::YamlNode;

/// Forms have a few dozen; the same limit as that of `count`.
constexpr std::size_t kMostScrews = 2000;
std::vector<MachinePosition> read_screw_list(MapReader const& machine) {
  std::vector<MachinePosition> screws;
  for (const Length at : machine.lengths("screws")) screws.emplace_back(at);
  if (!machine.has_items("screws", screws.size())) return screws;
  if (screws.size() < 2) machine.complain("screws", "fewer than two screws", "list at least two");
  if (screws.size() > kMostScrews)
    machine.complain("screws", fmt::format("more than {} screws", kMostScrews), "check the list");
  const auto wrong = std::adjacent_find(screws.begin(), screws.end(),
                                        [](auto a, auto b) { return b - a < kSamePlace; });
  if (wrong != screws.end())
    machine.complain("screws",
                     fmt::format("screw {} does not lie beyond screw {}",
                                 wrong - screws.begin() + 2, wrong - screws.begin() + 1),
                     "list the positions from the lowest to the highest, each once");
  return screws;
}

std::vector<MachinePosition> read_screws(MapReader const& machine) {
  auto const* node = machine.find("screws");
  if (!node) return {};
  if (node->kind == YamlNode::Kind::sequence) return read_screw_list(machine);
  std::vector<MachinePosition> screws;
  const auto row = machine.map("screws");
  if (!row) return screws;
  const Length first = row->length("first");
  const Length pitch = row->length("pitch");
  const long count = row->whole("count");
  // Counted, not accumulated: the last screw is where it says.
  for (long i = 0; i < count; ++i) screws.emplace_back(first + pitch * static_cast<double>(i));
  return screws;
}

Length read_cutter_radius(std::string const& name, MapReader const& machine) {
  const bool radius = machine.written("cutter_radius");
  const bool diameter = machine.written("cutter_diameter");
  if (radius && diameter)
    machine.complain("cutter_diameter",
                     fmt::format("machine '{}' has both cutter_radius and cutter_diameter", name),
                     "give one of the two");
  if (!radius && !diameter)
    machine.complain("cutter_radius", fmt::format("machine '{}' lacks the cutter's size", name),
                     "give cutter_radius or cutter_diameter");
  return radius ? machine.length("cutter_radius") : machine.length("cutter_diameter") / 2;
}

/// A lowest and a highest value, for a `Range` or a `Travel`.
template <class Pair>
std::optional<Pair> read_pair(MapReader const& map, std::string_view key) {
  const auto pair = map.lengths(key);
  if (!map.has_items(key, pair.size())) return std::nullopt;
  if (pair.size() == 2 && pair[0] < pair[1]) return Pair{pair[0], pair[1]};
  map.complain(key, fmt::format("'{}' is not a lowest and a highest value", key),
               "write two lengths, the lower first: [0, 1]");
  return std::nullopt;
}

DepthGauge read_depth_gauge(MapReader const& map) {
  DepthGauge gauge;
  const auto tip = map.choice("tip");
  gauge.tip = tip == "ball" ? GaugeTip::ball : tip == "flat" ? GaugeTip::flat : GaugeTip::sharp;
  const bool diameter = map.written("diameter");
  if (diameter) gauge.diameter = map.length("diameter");
  if (gauge.tip == GaugeTip::sharp && diameter)
    map.complain("diameter", "a sharp point has no diameter",
                 "write tip: flat or tip: ball, or leave the diameter out");
  if (gauge.tip != GaugeTip::sharp && !diameter)
    map.complain("tip", fmt::format("a gauge with a {} tip lacks its diameter", tip),
                 "add diameter: that of the flat or the ball");
  return gauge;
}

Fit read_fit(MapReader const& machine) {
  return machine.choice("fit") == "best" ? Fit::best : Fit::at_screws;
}

PlaningForm read_planing_form(MapReader const& machine) {
  PlaningForm form;
  form.screws = read_screws(machine);
  if (const auto closed = machine.map("closed_depth"))
    form.closed_depth = ClosedDepth{closed->length("thin_end"), closed->length("thick_end")};
  form.screw_lead = machine.optional_length("screw_lead");
  if (const auto gauge = machine.map("depth_gauge")) form.depth_gauge = read_depth_gauge(*gauge);
  form.fit = read_fit(machine);
  return form;
}

Dial read_dial(MapReader const& map) {
  Dial dial;
  dial.zero = map.length("zero");
  dial.sense = map.choice("counts") == "down" ? -1 : 1;
  dial.dial_per_offset = map.number("dial_per_offset");
  dial.division = map.optional_length("division");
  dial.screw_lead = map.optional_length("screw_lead");
  dial.range = read_pair<Dial::Range>(map, "range");
  return dial;
}

ScrewMill read_screw_mill(std::string const& name, MapReader const& machine) {
  ScrewMill mill;
  mill.screws = read_screws(machine);
  mill.bar = machine.choice("bar") == "straight" ? Bar::straight : Bar::spring;
  mill.cutter_radius = read_cutter_radius(name, machine);
  if (const auto dial = machine.map("dial")) mill.dial = read_dial(*dial);
  mill.fit = read_fit(machine);
  return mill;
}

PatternMill read_pattern_mill(std::string const& name, MapReader const& machine) {
  PatternMill mill;
  mill.cutter_radius = read_cutter_radius(name, machine);
  mill.follower_radius = machine.length("follower_radius");
  mill.pattern_per_cutter = machine.number("pattern_per_cutter");
  if (mill.pattern_per_cutter == 0)
    machine.complain("pattern_per_cutter", "a pattern that does not rise with the cutter",
                     "give a ratio other than 0");
  mill.base = machine.length("base");
  mill.outline_tolerance = machine.length("outline_tolerance");
  return mill;
}

CncLimits read_limits(MapReader const& map) {
  CncLimits limits;
  limits.x = read_pair<CncLimits::Travel>(map, "x");
  limits.z = read_pair<CncLimits::Travel>(map, "z");
  limits.feed_per_minute = map.optional_length("feed");
  limits.spindle_rpm = map.optional_number("spindle_rpm");
  return limits;
}

CncMill read_cnc_mill(std::string const& name, MapReader const& machine) {
  CncMill mill;
  mill.cutter_radius = read_cutter_radius(name, machine);
  mill.feed_per_minute = machine.length("feed");
  mill.spindle_rpm = machine.number("spindle_rpm");
  mill.clear_height = machine.length("clear_height");
  if (const auto limits = machine.map("limits")) mill.limits = read_limits(*limits);
  if (mill.limits.feed_per_minute && mill.feed_per_minute > *mill.limits.feed_per_minute)
    machine.complain("feed", "a feed above the machine's limit",
                     "lower the feed, or correct limits: feed");
  if (mill.limits.spindle_rpm && mill.spindle_rpm > *mill.limits.spindle_rpm)
    machine.complain("spindle_rpm", "a spindle speed above the machine's limit",
                     "lower it, or correct limits: spindle_rpm");
  return mill;
}

std::string known_kinds() {
  std::vector<std::string_view> words;
  for (auto const& kind : machine_kinds()) words.push_back(kind.word);
  return fmt::format("the kinds are {}", fmt::join(words, ", "));
}

/// The keys of the kind that a value of `kind` names; a problem if it names none.
files::KindSpec const* kind_called(std::string const& name, YamlNode const& value,
                                   ReadContext const& context) {
  std::vector<std::string_view> words;
  for (auto const& kind : machine_kinds()) {
    if (value.kind == YamlNode::Kind::scalar && value.text == kind.word) return &kind;
    words.push_back(kind.word);
  }
  if (value.refused) return nullptr;
  const auto what =
      value.kind == YamlNode::Kind::scalar
          ? fmt::format("machine '{}' has the unknown kind {}", name,
                        quoted_for_message(value.text))
          : fmt::format("machine '{}' has {} for its kind", name, files::shape(value));
  const auto near = nearest_word(value.text, words);
  context.tell(
      value.offset, what,
      near.empty() ? known_kinds() : fmt::format("{}; the nearest is '{}'", known_kinds(), near));
  return nullptr;
}

files::KindSpec const* find_kind(std::string const& name, YamlNode const& node,
                                 ReadContext const& context) {
  if (node.kind != YamlNode::Kind::map) {
    context.tell(
        node.offset,
        fmt::format("machine '{}' has {} where a map is expected", name, files::shape(node)),
        "write its keys below it, `kind` first; " + known_kinds());
    return nullptr;
  }
  for (auto const& [key, value] : node.entries)
    if (!key.refused && key.text == "kind") return kind_called(name, value, context);
  context.tell(node.offset, fmt::format("machine '{}' lacks the key 'kind'", name), known_kinds());
  return nullptr;
}

}  // namespace

std::string_view kind_word(Machine const& machine) {
  return machine_kinds()[machine.kind.index()].word;
}

bool serves(Machine const& machine, std::string_view section) {
  return machine.serves.empty() ||
         std::find(machine.serves.begin(), machine.serves.end(), section) != machine.serves.end();
}

std::optional<Machine> read_machine(std::string const& name, YamlNode const& node,
                                    RoughAllowance const& rough, ReadContext const& context) {
  if (node.refused) return std::nullopt;
  auto const* kind = find_kind(name, node, context);
  if (!kind) return std::nullopt;
  const MapReader reader(node, kind->map, context);
  Machine machine;
  machine.name = name;
  machine.strip_at = MachinePosition(reader.length("strip_at"));
  machine.feeds = reader.choice("feeds") == "butt-first" ? Feeds::butt_first : Feeds::tip_first;
  machine.serves = reader.names("for");
  if (machine.serves.empty() && reader.has_items("for", 0))
    reader.complain("for", fmt::format("machine '{}' serves no section", name),
                    "name the sections it serves, or leave the key out: it serves all then");
  machine.passes = read_passes(reader, rough);
  if (kind->word == "planing-form") machine.kind = read_planing_form(reader);
  if (kind->word == "screw-mill") machine.kind = read_screw_mill(name, reader);
  if (kind->word == "pattern-mill") machine.kind = read_pattern_mill(name, reader);
  if (kind->word == "cnc-mill") machine.kind = read_cnc_mill(name, reader);
  return machine;
}

}  // namespace stripwright
