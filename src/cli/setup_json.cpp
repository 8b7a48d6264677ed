#include "cli/setup_output.h"
#include "machine/cautions.h"
#include "machine/setup_tables.h"
#include "report/json.h"

namespace stripwright::cli {
namespace {

using report::Json;
using report::json_length;

Json miss_json(machine::Miss const& miss, Unit unit) {
  return {{"at", json_length(miss.at.from_zero(), unit)}, {"amount", json_length(miss.amount, unit)}};
}

Json bar_json(machine::BarReport const& bar, Unit unit) {
  Json spans = Json::array();
  for (auto const& span : bar.spans)
    spans.push_back({{"from", json_length(span.from.from_zero(), unit)}, {"to", json_length(span.to.from_zero(), unit)}, {"greatest", miss_json(span.greatest, unit)}});
  return {{"greatest", miss_json(bar.greatest, unit)}, {"spans", std::move(spans)}};
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
  out["rough"] = {{"height", json_length(setup.rough.height, unit)}, {"face_width", json_length(setup.rough.face_width, unit)}, {"split_width", json_length(setup.rough.split_width, unit)}};
  out["stations"] = report::to_json(machine::station_table(setup), unit);
  Json proven = Json::array();
  for (auto const& row : setup.stations)
    proven.push_back(row.proven ? Json{{"from", json_length(row.proven->low, unit)}, {"to", json_length(row.proven->high, unit)}} : Json(nullptr));
  out["proven"] = std::move(proven);
  out["settings"] = report::to_json(machine::cutter_table(setup), unit);
  Json misses = Json::array();
  for (std::size_t p = 0; p < machine::pass_count(setup.settings); ++p) misses.push_back(bar_json(machine::bar_of(setup.settings, p), unit));
  out["between_screws"] = std::move(misses);
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
