#include <fmt/format.h>

#include <algorithm>

#include "files/map_reader.h"
#include "machine/correction.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

using files::KeySpec;
using files::MapReader;
using files::MapSpec;
using files::ValueKind;

/// No machine that is worth correcting is off by more than 2 mm.
constexpr files::Range kAdded{.lowest = -2, .highest = 2};
constexpr files::Range kAlongTheRod{.lowest = -1e5, .highest = 1e5};

constexpr KeySpec kPointKeys[] = {
    {.name = "at",
     .kind = ValueKind::length,
     .meaning = "the station, from the rod's tip end",
     .range = kAlongTheRod,
     .required = true},
    {.name = "add",
     .kind = ValueKind::length,
     .meaning = "what is added to the strip's height there when the machine is set",
     .range = kAdded,
     .required = true},
};
constexpr MapSpec kPoint{"a point of a correction", kPointKeys};

constexpr KeySpec kSectionKeys[] = {
    {.name = "points",
     .kind = ValueKind::map_list,
     .meaning = "stations and amounts; straight between them, level beyond",
     .required = true,
     .map = &kPoint},
};
constexpr MapSpec kSection{"the correction of a section", kSectionKeys};

constexpr KeySpec kFileKeys[] = {
    {.name = "format",
     .kind = ValueKind::format,
     .standard = "stripwright-correction-1",
     .meaning = "what the file is",
     .required = true},
    {.name = "taper",
     .kind = ValueKind::text,
     .meaning = "the name of the taper that the trial strips were cut for",
     .required = true},
    {.name = "machine",
     .kind = ValueKind::name,
     .meaning = "the machine that cut them",
     .required = true},
    {.name = "unit",
     .kind = ValueKind::unit,
     .meaning = "what a number without a unit means",
     .required = true},
    {.name = "sections",
     .kind = ValueKind::named_maps,
     .meaning = "the corrections, section by section",
     .required = true,
     .map = &kSection},
};
constexpr MapSpec kFile{"a correction file", kFileKeys};

std::vector<CorrectionPoint> read_points(MapReader const& section,
                                         files::ReadContext const& context) {
  std::vector<CorrectionPoint> points;
  for (auto const* item : section.list("points")) {
    const MapReader point(*item, kPoint, context);
    if (item->kind == files::YamlNode::Kind::map)
      points.push_back({Station(point.length("at")), point.length("add")});
  }
  std::stable_sort(points.begin(), points.end(),
                   [](auto const& a, auto const& b) { return a.at < b.at; });
  const auto twice =
      std::adjacent_find(points.begin(), points.end(),
                         [](auto const& a, auto const& b) { return same_place(a.at, b.at); });
  if (twice != points.end() && !context.problems.any_error())
    section.complain("points",
                     fmt::format("the station {} a second time",
                                 format_short(twice->at.from_zero(), context.unit)),
                     "keep one of the two");
  return points;
}

/// A text as YAML takes it in double quotes, whatever it holds.
std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c == '\n' ? ' ' : c;
  }
  return out + "\"";
}

}  // namespace

MapSpec const& correction_file_keys() { return kFile; }

std::optional<Correction> read_correction(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto opened = files::open_yaml(source, kFile, problems);
  if (!opened) return std::nullopt;
  const files::ReadContext context{source, problems, opened->unit, opened->unit_line};
  const MapReader file(opened->root, kFile, context, false);
  Correction out{file.text("taper"), file.text("machine"), opened->unit, {}};
  for (auto const& [name, body] : file.named("sections")) {
    const MapReader section(*body, kSection, context);
    if (body->kind == files::YamlNode::Kind::map)
      out.sections.push_back({name->text, read_points(section, context)});
  }
  if (problems.errors() > errors_before) return std::nullopt;
  return out;
}

std::string correction_text(Correction const& correction) {
  const Unit unit = correction.unit;
  std::string out =
      "# Written by stripwright correct. What is added to the strip's height when the\n# machine "
      "is set: stripwright setup ... --correction THIS_FILE\n";
  out += fmt::format(
      "format: stripwright-correction-1\ntaper: {}\nmachine: {}\nunit: {}\nsections:{}\n",
      quoted(correction.taper), quoted(correction.machine), unit_name(unit),
      correction.sections.empty() ? " {}" : "");
  for (auto const& section : correction.sections) {
    out += fmt::format("  {}:\n    points:{}\n", quoted(section.section),
                       section.points.empty() ? " []" : "");
    for (auto const& point : section.points)
      out += fmt::format("      - {{at: {}, add: {}}}\n",
                         format_short(in_unit(point.at.from_zero(), unit), file_decimals(unit)),
                         format_short(in_unit(point.add, unit), file_decimals(unit)));
  }
  return out;
}

}  // namespace stripwright::machine
