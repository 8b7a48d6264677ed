#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
class ParseError;
}  // namespace CLI

namespace stripwright::cli {

/// The only words that an option takes; none where it takes anything.
std::vector<std::string> words_taken(CLI::Option const& option);

/// What is wrong with a call that cannot be read, in this project's words, and the way out: the
/// nearest command or option, what the option takes, what is missing. Lines of at most 80 columns.
std::string call_fault(CLI::App const& program, std::vector<std::string> const& arguments,
                       CLI::ParseError const& fault);

}  // namespace stripwright::cli
