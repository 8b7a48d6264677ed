#include <algorithm>

#include "files/map_reader.h"
#include "units/parse.h"

namespace stripwright::files {

std::string_view shape(YamlNode const& node) {
  switch (node.kind) {
    case YamlNode::Kind::null:
      return "nothing";
    case YamlNode::Kind::scalar:
      return "a single value";
    case YamlNode::Kind::sequence:
      return "a list";
    case YamlNode::Kind::map:
      return "a map";
  }
  return "";
}

bool is_name(std::string_view text) {
  if (text.empty() || text.front() == ' ' || text.back() == ' ') return false;
  return std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == ' ' ||
           c == '-';
  });
}

void ReadContext::tell(std::size_t offset, std::string what, std::string remedy,
                       Severity severity) const {
  add_problem(problems, source, offset, std::move(what), std::move(remedy), severity);
}

std::optional<Length> read_length(YamlNode const& node, ReadContext const& context) {
  auto parsed = parse_length(node.text, context.unit);
  if (!parsed) context.tell(node.offset, std::move(parsed.fault), std::move(parsed.remedy));
  return parsed.value;
}

}  // namespace stripwright::files
