#include "cli/culm.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>

#include "cli/command_line.h"
#include "culm/culm_picture.h"
#include "files/digest.h"
#include "files/slug.h"
#include "report/json.h"
#include "selection/pictures.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Json;

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

selection::RingPicture picture_of(CulmReport const& report, CulmFinding const& culm,
                                  CulmSection const& section, culm::SectionLength const& length) {
  auto const& plan = length.plans.back();
  auto const& task = *length.task;
  selection::RingPicture out;
  out.title = fmt::format("{}, {} from culm {}: nodes, {}", report.inputs.taper.name,
                          section.need.section.name, culm.culm.name, plan.name);
  out.section = section.need.section;
  out.rules = task.rules;
  out.unit = report.inputs.unit;
  for (std::size_t i = 0; i < selection::kRingSize; ++i) {
    out.shifts[i] = plan.displaced[i];
    for (const auto node : selection::nodes_in_section(task.nodes, out.section, out.shifts[i]))
      out.nodes[i].emplace_back(selection::to_length(node));
    for (const auto node : selection::nodes_beyond_ends(task.nodes, out.section, task.spare,
                                                        out.shifts[i], task.rules))
      out.nodes_beyond[i].emplace_back(selection::to_length(node));
  }
  return out;
}

/// What setup.json holds of it: hashes of inputs and outputs, no date.
Json record(CulmReport const& report, std::vector<files::OutputFile> const& files) {
  const auto input = [](files::SourceText const& source) -> Json {
    return {{"file", std::filesystem::path(source.name()).filename().string()},
            {"sha256", files::sha256(source.text())}};
  };
  Json outputs = Json::object();
  for (auto const& file : files) outputs[file.name] = files::sha256(file.bytes);
  return {
      {"command", "culm"},
      {"inputs",
       {{"taper", input(report.inputs.taper_source)}, {"shop", input(report.inputs.shop_source)}}},
      {"outputs", std::move(outputs)}};
}

/// Whether there is a culm for each section of the rod, and its nodes can be placed in it.
bool all_well(CulmReport const& report) {
  for (std::size_t s = 0; s < report.inputs.sections.size(); ++s)
    if (std::none_of(report.culms.begin(), report.culms.end(), [s](auto const& each) {
          return each.sections[s].yield.sections() > 0 && each.sections[s].nodes_can_be_placed();
        }))
      return false;
  return true;
}

std::string printed(CulmReport const& report, Format format) {
  switch (format) {
    case Format::text:
      return culm_text(report);
    case Format::csv:
      return culm_csv(report);
    case Format::json:
      return culm_json(report);
  }
  return {};
}

ExitStatus run_culm(CulmOptions const& options, Streams streams) {
  Problems problems;
  const auto inputs = read_inputs(options.common, problems);
  if (!inputs) return finish(problems, streams);
  auto report = examine_culms(*inputs, options, problems);
  if (!report) return finish(problems, streams);
  report->folder = options.common.out.empty()
                       ? "output/" +
                             std::filesystem::path(inputs->taper_source.name()).stem().string() +
                             "/culms"
                       : options.common.out;
  const auto files = culm_files(*report);
  const auto written = status_of(files::write_set(report->folder, files, record(*report, files),
                                                  options.common.force, problems));
  if (written != ExitStatus::all_well) {
    finish(problems, streams);
    return written;
  }
  for (auto const& file : files) report->file_names.push_back(file.name);
  streams.out << printed(*report, format_of(options.common));
  return std::max(all_well(*report) ? ExitStatus::all_well : ExitStatus::unmet,
                  finish(problems, streams));
}

void add_culm_options(Command command, CulmOptions& options) {
  command.add_option("CULMS", options.culms, "a culm file, if it is not told by options");
  command.add_option("--diameter", options.diameter,
                     "outside diameter of the culm, the smallest over the length that is used");
  command.add_option("--wall", options.wall, "thickness of its wall, the least over that length");
  command.add_option("--power-fibre", options.power_fibre,
                     "depth of the dense cane under the enamel");
  command.add_option("--length", options.length, "usable length of the culm");
  command.add_option("--nodes", options.nodes,
                     "where its nodes are, from the thin end, with commas: 5,17.5,31");
  add_node_options(command, options.rules);
  command.add_option("--shift-step", options.shift_step,
                     "strips are moved by multiples of this to place nodes; 1/4 in or 5 mm if left "
                     "out");
}

}  // namespace

std::vector<files::OutputFile> culm_files(CulmReport const& report) {
  std::vector<files::OutputFile> out;
  for (auto const& each : report.culms)
    for (auto const& section : each.sections) {
      const auto name = fmt::format("{}-{}", files::file_slug(each.culm.name),
                                    files::file_slug(section.need.section.name));
      const auto worst = std::max_element(
          section.cane.begin(), section.cane.end(),
          [](auto const& a, auto const& b) { return a.strip_milled < b.strip_milled; });
      const culm::CulmPicture picture{
          fmt::format("{}: {} from culm {}", report.inputs.taper.name, section.need.section.name,
                      each.culm.name),
          report.inputs.unit,
          each.diameter,
          report.inputs.shop.allowances.enamel.thickness,
          each.culm.wall,
          each.culm.power_fibre,
          section.yield.splits.strips,
          worst->strip_milled - worst->crown,
          fmt::format(
              "split into {}; {} at station {} {}", section.yield.splits.strips,
              section.yield.culm_carries ? "hatched: the strip" : "too slender for the strip",
              format_short(in_unit(worst->at.from_zero(), report.inputs.unit), 2),
              unit_name(report.inputs.unit))};
      out.push_back({fmt::format("culm-{}.svg", name),
                     culm::draw_culm(picture).file(culm::kCulmPictureScale)});
      std::size_t pictures = 0;
      for (auto const& length : section.lengths) {
        if (length.plans.empty()) continue;
        const auto number = ++pictures > 1 ? fmt::format("-{}", pictures) : std::string();
        out.push_back({fmt::format("nodes-{}{}.svg", name, number),
                       selection::draw_unrolled(picture_of(report, each, section, length))
                           .file(selection::kPictureScale)});
      }
    }
  return out;
}

void add_culm(Command program, Run& run) {
  auto options = std::make_shared<CulmOptions>();
  auto command = program.add_subcommand(
      "culm", "what a culm yields, how to split it, and where its nodes will lie");
  command.manual({{"stripwright culm yarrow --diameter 2.1 --wall 0.3 --power-fibre 0.1",
                   "stripwright culm yarrow culms.yaml --shop saltmarsh-lane"},
                  {},
                  "every section has a culm that gives six strips and keeps the node rules",
                  "one has not"});
  add_taper_argument(command, options->common);
  add_culm_options(command, *options);
  command.add_option(
      "--shop", options->common.shop,
      "a shop file, or the name of one in profiles/shops; a built-in shop if left out");
  command.add_option("--moisture", options->common.moisture,
                     "moisture at milling of this batch, percent, instead of the shop's");
  add_section_option(command, options->common);
  add_output_options(command, options->common);
  command.add_option("--out", options->common.out,
                     "folder for the pictures; output/<taper>/culms if left out");
  command.add_flag("--force", options->common.force,
                   "replace files that were edited since they were written");
  command.on_given(run, [options](Streams streams) { return run_culm(*options, streams); });
}

}  // namespace stripwright::cli
