#pragma once

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/command.h"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace stripwright::cli {

/// An option or argument that a command has, for more to be said about it. (What reads the command
/// line is a large library, all of it headers: only command_line.cpp, call_fault.cpp and run.cpp
/// see it, which spares each command's file most of its time to compile.)
class Option {
 public:
  explicit Option(CLI::Option* option) : option_(option) {}
  Option required();
  /// Only these words are taken, and help lists them.
  Option one_of(std::vector<std::string> words);
  /// May be given several times, each time with one value.
  Option one_value_each_time();
  /// Takes `count` values each time; `words` is what help calls them.
  Option values_each_time(std::string_view words, int count);

 private:
  CLI::Option* option_;
};

/// What is to be said of a command beside its options, for its help and its manual page.
struct Manual {
  std::vector<std::string> examples;  ///< whole calls; the tests run them
  std::vector<std::string> notes;     ///< a paragraph each
  std::string status_0;               ///< when the exit status is 0
  std::string status_1;               ///< and when it is 1; empty if it never is
};

/// When the exit status is so, of 0 to 3; empty if it never is.
std::string status_meaning(Manual const& manual, int status);

using Manuals = std::map<CLI::App const*, Manual>;

/// A command, or a group of commands, as its options are told.
class Command {
 public:
  Command(CLI::App& app, Manuals& manuals) : app_(&app), manuals_(&manuals) {}

  Command add_subcommand(std::string const& name, std::string const& purpose);
  /// Once called, a word that names no command of the group is refused.
  void require_subcommand();
  /// What stands below the options in the help.
  void manual(Manual manual);

  /// An option ("--name") or an argument ("NAME"); its value is put into `value`, which must live
  /// until the command has run. Several values where it is a vector.
  Option add_option(std::string const& name, std::string& value, std::string const& meaning);
  Option add_option(std::string const& name, std::vector<std::string>& values,
                    std::string const& meaning);
  Option add_flag(std::string const& name, bool& value, std::string const& meaning);
  void remove_option(std::string const& name);

  /// What is left in `run` when this command has been given and its options read.
  void on_given(Run& run, Run action);

  /// Each giving of the options named, in the order of the call, with as many of its values as it
  /// takes each time; to be asked when the command is run.
  struct Given {
    std::string option;
    std::vector<std::string> values;
  };
  std::vector<Given> given_in_order(
      std::vector<std::pair<std::string_view, int>> const& counts) const;

 private:
  CLI::App* app_;
  Manuals* manuals_;
};

/// The whole program's command line; what the call asks for is left in the `Run` it is made with.
class CommandTree {
 public:
  explicit CommandTree(Run& run);
  ~CommandTree();
  CommandTree(CommandTree const&) = delete;
  CommandTree& operator=(CommandTree const&) = delete;

  CLI::App& program() { return *program_; }
  Manuals const& manuals() const { return manuals_; }

 private:
  std::unique_ptr<CLI::App> program_;
  Manuals manuals_;
};

}  // namespace stripwright::cli
