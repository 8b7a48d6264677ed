#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/options.h"
#include "cli/setup_output.h"
#include "files/output_set.h"
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
  streams.out << print(result, format_of(options));
  return finish(problems, streams);
}

}  // namespace

std::string default_folder(Inputs const& inputs, Machine const& machine) {
  return "output/" + std::filesystem::path(inputs.taper_source.name()).stem().string() + "/" +
         files::file_slug(machine.name);
}

ExitStatus write_setup(SetupResult& result, CommonOptions const& options,
                       std::vector<files::OutputFile> const& files, Problems& problems) {
  const auto record = setup_record(result, options, files);
  const auto written =
      status_of(files::write_set(result.folder, files, record, options.force, problems));
  if (written != ExitStatus::all_well) return written;
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
