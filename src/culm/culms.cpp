#include "culm/culms.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "culm/culm_keys.h"
#include "files/map_reader.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::culm {
namespace {

using files::MapReader;
using files::YamlNode;

class CulmsReader {
 public:
  CulmsReader(files::SourceText const& source, files::OpenedFile const& file, Problems& problems)
      : context_{source, problems, file.unit, file.unit_line},
        file_(file.root, culm_file_keys(), context_, false) {}

  Culms read() {
    Culms out;
    out.unit = context_.unit;
    out.rules = rules();
    for (auto const& [name, body] : file_.named("culms"))
      if (body->kind == YamlNode::Kind::map) out.culms.push_back(culm(name->text, *body));
    for (auto const* item : file_.list("strips"))
      if (item->kind == YamlNode::Kind::map) out.strips.push_back(strip(*item));
    return out;
  }

 private:
  NodeHabits rules() {
    auto out = usual_node_habits();
    if (const auto map = file_.map("rules")) {
      out.min_gap = map->length("min_gap");
      out.keep_clear = map->length("keep_clear");
      for (const Length at : map->lengths("places")) out.places.emplace_back(at);
    }
    return out;
  }

  /// Places of nodes in increasing order; one that is there twice is told.
  std::vector<Length> nodes(MapReader const& map) {
    auto out = map.lengths("nodes");
    std::sort(out.begin(), out.end());
    for (std::size_t i = 1; i < out.size(); ++i)
      if (same_place(out[i - 1], out[i]))
        map.complain(
            "nodes",
            fmt::format("the node at {} a second time", format_short(out[i], context_.unit)),
            "name each node once");
    return out;
  }

  Culm culm(std::string const& name, YamlNode const& body) {
    const MapReader map(body, find_map("culms"), context_);
    Culm out;
    out.name = name;
    out.diameter = map.optional_length("diameter");
    out.wall = map.optional_length("wall");
    out.power_fibre = map.optional_length("power_fibre");
    out.length = map.optional_length("length");
    out.nodes = nodes(map);
    if (out.wall && out.diameter && 2 * *out.wall >= *out.diameter)
      map.complain("wall", "a wall that leaves no hollow in the culm",
                   "the wall is less than half of the diameter; are the two mixed up?");
    if (out.wall && out.power_fibre && *out.power_fibre > *out.wall)
      map.complain("power_fibre", "power fibre deeper than the wall", "measure both once more");
    if (out.length && !out.nodes.empty() && out.nodes.back() > *out.length + kSamePlace)
      map.complain("nodes", "a node beyond the culm's length",
                   "count from the thin end, along the culm");
    for (auto const* item : map.list("pieces"))
      if (item->kind == YamlNode::Kind::map) out.pieces.push_back(piece(*item));
    return out;
  }

  CulmPiece piece(YamlNode const& body) {
    const MapReader map(body, *files::find_key(find_map("culms"), "pieces").map, context_);
    CulmPiece out;
    out.section = map.line("section");
    out.starts_at = map.length("starts_at");
    if (auto const* list = map.find("strips")) {
      if (list->kind != YamlNode::Kind::sequence)
        map.complain("strips", fmt::format("'strips' has {}", files::shape(*list)),
                     "list their names: [s1, s2, ...]");
      for (auto const& item : list->items) add_strip(item, out.strips);
    }
    return out;
  }

  void add_strip(YamlNode const& item, std::vector<std::string>& strips) {
    if (item.refused) return;
    if (item.kind != YamlNode::Kind::scalar || item.text.empty() ||
        item.text.find('\n') != std::string::npos)
      context_.tell(item.offset, "no strip's name",
                    "write the name that the strip has in its readings");
    else if (!split_.insert(item.text).second)
      context_.tell(item.offset,
                    fmt::format("the strip {} a second time", quoted_for_message(item.text)),
                    "a strip comes from one piece of one culm; give each a name of its own");
    else
      strips.push_back(item.text);
  }

  StripNote strip(YamlNode const& body) {
    const MapReader map(body, find_map("strips"), context_);
    StripNote out;
    out.name = map.line("strip");
    if (map.has("strip") && !measured_.insert(out.name).second)
      map.complain("strip", fmt::format("the strip {} a second time", quoted_for_message(out.name)),
                   "keep one of the two");
    if (map.has("nodes")) out.nodes = nodes(map);
    out.density = map.optional_number("density");
    return out;
  }

  static files::MapSpec const& find_map(std::string_view key) {
    return *files::find_key(culm_file_keys(), key).map;
  }

  files::ReadContext context_;
  MapReader file_;
  std::set<std::string> split_;     // strips of culms
  std::set<std::string> measured_;  // strips with nodes of their own
};

}  // namespace

NodeHabits usual_node_habits() { return {Length::millimetres(25), Length::millimetres(25), {}}; }

std::optional<Culms> read_culms(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto file = files::open_yaml(source, culm_file_keys(), problems);
  if (!file) return std::nullopt;
  Culms culms = CulmsReader(source, *file, problems).read();
  if (problems.errors() > errors_before) return std::nullopt;
  return culms;
}

std::map<std::string, std::vector<Station>> nodes_of_strips(Culms const& culms,
                                                            RodSection const& section,
                                                            Spare const& spare) {
  std::map<std::string, std::vector<Station>> out;
  const Station tip_end = section.from - spare.tip_end;
  const Length strip_length = section.length() + spare.tip_end + spare.butt_end;
  for (auto const& culm : culms.culms) {
    if (culm.nodes.empty()) continue;
    for (auto const& piece : culm.pieces) {
      if (piece.section != section.name) continue;
      std::vector<Station> nodes;
      for (const Length at : culm.nodes)
        if (const Length along = at - piece.starts_at;
            along > -kSamePlace && along < strip_length + kSamePlace)
          nodes.push_back(tip_end + along);
      for (auto const& name : piece.strips) out[name] = nodes;
    }
  }
  for (auto const& strip : culms.strips) {
    if (!strip.nodes) continue;
    auto& nodes = out[strip.name];
    nodes.clear();
    for (const Length along : *strip.nodes) nodes.push_back(tip_end + along);
  }
  return out;
}

}  // namespace stripwright::culm
