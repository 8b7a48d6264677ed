#include "cli/choose.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <ostream>

#include "cli/command_line.h"
#include "files/digest.h"
#include "files/present_files.h"
#include "report/json.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Json;

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

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

/// Whether each section has all its rings, proven, within the rules and the limits.
bool all_well(ChooseReport const& report) {
  return std::all_of(report.sections.begin(), report.sections.end(), [](auto const& section) {
    return section.rings.size() == section.wanted && section.found.proven &&
           section.found.value.shortfall == 0 &&
           std::all_of(section.rings.begin(), section.rings.end(),
                       [](auto const& ring) { return ring.within_limits; });
  });
}

std::string printed(ChooseReport const& report, Format format) {
  switch (format) {
    case Format::text:
      return choose_text(report);
    case Format::csv:
      return choose_csv(report);
    case Format::json:
      return choose_json(report);
  }
  return {};
}

/// A line on the terminal that is written over again and again; no file gets it.
class ProgressLine {
 public:
  ProgressLine() : terminal_(::isatty(STDERR_FILENO) == 1) {}
  ~ProgressLine() {
    if (told_) std::fputs("\r\033[K", stderr);
  }
  ProgressLine(ProgressLine const&) = delete;
  ProgressLine& operator=(ProgressLine const&) = delete;

  std::function<void(std::string_view, double)> function() {
    if (!terminal_) return {};
    return [this](std::string_view doing, double share) {
      told_ = true;
      std::fputs(
          fmt::format("\r\033[Klooking for the best: {}, {:.0f} %", doing, 100 * share).c_str(),
          stderr);
      std::fflush(stderr);
    };
  }

 private:
  bool terminal_;
  bool told_ = false;
};

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

ExitStatus write_and_print(ChooseReport& report, files::SourceText const& readings,
                           Problems& problems, Streams streams) {
  auto files = choose_files(report);
  if (!files.empty()) {
    files.push_back(choose_sheet(report, readings));
    const auto written =
        status_of(files::write_set(report.folder, files, record(report, files, readings),
                                   report.options.check.common.force, problems));
    if (written != ExitStatus::all_well) {
      finish(problems, streams);
      return written;
    }
    for (auto const& file : files) report.file_names.push_back(file.name);
  }
  tell_older_rings(report, files, problems);
  streams.out << printed(report, format_of(report.options.check.common));
  return std::max(all_well(report) ? ExitStatus::all_well : ExitStatus::unmet,
                  finish(problems, streams));
}

ExitStatus run_choose(ChooseOptions options, Streams streams) {
  Problems problems;
  auto inputs = read_inputs(options.check.common, problems);
  auto source = open_readings(options.check.readings, problems);
  if (!inputs || !source) return finish(problems, streams);
  const auto bench =
      prepare_check(*inputs, options.check, inspection::ReadingKind::strips, problems);
  const auto step = choose_shift_step(options, *inputs, problems);
  if (!bench || !step || problems.any_error()) return finish(problems, streams);
  std::optional<std::vector<ChosenSection>> sections;
  {
    ProgressLine line;
    options.progress = line.function();
    sections = choose_sections(*bench, options, *step, *source, problems);
  }
  if (!sections) return finish(problems, streams);
  if (sections->empty()) {
    problems.error("the readings have no strip of this rod's sections", "measure some first");
    return finish(problems, streams);
  }
  auto const& out = options.check.common.out;
  ChooseReport report{*bench,
                      options,
                      *step,
                      std::move(*sections),
                      out.empty() ? default_choose_folder(*inputs) : out,
                      {}};
  return write_and_print(report, *source, problems, streams);
}

void add_choose_options(Command command, ChooseOptions& options) {
  command
      .add_option("--stage", options.check.stage,
                  "when the strips were measured: milled (if left out) or ready")
      .one_of({"milled", "ready"});
  command
      .add_option("--readings-unit", options.check.readings_unit,
                  "unit of the columns that name none")
      .one_of({"in", "mm"});
  command.add_option(
      "--moisture-now", options.check.moisture_now,
      "moisture of the strips when measured, percent, if not as milled; with --stage ready");
  command.add_option("--nodes", options.nodes,
                     "a culm file: where the nodes of culms and strips are");
  add_node_options(command, options.rules);
  command.add_option("--shift-step", options.shift_step,
                     "strips may be moved within their spare by multiples of this; if left out "
                     "1/4 in or 5 mm with --nodes, else not at all; 0 moves none");
  command.add_option("--rings", options.rings,
                     "how many of each section; if left out as many as the taper makes");
  command.add_flag(
      "--all", options.all,
      "strips that are not right may be chosen too, and moved farther than they stay right");
  command.add_option("--time", options.time,
                     "seconds after which the best found so far is taken, unproven");
}

}  // namespace

void add_choose(Command program, Run& run) {
  auto options = std::make_shared<ChooseOptions>();
  auto command = program.add_subcommand(
      "choose", "which six of the measured strips, in which order, moved how far");
  command.manual(
      {{"stripwright choose yarrow tip.csv --shop saltmarsh-lane --section tip --nodes culms.yaml"},
       {"READINGS is a table with commas: strip,at_in,a_in,b_in,c_in; a column density or mass is "
        "balanced between opposite strips.",
        "Writes a ring file for each section, which `learn` reads, and pictures of it."},
       "all rings are proven best, keep the node rules and are within limits",
       "some are not"});
  add_taper_argument(command, options->check.common);
  command
      .add_option("READINGS", options->check.readings,
                  "readings of strips, or - for standard input")
      .required();
  add_choose_options(command, *options);
  add_shop_options(command, options->check.common);
  command.add_option("--gauge", options->check.common.gauge,
                     "which gauge, if the shop has several");
  add_section_option(command, options->check.common);
  add_output_options(command, options->check.common);
  command.add_option("--out", options->check.common.out,
                     "folder for the files; output/<taper> if left out");
  command.add_flag("--force", options->check.common.force,
                   "replace files that were edited since they were written");
  command.on_given(run, [options](Streams streams) { return run_choose(*options, streams); });
}

}  // namespace stripwright::cli
