#include "cli/call_fault.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>

#include "diagnostics/problem.h"
#include "report/paragraph.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

std::string message(std::string const& what, std::string const& way_out) {
  return report::paragraph(what, "", "  ") +
         (way_out.empty() ? "" : report::paragraph(way_out, "  ", "  "));
}

std::string nearest(std::string const& word, std::vector<std::string> const& known) {
  const auto near = nearest_word(word, {known.begin(), known.end()});
  return near.empty() ? "" : fmt::format("; the nearest is '{}'", near);
}

std::vector<CLI::App const*> commands_of(CLI::App const& app) {
  return app.get_subcommands([](CLI::App const*) { return true; });
}

/// The command that the call names, as far down as it goes, with the words that name it.
struct Named {
  CLI::App const* command;
  std::string call = "stripwright";
};

Named named(CLI::App const& program, std::vector<std::string> const& arguments) {
  Named out{&program};
  for (auto const& word : arguments) {
    const auto commands = commands_of(*out.command);
    const auto found = std::find_if(commands.begin(), commands.end(), [&](auto const* command) {
      return command->get_name() == word;
    });
    if (found == commands.end()) break;
    out.command = *found;
    out.call += " " + word;
  }
  return out;
}

std::string help_tells(Named const& at) { return at.call + " --help tells how"; }

/// An option that the command does not have, with the nearest one.
std::string no_option(Named const& at, std::string const& option) {
  std::vector<std::string> names;
  for (auto const* each : at.command->get_options())
    if (!each->get_positional()) names.push_back(each->get_name());
  const auto name = option.substr(0, option.find('='));
  return message(
      fmt::format("{} has no option {}{}", at.call, quoted_for_message(name), nearest(name, names)),
      help_tells(at));
}

/// The first word that is no option and no command where a command is wanted.
std::string unknown_command(Named const& at, std::vector<std::string> const& arguments) {
  const auto commands = commands_of(*at.command);
  const auto depth = static_cast<std::size_t>(std::count(at.call.begin(), at.call.end(), ' '));
  if (commands.empty()) return {};
  std::vector<std::string> names;
  for (auto const* command : commands) names.push_back(command->get_name());
  if (arguments.size() <= depth)
    return message(fmt::format("{} takes a command", at.call),
                   fmt::format("there are {}", fmt::join(names, ", ")));
  auto const& word = arguments[depth];
  if (word.starts_with("-")) return no_option(at, word);
  return message(fmt::format("no command {}", quoted_for_message(word)),
                 fmt::format("there are {}{}", fmt::join(names, ", "), nearest(word, names)));
}

/// "TAPER READINGS": what a command takes beside its options.
std::string arguments_of(CLI::App const& command) {
  std::string out;
  for (auto const* option : command.get_options())
    if (option->get_positional())
      out += (out.empty() ? "" : " ") + option->get_name(true) +
             (option->get_items_expected_max() > 1 ? "..." : "");
  return out;
}

/// An option whose value and the word behind it look like one name that lacks its quotes:
/// `--machine planing form`. Where the word behind was taken for an argument, and another word is
/// too much, only an option that takes a name can be the reason.
std::string unquoted_name(Named const& at, std::vector<std::string> const& arguments,
                          std::string const& extra) {
  constexpr std::array kNames = {"--machine", "--gauge", "--section"};
  for (std::size_t i = 0; i + 2 < arguments.size(); ++i) {
    auto const& behind = arguments[i + 2];
    auto const* option =
        arguments[i].starts_with("--") ? at.command->get_option_no_throw(arguments[i]) : nullptr;
    if (!option || option->get_items_expected_max() == 0 || !words_taken(*option).empty() ||
        arguments[i + 1].starts_with("-") || behind.starts_with("-"))
      continue;
    if (behind == extra || std::find(kNames.begin(), kNames.end(), arguments[i]) != kNames.end())
      return fmt::format("a name with a blank goes in quotes: {} '{} {}'", arguments[i],
                         arguments[i + 1], behind);
  }
  return {};
}

std::string too_much(Named const& at, std::vector<std::string> const& arguments,
                     std::vector<std::string> const& extras) {
  const auto option = std::find_if(extras.begin(), extras.end(),
                                   [](auto const& word) { return word.starts_with("-"); });
  if (option == extras.end()) {
    const auto quotes = unquoted_name(at, arguments, extras.front());
    return message(
        fmt::format("{} is more than {} takes", quoted_for_message(extras.front()), at.call),
        quotes.empty() ? fmt::format("it takes {}", arguments_of(*at.command)) : quotes);
  }
  return no_option(at, *option);
}

CLI::Option const* option_named_in(CLI::App const& command, std::string const& text) {
  CLI::Option const* out = nullptr;
  std::size_t longest = 0;
  for (auto const* option : command.get_options()) {
    const auto name = option->get_positional() ? option->get_name(true) : option->get_name();
    if (text.starts_with(name) && name.size() > longest) {
      out = option;
      longest = name.size();
    }
  }
  return out;
}

/// The first word of the call that looks like an option and is none of the command's.
std::string const* mistyped_option(CLI::App const& command,
                                   std::vector<std::string> const& arguments) {
  for (auto const& word : arguments)
    if (word.starts_with("--") && word.size() > 2 &&
        !command.get_option_no_throw(word.substr(0, word.find('='))))
      return &word;
  return nullptr;
}

/// "in or mm" of an option that takes only these words; else what it is for.
std::string what_it_takes(CLI::Option const& option) {
  const auto words = words_taken(option);
  if (words.empty()) return option.get_description();
  if (words.size() == 1) return words.front();
  return fmt::format("{} or {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

}  // namespace

std::vector<std::string> words_taken(CLI::Option const& option) {
  // The library shows them as "TEXT:{in,mm}".
  const auto type = option.get_type_name();
  const auto begin = type.find('{');
  if (begin == std::string::npos) return {};
  return CLI::detail::split(type.substr(begin + 1, type.rfind('}') - begin - 1), ',');
}

std::string call_fault(CLI::App const& program, std::vector<std::string> const& arguments,
                       CLI::ParseError const& fault) {
  const auto at = named(program, arguments);
  if (auto unknown = unknown_command(at, arguments); !unknown.empty()) return unknown;
  if (dynamic_cast<CLI::ExtrasError const*>(&fault)) {
    const auto extras = program.remaining(true);
    if (!extras.empty()) return too_much(at, arguments, extras);
  }
  // A mistyped option is told before what lacks because of it.
  if (dynamic_cast<CLI::RequiredError const*>(&fault))
    if (const auto* word = mistyped_option(*at.command, arguments)) return no_option(at, *word);
  const std::string text = fault.what();
  auto const* option = option_named_in(*at.command, text);
  if (!option) return message(text, help_tells(at));
  const auto name = option->get_positional() ? option->get_name(true) : option->get_name();
  const auto takes = what_it_takes(*option);
  if (dynamic_cast<CLI::RequiredError const*>(&fault))
    return message(fmt::format("{} is missing: {}", name, takes), help_tells(at));
  if (dynamic_cast<CLI::ValidationError const*>(&fault))
    return message(fmt::format("{} takes {}", name, takes), help_tells(at));
  if (text.ends_with("missing"))
    return message(fmt::format("{} lacks its value: {}", name, takes), help_tells(at));
  if (text.find("At Most") != std::string::npos)
    return message(fmt::format("{} is given twice, and takes one value", name), help_tells(at));
  return message(text, help_tells(at));
}

}  // namespace stripwright::cli
