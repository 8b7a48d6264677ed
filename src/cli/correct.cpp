#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

#include "cli/check.h"
#include "cli/command_line.h"
#include "cli/correct_groove.h"
#include "cli/earlier_correction.h"
#include "cli/setup_output.h"
#include "machine/correction.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Stage;
using report::Json;

struct SectionFinding {
  std::string section;
  std::vector<inspection::StationDeviation> deviations;
  machine::SectionCorrection correction;  ///< what these readings add; no points if nothing

  bool corrects() const { return !correction.points.empty(); }
};

struct Finding {
  std::vector<SectionFinding> sections;
  /// True if a deviation stands alone, so that the machine's fault cannot be told from the strip's.
  bool one_strip_only = false;

  bool corrects() const {
    return std::any_of(sections.begin(), sections.end(),
                       [](auto const& each) { return each.corrects(); });
  }
};

Finding find(CheckBench const& bench, inspection::Readings const& readings) {
  Checker checker(bench, readings, false, false);
  for (auto const& piece : readings.pieces) checker.next(piece);
  Finding out;
  for (std::size_t s = 0; s < bench.targets.size(); ++s) {
    auto deviations = checker.totals().groups[s].stations();
    if (deviations.empty()) continue;
    auto const& name = bench.targets[s]->section().name;
    auto correction = machine::correction_of(name, deviations);
    out.one_strip_only |= std::any_of(deviations.begin(), deviations.end(), [](auto const& each) {
      return each.cause == inspection::Cause::unknown;
    });
    out.sections.push_back({name, std::move(deviations), std::move(correction)});
  }
  return out;
}

/// What is found, upon what was corrected before.
machine::Correction correction_from(Finding const& finding, Inputs const& inputs,
                                    Machine const& machine) {
  machine::Correction out{inputs.taper.name, machine.name, inputs.unit, {}};
  if (inputs.correction) out.sections = inputs.correction->sections;
  for (auto const& section : finding.sections) {
    if (!section.corrects()) continue;
    const auto before =
        std::find_if(out.sections.begin(), out.sections.end(),
                     [&](auto const& each) { return each.section == section.section; });
    if (before == out.sections.end())
      out.sections.push_back(section.correction);
    else
      *before = machine::sum(*before, section.correction);
  }
  return out;
}

report::Table finding_table(SectionFinding const& finding) {
  report::Table table{finding.section,
                      {{"section", ""},
                       {"at", "station", true},
                       {"strips", "strips"},
                       {"mean_deviation", "mean deviation", true},
                       {"standard_error", "standard error", true},
                       {"interval_low", "95~% from", true},
                       {"interval_high", "95~% to", true},
                       {"cause", "cause"},
                       {"add", "add when~setting", true}},
                      {}};
  for (auto const& each : finding.deviations)
    table.rows.push_back({finding.section, report::Place{each.at.from_zero()}, each.strips,
                          each.mean, each.standard_error, each.low, each.high,
                          std::string(inspection::word(each.cause)),
                          finding.correction.at(each.at)});
  return table;
}

std::string advice(Finding const& finding) {
  if (finding.corrects())
    return "Cut a trial strip with the corrected settings and measure it before good cane is cut.";
  if (finding.one_strip_only)
    return "One strip alone cannot tell the machine's fault from its own: nothing is corrected. "
           "Cut and measure two more.";
  return "No station is off by more than scatter explains: nothing is corrected.";
}

