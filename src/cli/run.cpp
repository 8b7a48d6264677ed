#include "cli/run.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <ostream>

#include "cli/call_fault.h"
#include "cli/command_line.h"
#include "cli/revision.h"
#include "cli/version.h"
#include "report/paragraph.h"

namespace stripwright::cli {
namespace {

/// Help with no line over 80 columns: a description goes on below where it began.
std::string wrapped_help(std::string const& help) {
  constexpr std::size_t kDescriptions = 30;
  std::string out;
  std::string_view rest = help;
  while (!rest.empty()) {
    const auto end = std::min(rest.find('\n'), rest.size());
    const auto line = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    const bool described = line.size() > kDescriptions && line.starts_with("  ");
    const auto lead = described ? line.substr(0, kDescriptions) : std::string_view();
    const auto text = described ? line.substr(kDescriptions) : line;
    out += line.size() > 80
               ? report::paragraph(text, lead, std::string(described ? lead.size() : 2, ' '))
               : std::string(line) + "\n";
  }
  return out;
}

/// CLI11 takes its arguments last first.
std::vector<std::string> reversed(std::vector<std::string> arguments) {
  std::reverse(arguments.begin(), arguments.end());
  return arguments;
}

ExitStatus parse_and_run(std::vector<std::string> const& arguments, Streams streams) {
  Run run;
  CommandTree commands(run);
  auto& program = commands.program();
  try {
    program.parse(reversed(arguments));
  } catch (CLI::CallForHelp const&) {
    streams.out << wrapped_help(program.help());
    return ExitStatus::all_well;
  } catch (CLI::CallForVersion const&) {
    constexpr std::string_view revision = kRevision;
    streams.out << "stripwright " << kVersion;
    if (!revision.empty()) streams.out << " (revision " << revision << ")";
    streams.out << "\n";
    return ExitStatus::all_well;
  } catch (CLI::ParseError const& fault) {
    if (dynamic_cast<CLI::RequiredError const*>(&fault) && arguments.empty()) {
      streams.out << wrapped_help(program.help());
      streams.err << "no command given\n";
      return ExitStatus::wrong;
    }
    streams.err << call_fault(program, arguments, fault);
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
    err << "internal failure: " << fault.what()
        << "\n  nothing more was done; please report this with the files that led to it\n";
  }
  err.flush();
  return static_cast<int>(status);
}

}  // namespace stripwright::cli
