#include "cli/choose.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <ostream>

#include "cli/command_line.h"

namespace stripwright::cli {
namespace {

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
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

ExitStatus run_choose(ChooseOptions options, Streams streams) {
  Problems problems;
  std::unique_ptr<Choosing> choosing;
  {
    ProgressLine line;
    options.progress = line.function();
    choosing = choose(std::move(options), problems);
  }
  if (!choosing) return finish(problems, streams);
  auto const& common = choosing->options.check.common;
  const auto written =
      status_of(write_choice(*choosing, files_of_choice(*choosing), common.force, problems));
  if (written != ExitStatus::all_well) {
    finish(problems, streams);
    return written;
  }
  streams.out << printed(*choosing->report, format_of(common));
  return std::max(all_well(*choosing->report) ? ExitStatus::all_well : ExitStatus::unmet,
                  finish(problems, streams));
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
       {"READINGS is a table as for check: strip,at_in,a_in,b_in,c_in; a column density or mass is "
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
