#include "cli/check.h"

#include <fmt/format.h>

#include <iostream>

#include "cli/check_ask.h"
#include "cli/check_sheet.h"
#include "cli/command_line.h"
#include "report/json.h"
#include "sheet/check_sheet.h"

namespace stripwright::cli {
namespace {

using report::Json;

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

/// The rows under a header that stands there already.
std::string rows_only(std::string const& csv) { return csv.substr(csv.find("\r\n") + 2); }

ExitStatus judge_file(CheckOptions const& options, Inputs& inputs, Problems& problems,
                      Streams streams) {
  const auto headed = read_header(options, problems);
  if (!headed) return finish(problems, streams);
  auto const& [source, columns] = *headed;
  const auto bench = prepare_check(inputs, options, columns.kind, problems);
  if (!bench) return finish(problems, streams);
  const auto readings = inspection::read_readings(source, columns, bench->order(), problems);
  if (!readings) return finish(problems, streams);
  for (auto const& [question, of_call] : better_explanations(*bench, *readings, columns))
    problems.warn(fmt::format("{}: {}", source.name(), question),
                  "what is said of the strips and of the machine is wrong if so");
  const auto status =
      print_and_write_check({*bench, options, *readings}, source, streams.out, problems);
  return std::max(status, finish(problems, streams));
}

ExitStatus run_check(CheckOptions const& options, Streams streams) {
  Problems problems;
  if (options.all && options.summary)
    problems.error("--all and --summary together", "choose one of them");
  if (options.ask && options.readings == "-")
    problems.error("--ask keeps the readings in a file, not in -",
                   "name a file: it is made, or added to");
  if (!options.ask && !(options.heights.empty() && options.strips.empty()))
    problems.error("--heights and --strips go with --ask", "add --ask, or leave them out");
  auto inputs = read_inputs(options.common, problems);
  if (!inputs || problems.any_error()) return finish(problems, streams);
  if (options.ask) return ask_readings(options, *inputs, problems, std::cin, streams);
  return judge_file(options, *inputs, problems, streams);
}

void add_check_options(Command command, CheckOptions& options) {
  std::vector<std::string> stages;
  for (const auto stage :
       {inspection::Stage::milled, inspection::Stage::groove, inspection::Stage::ready,
        inspection::Stage::glued, inspection::Stage::bare, inspection::Stage::varnished})
    stages.emplace_back(inspection::word(stage));
  command
      .add_option("--stage", options.stage,
                  "when it was measured: milled (strips, if left out), groove, ready, glued "
                  "(sections, if left out), bare, varnished")
      .one_of(stages);
  command.add_option("--readings-unit", options.readings_unit, "unit of the columns that name none")
      .one_of({"in", "mm"});
  command.add_option(
      "--moisture-now", options.moisture_now,
      "moisture when it was measured, percent: of strips ready to glue, if not as milled; of "
      "sections, if not as in service");
  command.add_option(
      "--pass", options.pass,
      "with --stage groove: the pass that the form is set for; the last if left out");
  command.add_flag("--angles", options.angles, "angles count for the exit status too");
  command.add_flag("--all", options.all, "show every reading, not only those that are not right");
  command.add_flag("--summary", options.summary,
                   "show only what all have in common, and the counts");
  command.add_flag("--ask", options.ask,
                   "type the readings in, one a line; each is kept in the file at once");
  command
      .add_option("--heights", options.heights,
                  "with --ask: which heights of each strip to ask for")
      .one_of({"a", "abc"});
  command.add_option("--strips", options.strips,
                     "with --ask: names with commas between, or how many there are");
}

}  // namespace

std::optional<HeadedReadings> read_header(CheckOptions const& options, Problems& problems) {
  auto source = open_readings(options.readings, problems);
  const auto unit = readings_unit(options, problems);
  if (!source || problems.any_error()) return std::nullopt;
  const auto columns = inspection::read_columns(*source, unit, problems);
  if (!columns) return std::nullopt;
  return HeadedReadings{std::move(*source), *columns};
}

std::optional<files::SourceText> open_readings(std::string const& given, Problems& problems) {
  if (given != "-") return files::read_source(given, problems);
  constexpr std::size_t kLargest = 64'000'000;
  std::string bytes;
  char buffer[65536];
  while (std::cin.read(buffer, sizeof buffer) || std::cin.gcount() > 0) {
    bytes.append(buffer, static_cast<std::size_t>(std::cin.gcount()));
    if (bytes.size() <= kLargest) continue;
    problems.error("standard input is over 64 MB", "check it in parts");
    return std::nullopt;
  }
  return files::SourceText("standard input", std::move(bytes));
}

CheckOutcome print_check(CheckReport const& report, Format format, std::ostream& out) {
  const bool whole = !report.options.summary && format != Format::csv;
  Checker checker(report.bench, report.readings, report.options.angles || format == Format::json,
                  whole);
  Json pieces = Json::array();
  if (format == Format::text) out << check_text_head(report.bench, report.readings.pieces.size());
  sheet::WorstPieces worst;
  bool first = true;
  for (auto const& piece : report.readings.pieces) {
    const auto checked = checker.next(piece);
    worst.add(checked.summary.verdict, farthest_off(checked.judged));
    if (format == Format::csv) {
      const auto csv = report::to_csv(readings_table(report.bench, checked.judged, false),
                                      report.bench.inputs->unit);
      out << (first ? csv : rows_only(csv));
    } else if (whole && format == Format::text) {
      out << check_text_piece(report, checked);
    } else if (whole) {
      pieces.push_back(check_json_piece(report.bench, checked));
    }
    first = false;
  }
  if (format == Format::text) out << check_text_tail(report, checker.totals());
  if (format == Format::json) out << check_json(report, std::move(pieces), checker.totals());
  const bool angles_right = !report.options.angles || checker.totals().angles.all_right();
  const bool all_right = checker.totals().readings.all_right() && angles_right;
  return {all_right ? ExitStatus::all_well : ExitStatus::unmet, checker.totals(), worst.chosen()};
}

void add_check(Command program, Run& run) {
  auto options = std::make_shared<CheckOptions>();
  auto command = program.add_subcommand(
      "check", "measured strips, sections or the set groove against their limits");
  command.manual({{"stripwright check yarrow tip.csv --shop saltmarsh-lane"},
                  {"READINGS is a table with commas (semicolons, tabs): "
                   "strip,at_in,a_in,b_in,c_in; piece,at_in,f1_in,f2_in,f3_in; or "
                   "machine_at_in,gauge_in. In place of at_in strips may have from_end_in."},
                  "all is right",
                  "something is not, or cannot be told"});
  add_taper_argument(command, options->common);
  command.add_option("READINGS", options->readings, "a file of readings, or - for standard input")
      .required();
  add_check_options(command, *options);
  add_correction_option(command, options->common);
  add_shop_options(command, options->common);
  add_machine_options(command, options->common);
  add_section_option(command, options->common);
  add_output_options(command, options->common);
  command.add_option("--out", options->common.out,
                     "folder for the sheet; output/<taper>/checked/<readings> if left out");
  command.add_flag("--force", options->common.force,
                   "replace a sheet that was edited since it was written");
  command.on_given(run, [options](Streams streams) { return run_check(*options, streams); });
}

}  // namespace stripwright::cli
