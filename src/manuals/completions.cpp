#include "manuals/completions.h"

#include <fmt/format.h>

#include <algorithm>

namespace stripwright::manuals {
namespace {

/// All commands that have no commands below them, by the words behind "stripwright".
void collect(CallCommand const& command, std::vector<CallCommand const*>& out) {
  out.push_back(&command);
  for (auto const& each : command.commands) collect(each, out);
}

std::vector<CallCommand const*> all_commands(CallCommand const& program) {
  std::vector<CallCommand const*> out;
  collect(program, out);
  return out;
}

/// "taper derive"; empty for the program itself.
std::string words_behind(CallCommand const& command) {
  const auto blank = command.path.find(' ');
  return blank == std::string::npos ? "" : command.path.substr(blank + 1);
}

std::vector<std::string> names_of_commands(CallCommand const& command) {
  std::vector<std::string> out;
  for (auto const& each : command.commands) out.push_back(each.name);
  return out;
}

std::vector<std::string> names_of_options(CallCommand const& command) {
  std::vector<std::string> out;
  for (auto const& part : command.parts)
    if (!part.argument) out.push_back(part.name);
  return out;
}

ValueKind kind_of_arguments(CallCommand const& command) {
  // A taper and readings, or a culm file, are both files in the end.
  for (auto const& part : command.parts)
    if (part.argument && (part.kind == ValueKind::taper || part.kind == ValueKind::shop))
      return part.kind;
  return ValueKind::file;
}

/// How bash and zsh, which share these functions, offer a value.
std::string offer(ValueKind kind, std::vector<std::string> const& words) {
  switch (kind) {
    case ValueKind::words:
      return fmt::format("_stripwright_words '{}'", fmt::join(words, " "));
    case ValueKind::taper:
      return "_stripwright_names taper";
    case ValueKind::shop:
      return "_stripwright_names shop";
    case ValueKind::file:
      return "_stripwright_files";
    default:
      return ":";
  }
}

/// For each command what its options and arguments take, as the arms of a `case` on
/// "command:previous word".
std::string arms(CallCommand const& program) {
  std::string out;
  for (auto const* command : all_commands(program)) {
    for (auto const& part : command->parts)
      if (!part.argument && part.kind != ValueKind::none)
        out += fmt::format("    '{}:{}') {} ;;\n", words_behind(*command), part.name,
                           offer(part.kind, part.words));
    const auto words =
        command->commands.empty() ? names_of_options(*command) : names_of_commands(*command);
    out += command->commands.empty()
               ? fmt::format(
                     "    '{}:'*)\n      case $current in\n        -*) _stripwright_words '{}' ;;\n"
                     "        *) {} ;;\n      esac ;;\n",
                     words_behind(*command), fmt::join(words, " "),
                     offer(kind_of_arguments(*command), {}))
               : fmt::format("    '{}:'*) _stripwright_words '{}' ;;\n", words_behind(*command),
                             fmt::join(words, " "));
  }
  return out;
}

/// Groups of commands, as a pattern: "taper|shop".
std::string groups(CallCommand const& program) {
  std::vector<std::string> out;
  for (auto const& command : program.commands)
    if (!command.commands.empty()) out.push_back(command.name);
  return fmt::format("{}", fmt::join(out, "|"));
}

/// Names as a shell's list offers them: the first column of the command's own list.
constexpr char kNames[] =
    "_stripwright_list() {\n"
    "  stripwright \"$1\" list --format csv 2>/dev/null | sed -n '2,$s/,.*//p' | grep .\n"
    "}\n";

std::string fish_word(std::string_view text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'' || c == '\\') out += '\\';
    out += c == '\n' ? ' ' : c;
  }
  return out + "'";
}

std::string fish_value(CallPart const& part) {
  switch (part.kind) {
    case ValueKind::none:
      return "";
    case ValueKind::words:
      return fmt::format(" -xa {}", fish_word(fmt::format("{}", fmt::join(part.words, " "))));
    case ValueKind::taper:
      return " -ra '(__stripwright_list taper)'";
    case ValueKind::shop:
      return " -ra '(__stripwright_list shop)'";
    case ValueKind::file:
      return " -rF";
    default:
      return " -x";
  }
}

}  // namespace