std::string correct_text(Finding const& finding, std::vector<std::string> const& kept,
                         SetupResult const& result) {
  std::string out =
      report::paragraph(fmt::format("{} on the {}: what the readings say of the machine",
                                    result.inputs.taper.name, result.machine.name),
                        "", "");
  for (auto const& section : finding.sections)
    out += fmt::format("\nSECTION {}\n{}", section.section,
                       report::to_text(finding_table(section), result.inputs.unit));
  out += report::paragraph(advice(finding), "", "");
  if (!finding.corrects()) return out;
  out += report::paragraph(fmt::format("`add` is strip height, already in the settings below and "
                                       "in {}; set up again with --correction {}/{}.",
                                       kCorrectionFile, result.folder, kCorrectionFile),
                           "", "");
  if (!kept.empty())
    out += report::paragraph(fmt::format("Of {} {} {} keeps what an earlier trial found.",
                                         kept.size() == 1 ? "section" : "sections",
                                         fmt::join(kept, ", "), kCorrectionFile),
                             "", "");
  return out + "\n" + setup_text(result);
}

std::string correct_csv(Finding const& finding, Unit unit) {
  report::Table all;
  for (auto const& section : finding.sections) {
    auto table = finding_table(section);
    if (all.columns.empty()) all.columns = table.columns;
    for (auto& row : table.rows) all.rows.push_back(std::move(row));
  }
  return report::to_csv(all, unit);
}

std::string correct_json(Finding const& finding, std::vector<std::string> const& kept,
                         SetupResult const& result) {
  Json out = {{"corrects", finding.corrects()}, {"advice", advice(finding)}};
  Json sections = Json::array();
  for (auto const& section : finding.sections)
    sections.push_back({{"section", section.section},
                        {"corrects", section.corrects()},
                        {"stations", report::to_json(finding_table(section), result.inputs.unit)}});
  out["sections"] = std::move(sections);
  out["kept"] = kept;
  if (finding.corrects()) out["setup"] = Json::parse(setup_json(result));
  return report::json_text(out);
}

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

/// The readings of the call and what they are held against.
struct Measured {
  std::optional<HeadedReadings> headed;
  std::optional<CheckBench> bench;
  std::optional<inspection::Readings> readings;
};

/// Readings that are better explained otherwise would set the machine wrong.
bool of_this_machine(HeadedReadings const& headed, CheckBench const& bench,
                     inspection::Readings const& readings, Problems& problems) {
  auto const& [source, columns] = headed;
  const auto errors_before = problems.errors();
  for (auto const& [question, of_call] : better_explanations(bench, readings, columns)) {
    const auto text = fmt::format("{}: {}", source.name(), question);
    // No call could say that the columns are as they are named, so that is no reason to stop.
    if (of_call)
      problems.error(text, "nothing is corrected");
    else
      problems.warn(text, "the correction is wrong if so");
  }
  Checker checker(bench, readings, false, true);
  for (auto const& piece : readings.pieces) {
    const auto checked = checker.next(piece);
    if (!checked.suspicion.empty())
      problems.error(
          fmt::format("{}: {} is off all along; {}", source.name(), piece.name, checked.suspicion),
          "nothing is corrected");
    warn_of_left_out(bench, source.name(), piece, checked, problems);
  }
  return problems.errors() == errors_before;
}

bool measure(CheckOptions const& options, Inputs& inputs, Measured& out, Problems& problems) {
  out.headed = read_header(options, problems);
  if (!out.headed) return false;
  auto const& [source, columns] = *out.headed;
  out.bench = prepare_check(inputs, options, columns.kind, problems);
  if (!out.bench) return false;
  if (out.bench->stage != Stage::milled && out.bench->stage != Stage::groove) {
    problems.error(fmt::format("readings of stage {} say nothing of the machine alone",
                               inspection::word(out.bench->stage)),
                   "take strips as milled, or the set groove");
    return false;
  }
  out.readings = inspection::read_readings(source, columns, out.bench->order(), problems);
  return out.readings && of_this_machine(*out.headed, *out.bench, *out.readings, problems);
}

/// The correction as its file says it, so that it sets the machine to the very same.
machine::Correction as_written(machine::Correction const& correction) {
  Problems unread;
  auto out = machine::read_correction(
      files::SourceText(kCorrectionFile, machine::correction_text(correction)), unread);
  check_internal(correction.sections.empty() || out, "a correction that cannot be read back");
  return out.value_or(correction);
}

