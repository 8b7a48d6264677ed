#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/setup_output.h"
#include "cli/sheet_head.h"
#include "cli/version.h"
#include "files/digest.h"
#include "files/slug.h"
#include "machine/cautions.h"
#include "machine/cnc_program.h"
#include "machine/pattern_drawing.h"
#include "machine/setup_tables.h"
#include "report/json.h"
#include "report/table.h"
#include "sheet/setup_sheet.h"

namespace stripwright::cli {
namespace {

using report::Json;

Json input_record(files::SourceText const& source) {
  return {{"file", std::filesystem::path(source.name()).filename().string()},
          {"sha256", files::sha256(source.text())}};
}

/// The options that change a result; where it is written and how it is shown do not.
Json options_record(SetupResult const& result, CommonOptions const& options) {
  Json out = {{"machine", result.machine.name}, {"units", unit_name(result.inputs.unit)}};
  out["gauge"] = result.gauge ? Json(result.gauge->name) : Json(nullptr);
  Json sections = Json::array();
  for (auto const& setup : result.setups) sections.push_back(setup.section.name);
  out["sections"] = sections;
  if (!options.culm_diameter.empty()) out["culm_diameter"] = options.culm_diameter;
  if (!options.moisture.empty()) out["moisture"] = options.moisture;
  return out;
}

/// Patterns and programs, for the machines that have them.
void add_cutting_files(SetupResult const& result, machine::SectionSetup const& setup,
                       std::vector<files::OutputFile>& out) {
  auto const& taper = result.inputs.taper;
  auto const& shop = result.inputs.shop;
  auto const& correction = result.inputs.correction_source;
  const machine::SetupNames names{
      taper.name, taper.about, shop.name, result.machine.name,
      correction ? std::filesystem::path(correction->name()).filename().string() : ""};
  const auto section = files::file_slug(setup.section.name);
  if (auto const* mill = std::get_if<PatternMill>(&result.machine.kind)) {
    const auto drawing = machine::pattern_drawing(setup, *mill, names, result.inputs.unit);
    out.push_back({fmt::format("pattern-{}.svg", section), machine::to_svg(drawing)});
    out.push_back({fmt::format("pattern-{}.dxf", section), machine::to_dxf(drawing)});
  }
  if (auto const* mill = std::get_if<CncMill>(&result.machine.kind))
    if (std::get<machine::CncSettings>(setup.settings).can_run)
      out.push_back({fmt::format("{}.ngc", section),
                     machine::program_text(machine::cnc_program(
                         setup, *mill, names, machine::cautions(result.machine, shop.allowances),
                         result.inputs.unit))});
}

}  // namespace

std::vector<files::OutputFile> setup_files(SetupResult const& result) {
  const Unit unit = result.inputs.unit;
  std::vector<files::OutputFile> out;
  out.push_back({"stations.csv", report::to_csv(machine::station_table(result.setups), unit)});
  for (auto const& setup : result.setups) {
    out.push_back({fmt::format("cutter-{}.csv", files::file_slug(setup.section.name)),
                   report::to_csv(machine::cutter_table(setup), unit)});
    add_cutting_files(result, setup, out);
  }
  auto const& inputs = result.inputs;
  out.push_back(
      {"sheet.html", sheet::setup_sheet({inputs.taper, inputs.shop, result.machine, result.gauge,
                                         result.setups, sheet_head(inputs, result.machine.name)})});
  return out;
}

nlohmann::ordered_json setup_record(SetupResult const& result, CommonOptions const& options,
                                    std::vector<files::OutputFile> const& files) {
  Json record;
  record["format"] = "stripwright-setup-1";
  record["program"] = fmt::format("stripwright {}", kVersion);
  record["taper"] = input_record(result.inputs.taper_source);
  record["shop"] = input_record(result.inputs.shop_source);
  if (result.inputs.correction_source)
    record["correction"] = input_record(*result.inputs.correction_source);
  record["options"] = options_record(result, options);
  Json outputs = Json::object();
  for (auto const& file : files) outputs[file.name] = files::sha256(file.bytes);
  record["outputs"] = std::move(outputs);
  return record;
}

}  // namespace stripwright::cli
