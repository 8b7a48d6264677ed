#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/choose.h"
#include "files/digest.h"
#include "files/present_files.h"
#include "report/json.h"

namespace stripwright::cli {
namespace {

using report::Json;

/// Without --shift-step strips stay where they are, unless their nodes are known.
std::optional<Length> choose_shift_step(ChooseOptions const& options, Inputs const& inputs,
                                        Problems& problems) {
  if (options.shift_step.empty() && options.nodes.empty()) return Length{};
  return shift_step(options.shift_step, inputs.taper.unit, ZeroStep::moves_none, problems);
}

std::string default_choose_folder(Inputs const& inputs) {
  return "output/" + std::filesystem::path(inputs.taper_source.name()).stem().string();
}

/// What setup.json holds of it: hashes of inputs and outputs, no date.
Json record(ChooseReport const& report, std::vector<files::OutputFile> const& files,
            files::SourceText const& readings) {
  const auto input = [](files::SourceText const& source) -> Json {
    return {{"file", std::filesystem::path(source.name()).filename().string()},
            {"sha256", files::sha256(source.text())}};
  };
  Json outputs = Json::object();
  for (auto const& file : files) outputs[file.name] = files::sha256(file.bytes);
  return {{"command", "choose"},
          {"inputs",
           {{"taper", input(report.inputs().taper_source)},
            {"shop", input(report.inputs().shop_source)},
            {"readings", input(readings)}}},
          {"outputs", std::move(outputs)}};
}

/// A ring of an earlier choice looks like one of this: it is told, not touched, for its rod may be
/// on the bench.
void tell_older_rings(ChooseReport const& report, std::vector<files::OutputFile> const& files,
                      Problems& problems) {
  // A ring's pictures go with its file, and need not be named as well.
  std::vector<std::string> older;
  for (auto const& of_one : names_of_other_choices(report, files)) {
    const auto present = files::present_in(report.folder, of_one);
    if (!present.empty()) older.push_back(present.front());
  }
  if (older.empty()) return;
  problems.warn(
      fmt::format("{} in {} {} of an earlier choice, not of this one", fmt::join(older, ", "),
                  report.folder, older.size() == 1 ? "is" : "are"),
      "delete what is of no use any more, with its pictures, or keep it elsewhere: its "
      "strips may be in a ring of this choice too");
}

}  // namespace

/// Whether each section has all its rings, proven, within the rules and the limits.
bool all_well(ChooseReport const& report) {
  return std::all_of(report.sections.begin(), report.sections.end(), [](auto const& section) {
    return section.rings.size() == section.wanted && section.found.proven &&
           section.found.value.shortfall == 0 &&
           std::all_of(section.rings.begin(), section.rings.end(),
                       [](auto const& ring) { return ring.within_limits; });
  });
}

std::unique_ptr<Choosing> choose(ChooseOptions options, Problems& problems) {
  auto out = std::make_unique<Choosing>();
  out->options = std::move(options);
  auto const& check = out->options.check;
  out->inputs = read_inputs(check.common, problems);
  out->readings = open_readings(check.readings, problems);
  if (!out->inputs || !out->readings) return nullptr;
  auto bench = prepare_check(*out->inputs, check, inspection::ReadingKind::strips, problems);
  const auto step = choose_shift_step(out->options, *out->inputs, problems);
  if (!bench || !step || problems.any_error()) return nullptr;
  out->bench.emplace(std::move(*bench));
  auto sections = choose_sections(*out->bench, out->options, *step, *out->readings, problems);
  if (!sections) return nullptr;
  if (sections->empty()) {
    problems.error("the readings have no strip of this rod's sections", "measure some first");
    return nullptr;
  }
  auto folder = check.common.out.empty() ? default_choose_folder(*out->inputs) : check.common.out;
  out->report.emplace(
      ChooseReport{*out->bench, out->options, *step, std::move(*sections), std::move(folder), {}});
  return out;
}

std::vector<files::OutputFile> files_of_choice(Choosing const& choosing) {
  auto files = choose_files(*choosing.report);
  if (!files.empty()) files.push_back(choose_sheet(*choosing.report, *choosing.readings));
  return files;
}

files::Written write_choice(Choosing& choosing, std::vector<files::OutputFile> const& files,
                            bool force, Problems& problems) {
  auto& report = *choosing.report;
  if (!files.empty()) {
    const auto written = files::write_set(
        report.folder, files, record(report, files, *choosing.readings), force, problems);
    if (written != files::Written::all) return written;
    report.file_names.clear();
    for (auto const& file : files) report.file_names.push_back(file.name);
  }
  tell_older_rings(report, files, problems);
  return files::Written::all;
}

}  // namespace stripwright::cli
