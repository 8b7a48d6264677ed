#include <fmt/format.h>

#include <algorithm>

#include "files/map_reader.h"
#include "units/format.h"
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

void ReadContext::tell_out_of_range(YamlNode const& value, Length length, KeySpec const& key,
                                    std::string_view before, std::string_view after,
                                    std::string remedy) const {
  const bool bare = !parse_length(value.text, std::nullopt);
  const Unit other = unit == Unit::inch ? Unit::millimetre : Unit::inch;
  std::string what = quoted_for_message(value.text);
  if (bare && length > Length{})
    what =
        fmt::format("{} {} ({} {})", value.text, unit_name(unit),
                    format_short(in_unit(length, other), bench_decimals(other)), unit_name(other));
  // Of two files that were read one after the other each has its own question.
  const auto question = fmt::format("the file says unit: {} (line {}): is it {}?", unit_name(unit),
                                    unit_line, unit_name(other));
  const bool asked =
      std::any_of(problems.list().begin(), problems.list().end(), [&](Problem const& told) {
        return told.place.file == source.name() && told.remedy.find(question) != std::string::npos;
      });
  if (bare && unit_line > 0 && !asked &&
      files::in_range(key.range, of_unit(in_unit(length, unit), other).in_millimetres()))
    remedy += (remedy.empty() ? "" : "; ") + question;
  tell(value.offset,
       fmt::format("{}{}{}: out of its range ({})", before, what, after, range_text(key, unit)),
       std::move(remedy));
}

std::optional<Length> read_length(YamlNode const& node, ReadContext const& context) {
  auto parsed = parse_length(node.text, context.unit);
  if (!parsed) context.tell(node.offset, std::move(parsed.fault), std::move(parsed.remedy));
  return parsed.value;
}

}  // namespace stripwright::files
