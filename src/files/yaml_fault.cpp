#include "files/yaml_fault.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace stripwright::files {
namespace {

namespace fault = YAML::ErrorMsg;

struct Words {
  std::string_view librarys;  ///< how the library's message begins
  std::string_view what;
  std::string_view remedy;
};

constexpr std::string_view kCheckIndent =
    "lines that belong together start in the same column, and a value stands behind its colon; "
    "check this line and the one before";
constexpr std::string_view kNoAliases = "write the value out; files of this kind have no aliases";

const std::array kWords = {
    Words{fault::MAP_VALUE, "a colon where none can be",
          "check the indent here; put quotes round a text that has a colon in it"},
    Words{fault::MAP_KEY, "a question mark where none can be", "put quotes round the text"},
    Words{fault::END_OF_MAP_FLOW, "a { whose } is missing, or a comma missing before here",
          "close the brace, or put a comma between its parts"},
    Words{fault::END_OF_SEQ_FLOW, "a [ whose ] is missing, or a comma missing before here",
          "close the bracket, or put a comma between its parts"},
    Words{fault::END_OF_MAP, "a line that does not fit the lines above it", kCheckIndent},
    Words{fault::END_OF_SEQ, "a line that does not fit the list above it", kCheckIndent},
    Words{fault::BLOCK_ENTRY, "a dash where none can be",
          "a list starts on a line of its own, or write it in brackets: [1, 2]"},
    Words{fault::FLOW_END, "a closing bracket that was never opened", "delete it"},
    Words{fault::UNKNOWN_TOKEN, "a character that no value can start with",
          "put quotes round the text"},
    Words{fault::INVALID_ESCAPE, "a backslash before something it cannot stand before",
          "write the text in single quotes, where a backslash is just a backslash"},
    Words{fault::DOC_IN_SCALAR, "a line of --- or ... within quotes", "close the quotes before it"},
    Words{fault::EOF_IN_SCALAR, "quotes that are not closed", "close them"},
    Words{fault::TAB_IN_INDENTATION, "a tab in the indent", "indent with blanks"},
    Words{fault::CHAR_IN_BLOCK, "something behind a | or >",
          "the text starts on the next line; put quotes round it if it is short"},
    Words{fault::UNKNOWN_ANCHOR, "an alias (*)", kNoAliases},
    Words{fault::ALIAS_NOT_FOUND, "an alias (*) without a name", kNoAliases},
    Words{fault::CHAR_IN_ALIAS, "an alias (*)", kNoAliases},
    Words{fault::ANCHOR_NOT_FOUND, "an anchor (&) without a name",
          "put quotes round a text that starts with &"},
};

}  // namespace

Problem yaml_problem(YAML::Exception const& fault, SourceText const& source) {
  // The library has no mark for some; they are found where the text ends.
  const std::size_t at =
      fault.mark.pos < 0 ? source.text().size() : static_cast<std::size_t>(fault.mark.pos);
  const auto found = std::find_if(kWords.begin(), kWords.end(), [&](Words const& words) {
    return fault.msg.starts_with(words.librarys);
  });
  if (found != kWords.end())
    return source.problem(at, std::string(found->what), std::string(found->remedy));
  return source.problem(at, fmt::format("not valid YAML: {}", fault.msg),
                        "check the indent, quotes, brackets and colons here");
}

}  // namespace stripwright::files
