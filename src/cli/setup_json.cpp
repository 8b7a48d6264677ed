#include "cli/setup_output.h"
#include "machine/cautions.h"
#include "machine/setup_tables.h"
#include "report/json.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Json;
using report::json_length;

Json miss_json(machine::Miss const& miss, Unit unit) {
  return {{"at", json_length(miss.at.from_zero(), unit)},
          {"amount", json_length(miss.amount, unit)}};
}

Json bar_json(machine::BarReport const& bar, Unit unit) {
  Json spans = Json::array();
  for (auto const& span : bar.spans)
    spans.push_back({{"from", json_length(span.from.from_zero(), unit)},
                     {"to", json_length(span.to.from_zero(), unit)},
                     {"greatest", miss_json(span.greatest, unit)}});
  return {{"greatest", miss_json(bar.greatest, unit)}, {"spans", std::move(spans)}};
}

Json rests_json(std::vector<machine::Rest> const& rests, Unit unit) {
  Json out = Json::array();
  for (auto const& rest : rests)
    out.push_back(
        {{"at", json_length(rest.at.from_zero(), unit)}, {"size", json_length(rest.size, unit)}});
  return out;
}

Json pattern_json(machine::PatternSettings const& pattern, Unit unit) {
  Json misses = Json::array();
  for (auto const& miss : pattern.unreached)
    misses.push_back({{"at", json_length(miss.at.from_zero(), unit)},
                      {"strip_too_thin_by", json_length(miss.at_cutter, unit)},
                      {"at_follower", json_length(miss.at_follower, unit)}});
  Json outline = Json::array();
  for (auto const& point : pattern.outline)
    outline.push_back({{"machine_at", json_length(point.x.from_zero(), unit)},
                       {"pattern", json_length(point.height, unit)}});
  return {{"cutter_leaves", rests_json(pattern.rests, unit)},
          {"follower_misses", std::move(misses)},
          {"run", json_length(pattern.run, unit)},
          {"outline", std::move(outline)}};
}

Json program_json(machine::CncSettings const& cnc, Unit unit) {
  constexpr int kMinuteDecimals = 3;
  return {{"written", cnc.can_run},
          {"cutter_leaves", rests_json(cnc.rests, unit)},
          {"travel_at_feed", json_length(cnc.travel.at_feed, unit)},
          {"minutes_at_feed", round_to_decimals(cnc.travel.minutes_at_feed, kMinuteDecimals)},
          {"travel_fast", json_length(cnc.travel.fast, unit)}};
}

Json section_json(machine::SectionSetup const& setup, Unit unit) {
  auto const& placement = setup.placement;
  Json out;
  out["section"] = setup.section.name;
  out["make"] = setup.section.make;
  out["strips"] = 6 * setup.section.make;
  out["strip_length"] = json_length(placement.strip_length(), unit);
  out["machine_from"] = json_length(placement.strip_begins().from_zero(), unit);
  out["machine_to"] = json_length(placement.strip_ends().from_zero(), unit);
  out["rough"] = {
      {"height", json_length(setup.rough.height, unit)},
      {"face_width", json_length(setup.rough.face_width, unit)},
      {"split_width", json_length(setup.rough.split_width, unit)},
      {"tapered_over",
       setup.rough.over_taper ? json_length(*setup.rough.over_taper, unit) : Json(nullptr)}};
  out["stations"] = report::to_json(machine::station_table(setup), unit);
  Json proven = Json::array();
  for (auto const& row : setup.stations)
    proven.push_back(row.proven ? Json{{"from", json_length(row.proven->low, unit)},
                                       {"to", json_length(row.proven->high, unit)}}
                                : Json(nullptr));
  out["proven"] = std::move(proven);
  out["settings"] = report::to_json(machine::cutter_table(setup), unit);
  if (setup.in_passes) out["passes"] = report::to_json(machine::pass_table(setup), unit);
  if (machine::bar_of(setup.settings, 0)) {
    Json misses = Json::array();
    for (std::size_t p = 0; p < machine::pass_count(setup.settings); ++p)
      misses.push_back(bar_json(*machine::bar_of(setup.settings, p), unit));
    out["between_screws"] = std::move(misses);
  }
  if (auto const* pattern = std::get_if<machine::PatternSettings>(&setup.settings))
    out["pattern"] = pattern_json(*pattern, unit);
  if (auto const* cnc = std::get_if<machine::CncSettings>(&setup.settings))
    out["program"] = program_json(*cnc, unit);
  return out;
}

}  // namespace

std::string setup_json(SetupResult const& result) {
  const Unit unit = result.inputs.unit;
  Json out;
  out["taper"] = result.inputs.taper.name;
  out["shop"] = result.inputs.shop.name;
  out["machine"] = result.machine.name;
  out["kind"] = kind_word(result.machine);
  out["gauge"] = result.gauge ? Json(result.gauge->name) : Json(nullptr);
  out["unit"] = unit_name(unit);
  out["assumed_zero"] = result.inputs.shop.allowances.assumed;
  Json sections = Json::array();
  for (auto const& setup : result.setups) sections.push_back(section_json(setup, unit));
  out["sections"] = std::move(sections);
  out["cautions"] = machine::cautions(result.machine, result.inputs.shop.allowances);
  out["folder"] = result.folder;
  out["files"] = result.file_names;
  return report::json_text(out);
}

std::string setup_csv(SetupResult const& result) {
  report::Table all;
  for (auto const& setup : result.setups) {
    auto table = machine::cutter_table(setup);
    if (all.columns.empty()) {
      all.columns = table.columns;
      all.columns.insert(all.columns.begin(), {"section", "section"});
    }
    for (auto& row : table.rows) {
      row.insert(row.begin(), setup.section.name);
      all.rows.push_back(std::move(row));
    }
  }
  return report::to_csv(all, result.inputs.unit);
}

}  // namespace stripwright::cli