std::string bash_completions(CallCommand const& program) {
  return fmt::format(
      "# Completions of stripwright for bash; made from the program's own command line.\n{}"
      "_stripwright_words() {{ mapfile -t COMPREPLY < <(compgen -W \"$1\" -- \"$current\"); }}\n"
      "_stripwright_files() {{\n  compopt -o filenames\n"
      "  mapfile -t COMPREPLY < <(compgen -f -- \"$current\")\n}}\n"
      "_stripwright_names() {{\n  compopt -o filenames\n"
      "  mapfile -t COMPREPLY < <(compgen -W \"$(_stripwright_list \"$1\")\" -- \"$current\"\n"
      "    compgen -f -- \"$current\")\n}}\n"
      "_stripwright() {{\n"
      "  local current=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}} command=\n"
      "  COMPREPLY=()\n"
      "  if ((COMP_CWORD > 1)); then command=${{COMP_WORDS[1]}}; fi\n"
      "  case $command in\n    {}) if ((COMP_CWORD > 2)); then command+=\" ${{COMP_WORDS[2]}}\"; "
      "fi ;;\n"
      "  esac\n"
      "  case $command:$before in\n{}  esac\n"
      "}}\ncomplete -F _stripwright stripwright\n",
      kNames, groups(program), arms(program));
}

std::string zsh_completions(CallCommand const& program) {
  return fmt::format(
      "#compdef stripwright\n"
      "# Completions of stripwright for zsh; made from the program's own command line.\n{}"
      "_stripwright_words() {{ compadd -- ${{=1}} }}\n"
      "_stripwright_files() {{ _files }}\n"
      "_stripwright_names() {{\n  compadd -- ${{(f)\"$(_stripwright_list \"$1\")\"}}\n  "
      "_files\n}}\n"
      "_stripwright() {{\n"
      "  local current=$words[CURRENT] before=$words[CURRENT-1] command=\n"
      "  if ((CURRENT > 2)); then command=$words[2]; fi\n"
      "  case $command in\n    {}) if ((CURRENT > 3)); then command+=\" $words[3]\"; fi ;;\n"
      "  esac\n"
      "  case $command:$before in\n{}  esac\n"
      "}}\n_stripwright \"$@\"\n",
      kNames, groups(program), arms(program));
}

std::string fish_completions(CallCommand const& program) {
  std::string out =
      "# Completions of stripwright for fish; made from the program's own command line.\n"
      "function __stripwright_list\n"
      "  stripwright $argv[1] list --format csv 2>/dev/null | sed -n '2,$s/,.*//p' | grep .\n"
      "end\n"
      "function __stripwright_is\n"
      "  set -l words (commandline -opc)\n"
      "  set -l wanted (string split ' ' -- $argv[1])\n"
      "  test (count $words) -gt (count $wanted)\n"
      "  and set -l last (math (count $wanted) + 1)\n"
      "  and test \"$words[2..$last]\" = \"$argv[1]\"\n"
      "end\n"
      "complete -c stripwright -f\n";
  for (auto const* command : all_commands(program)) {
    const auto words = words_behind(*command);
    const auto when = words.empty() ? std::string("test (count (commandline -opc)) -eq 1")
                                    : fmt::format("__stripwright_is \"{}\"", words);
    const auto line = [&](std::string const& rest) {
      out += fmt::format("complete -c stripwright -n {} {}\n", fish_word(when), rest);
    };
    for (auto const& each : command->commands) {
      // Of a group only where none of its commands has been typed yet.
      const auto only =
          words.empty() ? when : fmt::format("{}; and test (count (commandline -opc)) -eq 2", when);
      out += fmt::format("complete -c stripwright -n {} -a {} -d {}\n", fish_word(only),
                         fish_word(each.name), fish_word(each.purpose));
    }
    for (auto const& part : command->parts) {
      if (part.argument) {
        if (part.kind == ValueKind::taper || part.kind == ValueKind::shop)
          line(fmt::format("-a '(__stripwright_list {})'",
                           part.kind == ValueKind::taper ? "taper" : "shop"));
        line("-F");
      } else if (part.name.starts_with("--")) {
        line(fmt::format("-l {} -d {}{}", part.name.substr(2), fish_word(part.meaning),
                         fish_value(part)));
      }
    }
  }
  return out;
}

}  // namespace stripwright::manuals