ExitStatus run_correct(CheckOptions const& options, Streams streams) {
  Problems problems;
  auto inputs = read_inputs(options.common, problems);
  if (!inputs) return finish(problems, streams);
  auto const* machine = choose_machine(*inputs, options.common, problems);
  Measured measured;
  if (!machine || !measure(options, *inputs, measured, problems)) return finish(problems, streams);
  if (measured.bench->kind() == ReadingKind::groove) {
    const auto status =
        correct_groove(*measured.bench, *measured.readings, format_of(options.common), streams.out);
    return std::max(status, finish(problems, streams));
  }
  const auto finding = find(*measured.bench, *measured.readings);
  const auto folder =
      options.common.out.empty() ? corrected_folder(*inputs, *machine) : options.common.out;
  WithEarlier all{correction_from(finding, *inputs, *machine), {}, {}};
  if (finding.corrects())
    all = with_earlier(std::move(all.correction), folder, *inputs, options.common.force, problems);
  const auto correction = as_written(all.correction);
  if (problems.any_error()) return finish(problems, streams);

  const auto gauge = measured.bench->judge.gauge;
  machine::SetupOrder order{inputs->taper,    inputs->shop, *machine,  gauge,
                            inputs->sections, inputs->unit, correction};
  auto setups = machine::set_up(order, problems);
  if (problems.any_error()) return finish(problems, streams);
  // What is printed and written says what it was corrected by.
  const auto file = machine::correction_text(correction);
  if (finding.corrects()) {
    inputs->correction_source = files::SourceText(kCorrectionFile, file);
    inputs->correction = correction;
  }
  SetupResult result{*inputs, *machine, gauge, std::move(setups), folder, {}};
  if (finding.corrects()) {
    auto extra = setup_files(result);
    extra.push_back({kCorrectionFile, file, all.earlier_bytes});
    const auto status = write_setup(result, options.common, extra, problems);
    if (status != ExitStatus::all_well) {
      finish(problems, streams);
      return status;
    }
  }
  switch (format_of(options.common)) {
    case Format::text:
      streams.out << correct_text(finding, all.kept, result);
      break;
    case Format::csv:
      streams.out << correct_csv(finding, inputs->unit);
      break;
    case Format::json:
      streams.out << correct_json(finding, all.kept, result);
      break;
  }
  const auto status = finish(problems, streams);
  return finding.one_strip_only && !finding.corrects() ? std::max(status, ExitStatus::unmet)
                                                       : status;
}

}  // namespace

void add_correct(Command program, Run& run) {
  auto options = std::make_shared<CheckOptions>();
  options->strips_of_a_corrected_machine = true;
  auto command = program.add_subcommand(
      "correct", "trial strips' readings, or the set groove's, into corrected settings");
  command.manual(
      {{"stripwright correct yarrow tip.csv --shop saltmarsh-lane --machine copier --section tip"},
       {},
       "corrected, or nothing to correct",
       "it cannot be told or set"});
  add_taper_argument(command, options->common);
  command.add_option("READINGS", options->readings, "a file of readings, or - for standard input")
      .required();
  command.add_option("--stage", options->stage, "milled (strips, if left out) or groove")
      .one_of({"milled", "groove"});
  command
      .add_option("--readings-unit", options->readings_unit, "unit of the columns that name none")
      .one_of({"in", "mm"});
  command.add_option(
      "--pass", options->pass,
      "with --stage groove: the pass that the form is set for; the last if left out");
  add_correction_option(command, options->common);
  add_shop_options(command, options->common);
  add_machine_options(command, options->common);
  add_section_option(command, options->common);
  add_output_options(command, options->common);
  add_folder_options(command, options->common);
  command.on_given(run, [options](Streams streams) { return run_correct(*options, streams); });
}

}  // namespace stripwright::cli
