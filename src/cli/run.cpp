#include "cli/run.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <ostream>

#include "cli/command_line.h"
#include "cli/revision.h"
#include "cli/version.h"
#include "report/paragraph.h"
#include "units/parse.h"

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

/// The first word that is no option and no command where a command is wanted, told with
/// the nearest one; CLI11 itself only says that one is missing.
std::string unknown_command(CLI::App const& program, std::vector<std::string> const& arguments) {
  CLI::App const* app = &program;
  for (auto const& word : arguments) {
    const auto commands = app->get_subcommands([](CLI::App const*) { return true; });
    if (commands.empty() || word.empty() || word.front() == '-') return {};
    std::vector<std::string> names;
    CLI::App const* next = nullptr;
    for (auto const* command : commands) {
      names.push_back(command->get_name());
      if (command->get_name() == word) next = command;
    }
    if (!next) {
      const auto near = nearest_word(word, {names.begin(), names.end()});
      return fmt::format("no command {}\n", quoted_for_message(word)) +
             report::paragraph(
                 fmt::format("there are {}{}", fmt::join(names, ", "),
                             near.empty() ? "" : fmt::format("; the nearest is '{}'", near)),
                 "  ", "  ");
    }
    app = next;
  }
  return {};
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
    if (const auto unknown = unknown_command(program, arguments); !unknown.empty()) {
      streams.err << unknown;
      return ExitStatus::wrong;
    }
    if (dynamic_cast<CLI::RequiredError const*>(&fault) && arguments.empty()) {
      streams.out << wrapped_help(program.help());
      streams.err << "no command given\n";
      return ExitStatus::wrong;
    }
    streams.err << fault.what()
                << "\n  stripwright --help, or stripwright COMMAND --help, tells how\n";
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
