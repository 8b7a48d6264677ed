#include "shop/read_machine.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "shop/shop_keys.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::ReadContext;
using files::YamlNode;

std::vector<MachinePosition> read_screws(MapReader const& machine, ReadContext const& context) {
  std::vector<MachinePosition> screws;
  auto const* node = machine.find("screws");
  if (!node) return screws;
  if (node->kind == YamlNode::Kind::sequence) {
    for (const Length at : machine.lengths("screws")) screws.emplace_back(at);
    if (node->items.size() < 2) machine.complain("screws", "fewer than two screws", "list at least two");
    const bool increasing = std::adjacent_find(screws.begin(), screws.end(), [](auto a, auto b) {
                              return b - a < kSamePlace;
                            }) == screws.end();
    if (!increasing)
      machine.complain("screws", "the screws' positions do not increase", "list them from the lowest position to the highest, each once");
    return screws;
  }
  const auto row = machine.map("screws");
  if (!row) return screws;
  const Length first = row->length("first");
  const Length pitch = row->length("pitch");
  const long count = row->whole("count");
  // Counted, not accumulated: the last screw is where it says.
  for (long i = 0; i < count; ++i) screws.emplace_back(first + pitch * static_cast<double>(i));
  (void)context;
  return screws;
}

Length read_cutter_radius(MapReader const& machine) {
  const bool radius = machine.has("cutter_radius");
  const bool diameter = machine.has("cutter_diameter");
  if (radius == diameter)
    machine.complain(radius ? "cutter_diameter" : "kind",
                     radius ? "both cutter_radius and cutter_diameter" : "neither cutter_radius nor cutter_diameter",
                     "give exactly one of the two");
  return radius ? machine.length("cutter_radius") : machine.length("cutter_diameter") / 2;
}

PassesByCut read_passes_by_cut(MapReader const& passes, RoughAllowance const& rough) {
  PassesByCut out;
  out.rough_over = rough.over;
  for (const std::string_view key : {"max_cut", "last_cut"})
    if (!passes.has(key))
      passes.complain("max_cut", fmt::format("passes without '{}'", key), "give max_cut and last_cut, or a list `over: [..., 0]`");
  out.max_cut = passes.length("max_cut");
  out.last_cut = passes.length("last_cut");
  if (out.last_cut > out.max_cut && passes.has("max_cut") && passes.has("last_cut"))
    passes.complain("last_cut", "last_cut is more than max_cut", "the last pass takes no more than the others");
  const auto strip = passes.map("rough");
  if (!strip) return out;
  if (strip->has("height") == strip->has("over"))
    passes.complain("rough", "the rough strip needs 'height' or 'over'", "give exactly one of the two");
  if (strip->has("height"))
    out.rough_height = strip->length("height");
  else
    out.rough_over = strip->length("over");
  return out;
}

std::optional<Passes> read_passes(MapReader const& machine, RoughAllowance const& rough) {
  const auto passes = machine.map("passes");
  if (!passes) return std::nullopt;
  if (!passes->has("over")) return read_passes_by_cut(*passes, rough);
  for (const std::string_view key : {"rough", "max_cut", "last_cut"})
    if (passes->has(key))
      passes->complain(key, fmt::format("'{}' beside a list of stages", key), "give either `over: [..., 0]` or max_cut and last_cut");
  const PassesByStage stages{passes->lengths("over")};
  const bool falls = std::adjacent_find(stages.over.begin(), stages.over.end(), std::less_equal<>()) == stages.over.end();
  if (stages.over.empty() || stages.over.back() != Length{} || !falls)
    passes->complain("over", "stages that do not fall to 0", "list them from the first cut to the last, ending in 0");
  return stages;
}

std::optional<std::array<Length, 2>> read_pair(MapReader const& map, std::string_view key) {
  if (!map.has(key)) return std::nullopt;
  const auto pair = map.lengths(key);
  if (map.find(key)->items.size() != 2 || pair.size() != 2 || !(pair[0] < pair[1])) {
    map.complain(key, fmt::format("'{}' is not a lowest and a highest value", key), "write two lengths, the lower first: [0, 1]");
    return std::nullopt;
  }
  return std::array{pair[0], pair[1]};
}

PlaningForm read_planing_form(MapReader const& machine, ReadContext const& context) {
  PlaningForm form;
  form.screws = read_screws(machine, context);
  if (const auto closed = machine.map("closed_depth"))
    form.closed_depth = ClosedDepth{closed->length("thin_end"), closed->length("thick_end")};
  form.screw_lead = machine.optional_length("screw_lead");
  form.fit = machine.choice("fit") == "best" ? Fit::best : Fit::at_screws;
  if (const auto gauge = machine.map("depth_gauge")) {
    const auto tip = gauge->choice("tip");
    form.depth_gauge = DepthGauge{tip == "ball" ? GaugeTip::ball : tip == "flat" ? GaugeTip::flat : GaugeTip::sharp, {}};
    if (gauge->has("diameter")) form.depth_gauge->diameter = gauge->length("diameter");
    if (form.depth_gauge->tip == GaugeTip::sharp && gauge->has("diameter"))
      gauge->complain("diameter", "a sharp point has no diameter", "write tip: flat or tip: ball, or leave the diameter out");
    if (form.depth_gauge->tip != GaugeTip::sharp && !gauge->has("diameter"))
      gauge->complain("tip", fmt::format("a {} without its diameter", tip), "add diameter");
  }
  return form;
}

