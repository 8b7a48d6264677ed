#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/options.h"
#include "cli/setup_output.h"
#include "cli/sheet_head.h"
#include "files/output_set.h"
#include "files/present_files.h"
#include "files/slug.h"
#include "report/json.h"

namespace stripwright::cli {
namespace {

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

std::string print(SetupResult const& result, Format format) {
  switch (format) {
    case Format::text:
      return setup_text(result);
    case Format::csv:
      return setup_csv(result);
    case Format::json:
      return setup_json(result);
  }
  return {};
}

/// A correction of this rod and machine that lies where `correct` puts it is not to be forgotten.
std::string unused_correction(Inputs const& inputs, Machine const& machine) {
  if (inputs.correction_source) return {};
  const auto folder = corrected_folder(inputs, machine);
  const auto file = folder + "/" + kCorrectionFile;
  const auto written = files::written_at(file);
  if (!written) return {};
  return fmt::format("A correction of {} lies in {} and is not used; with it: --correction '{}'",
                     date_of(*written), folder, file);
}

ExitStatus run_setup(CommonOptions const& options, Streams streams) {
  Problems problems;
  auto inputs = read_inputs(options, problems);
  if (!inputs) return finish(problems, streams);
  auto const* machine = choose_machine(*inputs, options, problems);
  const auto gauge = choose_gauge(inputs->shop, options, problems);
  if (!machine || problems.any_error()) return finish(problems, streams);
  auto setups = machine::set_up({inputs->taper, inputs->shop, *machine, gauge, inputs->sections,
                                 inputs->unit, inputs->correction},
                                problems);
  if (problems.any_error()) return finish(problems, streams);
  SetupResult result{*inputs,
                     *machine,
                     gauge,
                     std::move(setups),
                     options.out.empty() ? default_folder(*inputs, *machine) : options.out,
                     {}};
  const auto written = write_setup(result, options, setup_files(result), problems);
  if (written != ExitStatus::all_well) {
    finish(problems, streams);
    return written;
  }
  result.unused_correction = unused_correction(*inputs, *machine);
  streams.out << print(result, format_of(options));
  return finish(problems, streams);
}

/// Whether it is of one section's: a table, a pattern, a program.
bool of_one_section(std::string_view name) {
  return name.starts_with("cutter-") || name.starts_with("pattern-") || name.ends_with(".ngc");
}

/// What a section's files come from, of a record: without its list of files, the sections that it
/// was made for, and the gauge, which no setting depends on.
report::Json made_from(report::Json record) {
  for (auto const* list : {"outputs", "kept", "edited"}) record.erase(list);
  if (record.contains("options") && record["options"].is_object())
    for (auto const* option : {"sections", "gauge"}) record["options"].erase(option);
  return record;
}

/// Tells what became of the files of an earlier set-up from other files or options: they look as
/// if they went with this one's.
void tell_outdated(files::EarlierFiles const& earlier, Problems& problems) {
  const auto tell = [&](std::vector<std::string> const& names, std::string_view became,
                        std::string way_out) {
    if (names.empty()) return;
    problems.warn(fmt::format("{} went with an earlier set-up, from other files or options{}",
                              fmt::join(names, ", "), became),
                  std::move(way_out));
  };
  tell(earlier.removed, ": removed", "set the other sections up too, to have their files anew");
  tell(earlier.edited, ", but edited since: left as found",
       "do not set the machine by what is left; delete it, or keep it elsewhere");
}

}  // namespace

std::string corrected_folder(Inputs const& inputs, Machine const& machine) {
  return default_folder(inputs, machine) + "/corrected";
}

std::string default_folder(Inputs const& inputs, Machine const& machine) {
  return "output/" + std::filesystem::path(inputs.taper_source.name()).stem().string() + "/" +
         files::file_slug(machine.name);
}

ExitStatus write_setup(SetupResult& result, CommonOptions const& options,
                       std::vector<files::OutputFile> const& files, Problems& problems) {
  const auto record = setup_record(result, options, files);
  files::EarlierFiles earlier;
  const auto written = status_of(files::write_set(
      result.folder, files, record, options.force, problems,
      [&](std::string const& name, report::Json const& before) {
        return of_one_section(name) && made_from(before) != made_from(record);
      },
      &earlier));
  if (written != ExitStatus::all_well) return written;
  tell_outdated(earlier, problems);
  std::copy_if(earlier.kept.begin(), earlier.kept.end(), std::back_inserter(result.kept_names),
               of_one_section);
  for (auto const& file : files) result.file_names.push_back(file.name);
  result.file_names.emplace_back(files::kRecordName);
  return ExitStatus::all_well;
}

void add_setup(Command program, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto command = program.add_subcommand(
      "setup", "station table, cutter offsets and machine settings of each section");
  command.manual({{"stripwright setup yarrow --shop saltmarsh-lane --machine 'steel form'"},
                  {},
                  "all is well",
                  "something cannot be set"});
  add_taper_argument(command, *options);
  add_shop_options(command, *options);
  add_machine_options(command, *options);
  add_section_option(command, *options);
  add_output_options(command, *options);
  add_correction_option(command, *options);
  add_folder_options(command, *options);
  command.on_given(run, [options](Streams streams) { return run_setup(*options, streams); });
}

}  // namespace stripwright::cli
