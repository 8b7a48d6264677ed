#include "cli/run.h"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <ostream>

#include "cli/command.h"
#include "cli/version.h"

namespace stripwright::cli {
namespace {

constexpr char kPurpose[] =
    "From a split-cane rod's taper to the settings of the machine that cuts its strips:\n"
    "across flats at each station in, strip height, groove depth, gauge and dial out.";

/// CLI11 takes its arguments last first.
std::vector<std::string> reversed(std::vector<std::string> arguments) {
  std::reverse(arguments.begin(), arguments.end());
  return arguments;
}

ExitStatus parse_and_run(std::vector<std::string> const& arguments, Streams streams) {
  CLI::App program(kPurpose, "stripwright");
  program.set_version_flag("--version", std::string(kVersion));
  program.require_subcommand(1);
  Run run;
  add_setup(program, run);
  add_explain(program, run);
  add_taper(program, run);
  add_shop(program, run);
  try {
    program.parse(reversed(arguments));
  } catch (CLI::CallForHelp const&) {
    streams.out << program.help();
    return ExitStatus::all_well;
  } catch (CLI::CallForVersion const&) {
    streams.out << "stripwright " << kVersion << "\n";
    return ExitStatus::all_well;
  } catch (CLI::ParseError const& fault) {
    streams.err << fault.what() << "\n  stripwright --help, or stripwright COMMAND --help, tells how\n";
    return ExitStatus::wrong;
  }
  return run(streams);
}

}  // namespace

int run(std::vector<std::string> const& arguments, std::ostream& out, std::ostream& err) {
  auto status = ExitStatus::failed;
  try {
    status = parse_and_run(arguments, {out, err});
    out.flush();
    if (!out) {
      err << "the output could not be written\n";
      status = ExitStatus::failed;
    }
  } catch (std::bad_alloc const&) {
    err << "out of memory\n";
  } catch (std::exception const& fault) {
    err << "internal failure: " << fault.what() << "\n  nothing more was done; please report this with the files that led to it\n";
  }
  err.flush();
  return static_cast<int>(status);
}

}  // namespace stripwright::cli