ScrewMill read_screw_mill(MapReader const& machine, ReadContext const& context) {
  ScrewMill mill;
  mill.screws = read_screws(machine, context);
  mill.bar = machine.choice("bar") == "straight" ? Bar::straight : Bar::spring;
  mill.cutter_radius = read_cutter_radius(machine);
  mill.fit = machine.choice("fit") == "best" ? Fit::best : Fit::at_screws;
  if (const auto dial = machine.map("dial")) {
    mill.dial.zero = dial->length("zero");
    mill.dial.sense = dial->choice("counts") == "down" ? -1 : 1;
    mill.dial.dial_per_offset = dial->number("dial_per_offset");
    mill.dial.division = dial->optional_length("division");
    mill.dial.screw_lead = dial->optional_length("screw_lead");
    if (const auto range = read_pair(*dial, "range")) mill.dial.range = Dial::Range{(*range)[0], (*range)[1]};
  }
  return mill;
}

PatternMill read_pattern_mill(MapReader const& machine) {
  PatternMill mill;
  mill.cutter_radius = read_cutter_radius(machine);
  mill.follower_radius = machine.length("follower_radius");
  mill.pattern_per_cutter = machine.number("pattern_per_cutter");
  if (mill.pattern_per_cutter == 0)
    machine.complain("pattern_per_cutter", "a pattern that does not rise with the cutter", "give a ratio other than 0");
  mill.base = machine.length("base");
  mill.outline_tolerance = machine.length("outline_tolerance");
  return mill;
}

CncMill read_cnc_mill(MapReader const& machine) {
  CncMill mill;
  mill.cutter_radius = read_cutter_radius(machine);
  mill.feed_per_minute = machine.length("feed");
  mill.spindle_rpm = machine.number("spindle_rpm");
  mill.clear_height = machine.length("clear_height");
  if (const auto limits = machine.map("limits")) {
    if (const auto x = read_pair(*limits, "x")) mill.limits.x = CncLimits::Travel{(*x)[0], (*x)[1]};
    if (const auto z = read_pair(*limits, "z")) mill.limits.z = CncLimits::Travel{(*z)[0], (*z)[1]};
    mill.limits.feed_per_minute = limits->optional_length("feed");
    mill.limits.spindle_rpm = limits->optional_number("spindle_rpm");
    if (mill.limits.feed_per_minute && mill.feed_per_minute > *mill.limits.feed_per_minute)
      machine.complain("feed", "a feed above the machine's limit", "lower the feed or correct limits: feed");
    if (mill.limits.spindle_rpm && mill.spindle_rpm > *mill.limits.spindle_rpm)
      machine.complain("spindle_rpm", "a spindle speed above the machine's limit", "lower it or correct limits: spindle_rpm");
  }
  return mill;
}

/// The keys of the kind that the map names; a problem if it names none.
files::KindSpec const* find_kind(std::string const& name, YamlNode const& node, ReadContext const& context) {
  std::vector<std::string_view> words;
  for (auto const& kind : machine_kinds()) words.push_back(kind.word);
  const auto known = fmt::format("the kinds are {}", fmt::join(words, ", "));
  for (auto const& [key, value] : node.entries) {
    if (key.text != "kind") continue;
    for (auto const& kind : machine_kinds())
      if (value.kind == YamlNode::Kind::scalar && value.text == kind.word) return &kind;
    const auto near = nearest_word(value.text, words);
    context.problems.add(context.source.problem(
        value.offset, fmt::format("machine '{}' has the unknown kind {}", name, quoted_for_message(value.text)),
        near.empty() ? known : fmt::format("{}; the nearest is '{}'", known, near)));
    return nullptr;
  }
  context.problems.add(context.source.problem(node.offset, fmt::format("machine '{}' without 'kind'", name), known));
  return nullptr;
}

}  // namespace

std::string_view kind_word(Machine const& machine) { return machine_kinds()[machine.kind.index()].word; }

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
  machine.passes = read_passes(reader, rough);
  if (kind->word == "planing-form") machine.kind = read_planing_form(reader, context);
  if (kind->word == "screw-mill") machine.kind = read_screw_mill(reader, context);
  if (kind->word == "pattern-mill") machine.kind = read_pattern_mill(reader);
  if (kind->word == "cnc-mill") machine.kind = read_cnc_mill(reader);
  return machine;
}

}  // namespace stripwright
