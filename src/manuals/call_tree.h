#pragma once

#include <string>
#include <vector>

#include "cli/command_line.h"

namespace stripwright::manuals {

/// What the value of an option or argument is, for those who help to type it.
enum class ValueKind { none, text, taper, shop, file, words };

/// An option ("--units") or an argument ("TAPER").
struct CallPart {
  std::string name;
  std::string value;  ///< what help calls its value; empty for a flag and for arguments
  std::string meaning;
  std::vector<std::string> words;  ///< of ValueKind::words
  ValueKind kind = ValueKind::text;
  bool required = false;
  bool argument = false;
  bool repeatable = false;
};

/// A command, or a group of commands if it has `commands`.
struct CallCommand {
  std::string name;  ///< "setup"
  std::string path;  ///< "stripwright setup"
  std::string purpose;
  cli::Manual manual;
  std::vector<CallPart> parts;
  std::vector<CallCommand> commands;
};

/// The program's whole command line, as its commands tell it.
CallCommand call_tree();

}  // namespace stripwright::manuals
