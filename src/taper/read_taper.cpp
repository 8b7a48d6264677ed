#include "taper/read_taper.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "diagnostics/utf8.h"
#include "files/map_reader.h"
#include "taper/taper_checks.h"
#include "taper/taper_keys.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::ReadContext;
using files::YamlNode;
using WrittenPoint = Written<TaperPoint>;

std::optional<WrittenPoint> read_point(YamlNode const& key, YamlNode const& value,
                                       files::KeySpec const& spec, ReadContext const& context) {
  if (key.refused || value.refused) return std::nullopt;
  const auto at = files::read_length(key, context);
  if (value.kind != YamlNode::Kind::scalar) {
    context.tell(value.offset,
                 fmt::format("station {} has {} where its across flats is expected",
                             quoted_for_message(key.text), files::shape(value)),
                 "write `station: across flats`, one line for each station");
    return std::nullopt;
  }
  const auto flats = files::read_length(value, context);
  if (!at || !flats) return std::nullopt;
  if (files::in_range(spec.range, flats->in_millimetres()))
    return WrittenPoint{{Station(*at), *flats}, key.offset};
  context.tell_out_of_range(value, *flats, spec, "", " across flats",
                            "check the figure and the file's unit");
  return std::nullopt;
}

std::vector<WrittenPoint> read_points(YamlNode const& table, ReadContext const& context) {
  auto const& spec = files::find_key(taper_file_keys(), "taper");
  std::vector<WrittenPoint> points;
  if (table.kind != YamlNode::Kind::map) {
    context.tell(
        table.offset,
        fmt::format("'taper' has {} where a table of stations is expected", files::shape(table)),
        "write a line `station: across flats` for each station");
    return points;
  }
  points.reserve(table.entries.size());
  for (auto const& [key, value] : table.entries)
    if (const auto point = read_point(key, value, spec, context)) points.push_back(*point);
  if (table.entries.size() < 2)
    context.tell(table.offset, "a taper of fewer than two stations",
                 "give at least the tip end and the butt end");
  std::stable_sort(points.begin(), points.end(),
                   [](auto const& a, auto const& b) { return a.value.at < b.value.at; });
  return points;
}

/// Equal lengths are one station, however they are written.
void refuse_duplicates(std::vector<WrittenPoint> const& points, ReadContext const& context) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    auto const& first = points[i - 1];
    auto const& second = points[i];
    if (same_place(first.value.at, second.value.at))
      context.tell(second.offset,
                   fmt::format("the station {} a second time, first in line {}",
                               format_short(second.value.at.from_zero(), context.unit),
                               context.source.place(first.offset).line),
                   "keep one of the two lines");
  }
}

void read_stations(MapReader const& file, ReadContext const& context, Taper& taper) {
  auto const* table = file.find("taper");
  if (!table) return;
  const auto errors_before = context.problems.errors();
  const auto points = read_points(*table, context);
  refuse_duplicates(points, context);
  taper.points.reserve(points.size());
  for (auto const& point : points) taper.points.push_back(point.value);
  // What is odd about stations is only worth telling where all of them were read.
  if (context.problems.errors() == errors_before)
    warn_of_odd_stations(points, taper.between, context);
}

std::vector<Written<RodSection>> read_sections(MapReader const& file, ReadContext const& context) {
  const auto errors_before = context.problems.errors();
  const auto named = file.named("sections");
  if (named.empty() && context.problems.errors() == errors_before)
    file.complain("sections", "no section under 'sections'",
                  "name at least one, or leave the key out");
  std::vector<Written<RodSection>> sections;
  for (auto const& [name, body] : named) {
    const auto errors = context.problems.errors();
    const MapReader reader(*body, taper_section_keys(), context);
    if (body->kind != YamlNode::Kind::map) continue;
    const RodSection section{name->text, Station(reader.length("from")),
                             Station(reader.length("to")), reader.whole("make")};
    // A section with a mistake in it would only give rise to others.
    if (context.problems.errors() == errors && reader.has("from") && reader.has("to"))
      sections.push_back({section, name->offset});
  }
  std::stable_sort(sections.begin(), sections.end(),
                   [](auto const& a, auto const& b) { return a.value.from < b.value.from; });
  return sections;
}

std::vector<Written<Ferrule>> read_ferrules(MapReader const& file, ReadContext const& context) {
  std::vector<Written<Ferrule>> ferrules;
  for (auto const* item : file.list("ferrules")) {
    const auto errors = context.problems.errors();
    const MapReader reader(*item, taper_ferrule_keys(), context);
    if (item->kind != YamlNode::Kind::map) continue;
    const Ferrule ferrule{Station(reader.length("at")), reader.length("bore")};
    if (context.problems.errors() == errors && reader.has("at") && reader.has("bore"))
      ferrules.push_back({ferrule, reader.find("at")->offset});
  }
  return ferrules;
}

void read_parts(MapReader const& file, ReadContext const& context, Taper& taper) {
  const auto errors_before = context.problems.errors();
  read_stations(file, context, taper);
  const bool sound_stations = context.problems.errors() == errors_before;
  if (file.written("sections")) {
    const auto sections = read_sections(file, context);
    check_sections(sections, taper, context);
    for (auto const& section : sections) taper.sections.push_back(section.value);
  } else if (taper.points.size() >= 2) {
    taper.sections.push_back({"rod", taper.tip_end(), taper.butt_end(), 1});
  }
  const auto ferrules = read_ferrules(file, context);
  if (sound_stations && taper.points.size() >= 2) check_ferrules(ferrules, taper, context);
  for (auto const& ferrule : ferrules) taper.ferrules.push_back(ferrule.value);
}

}  // namespace

std::optional<Taper> read_taper(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto opened = files::open_yaml(source, taper_file_keys(), problems);
  if (!opened) return std::nullopt;
  const ReadContext context{source, problems, opened->unit, opened->unit_line};
  const MapReader file(opened->root, taper_file_keys(), context, false);
  Taper taper;
  taper.unit = opened->unit;
  taper.name = file.has("name") ? file.line("name")
                                : printable(std::filesystem::path(source.name()).stem().string());
  taper.about = file.text("about");
  taper.measured = file.choice("measured") == "bare" ? Measured::bare : Measured::varnished;
  taper.between = file.choice("between") == "linear" ? Between::linear : Between::smooth;
  read_parts(file, context, taper);
  if (problems.errors() > errors_before) return std::nullopt;
  return taper;
}

}  // namespace stripwright
