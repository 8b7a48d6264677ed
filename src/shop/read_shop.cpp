#include "shop/read_shop.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <set>

#include "diagnostics/utf8.h"
#include "files/map_reader.h"
#include "files/slug.h"
#include "shop/read_machine.h"
#include "shop/shop_keys.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::ReadContext;

std::optional<Moisture> read_moisture(MapReader const& allowances) {
  const auto map = allowances.map("moisture");
  if (!map) return std::nullopt;
  return Moisture{map->number("per_percent"), map->number("at_milling"), map->number("in_service")};
}

Enamel read_enamel(MapReader const& map, std::vector<std::string>& assumed) {
  Enamel enamel;
  if (!map.written("thickness")) assumed.emplace_back("enamel");
  enamel.thickness = map.length("thickness");
  const auto off = map.choice("off");
  enamel.off = off == "before-milling" ? EnamelOff::before_milling
               : off == "after-gluing" ? EnamelOff::after_gluing
                                       : EnamelOff::before_gluing;
  enamel.culm_diameter = map.optional_length("culm_diameter");
  if (map.has("face")) enamel.face = map.choice("face") == "round" ? Face::round : Face::flat;
  if (enamel.face == Face::round && !map.written("culm_diameter"))
    map.complain("face", "a round face without a culm diameter",
                 "add culm_diameter, or write face: flat");
  return enamel;
}

Allowances read_allowances(MapReader const& shop) {
  Allowances out;
  const auto map = shop.map("allowances");
  if (!map) {
    out.assumed = {"varnish", "cleanup", "glue line", "enamel", "apex relief"};
    return out;
  }
  const auto layer = [&](std::string_view key, std::string_view name) {
    if (!map->written(key)) out.assumed.emplace_back(name);
    return map->length(key);
  };
  out.varnish = layer("varnish", "varnish");
  out.cleanup = layer("cleanup", "cleanup");
  out.glue_line = layer("glue_line", "glue line");
  if (const auto enamel = map->map("enamel"))
    out.enamel = read_enamel(*enamel, out.assumed);
  else
    out.assumed.emplace_back("enamel");
  out.apex_relief = layer("apex_relief", "apex relief");
  out.moisture = read_moisture(*map);
  return out;
}

Tolerance read_tolerance(MapReader const& tolerances, std::string_view key) {
  auto const* node = tolerances.find(key);
  if (node && node->kind == files::YamlNode::Kind::map) {
    const auto map = tolerances.map(key);
    return {map->length("over"), map->length("under")};
  }
  const Length either_way = tolerances.length(key);
  return {either_way, either_way};
}

Tolerances read_tolerances(MapReader const& map) {
  return {read_tolerance(map, "strip"), read_tolerance(map, "flats"),
          Angle::degrees(map.number("angle"))};
}

Gauge read_gauge(std::string const& name, files::YamlNode const& node, ReadContext const& context) {
  const MapReader map(node, gauge_keys(), context);
  if (node.kind != files::YamlNode::Kind::map) return {};
  const bool direct = map.written("standard_uncertainty");
  const bool greatest = map.written("max_error");
  if (direct && greatest)
    map.complain("max_error",
                 fmt::format("gauge '{}' has both standard_uncertainty and max_error", name),
                 "give one of the two");
  if (!direct && !greatest)
    map.complain("max_error", fmt::format("gauge '{}' lacks its uncertainty", name),
                 "give standard_uncertainty or max_error");
  // A rectangular distribution of half-width a has the standard uncertainty a/√3
  // (JCGM 100:2008, 4.3.7; from memory).
  const Length uncertainty =
      direct ? map.length("standard_uncertainty") : map.length("max_error") / std::sqrt(3.0);
  return {name, map.length("resolution"), uncertainty};
}

/// What stands for a map that is not written, so that standard values are read from the
/// key table.
files::YamlNode empty_map() {
  files::YamlNode node;
  node.kind = files::YamlNode::Kind::map;
  return node;
}

MapReader map_or_standards(MapReader const& shop, std::string_view key,
                           files::YamlNode const& empty, ReadContext const& context) {
  if (auto map = shop.map(key)) return *map;
  return {empty, *files::find_key(shop_file_keys(), key).map, context, false};
}

void read_machines(MapReader const& file, ReadContext const& context, Shop& shop) {
  std::set<std::string> folders;
  for (auto const& [name, node] : file.named("machines")) {
    if (!folders.insert(files::file_slug(name->text)).second)
      context.tell(name->offset,
                   fmt::format("machine '{}' has the name of another but for capitals, blanks or "
                               "hyphens",
                               name->text),
                   "their files would fall into one folder; rename one");
    if (auto machine = read_machine(name->text, *node, shop.rough, context))
      shop.machines.push_back(std::move(*machine));
  }
}

}  // namespace

Face face_at_milling(Enamel const& enamel) {
  return enamel.face.value_or(enamel.culm_diameter ? Face::round : Face::flat);
}

std::optional<Shop> read_shop(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto opened = files::open_yaml(source, shop_file_keys(), problems);
  if (!opened) return std::nullopt;
  const ReadContext context{source, problems, opened->unit, opened->unit_line};
  const MapReader file(opened->root, shop_file_keys(), context, false);
  const auto empty = empty_map();
  Shop shop;
  shop.unit = opened->unit;
  shop.name = file.has("name") ? file.line("name")
                               : printable(std::filesystem::path(source.name()).stem().string());
  shop.allowances = read_allowances(file);
  const auto spare = map_or_standards(file, "spare", empty, context);
  shop.spare = {spare.length("tip_end"), spare.length("butt_end")};
  const auto rough = map_or_standards(file, "rough", empty, context);
  shop.rough = {rough.length("over"), rough.length("split")};
  shop.tolerances = read_tolerances(map_or_standards(file, "tolerances", empty, context));
  for (auto const& [name, node] : file.named("gauges"))
    shop.gauges.push_back(read_gauge(name->text, *node, context));
  shop.decide = file.choice("decide") == "plain" ? Decide::plain : Decide::guarded;
  read_machines(file, context, shop);
  if (problems.errors() > errors_before) return std::nullopt;
  return shop;
}

}  // namespace stripwright
