#include "files/yaml_extent.h"

#include <algorithm>

namespace stripwright::files {
namespace {

constexpr std::string_view kBlanks = " \t";
constexpr std::string_view kWhite = " \t\r\n";

bool white(char c) { return kWhite.find(c) != std::string_view::npos; }

/// Past blanks, line ends and comments. A comment begins a line or follows a blank.
std::size_t skip_white(std::string_view text, std::size_t at) {
  while (at < text.size()) {
    if (white(text[at]))
      ++at;
    else if (text[at] == '#' && at > 0 && white(text[at - 1]))
      at = std::min(text.find('\n', at), text.size());
    else
      break;
  }
  return at;
}

std::size_t line_end(std::string_view text, std::size_t at) {
  std::size_t end = std::min(text.find('\n', at), text.size());
  if (end > at && text[end - 1] == '\r') --end;
  return end;
}

/// A plain scalar's value is its text with line ends and the blanks about them folded, so
/// the two agree in all characters that are not white, and it ends at the last of those.
std::optional<Extent> plain_extent(std::string_view text, YamlNode const& scalar) {
  std::size_t at = scalar.offset;
  std::size_t end = at;
  for (const char c : scalar.text) {
    if (white(c)) continue;
    while (at < text.size() && white(text[at])) ++at;
    if (at == text.size() || text[at] != c) return std::nullopt;
    end = ++at;
  }
  if (end == scalar.offset) return std::nullopt;
  return Extent{scalar.offset, end};
}

std::optional<Extent> quoted_extent(std::string_view text, std::size_t begin) {
  const char quote = text[begin];
  for (std::size_t at = begin + 1; at < text.size(); ++at) {
    if (quote == '"' && text[at] == '\\') {
      ++at;
    } else if (text[at] == quote) {
      const bool doubled = quote == '\'' && at + 1 < text.size() && text[at + 1] == quote;
      if (!doubled) return Extent{begin, at + 1};
      ++at;
    }
  }
  return std::nullopt;
}

/// The lines of a block scalar are those that are indented as far as its first one, and
/// blank ones between them. A header with an indent of its own is not followed.
std::optional<Extent> block_extent(std::string_view text, YamlNode const& scalar) {
  const auto header_end = line_end(text, scalar.offset);
  const auto header = text.substr(scalar.offset, header_end - scalar.offset);
  if (header.find_first_not_of("|>+-") != std::string_view::npos) return std::nullopt;
  const bool empty = scalar.text.find_first_not_of('\n') == std::string::npos;
  std::size_t end = header_end;
  if (empty) return Extent{scalar.offset, end};
  std::optional<std::size_t> indent;
  for (std::size_t next = text.find('\n', header_end); next != std::string_view::npos;
       next = text.find('\n', next + 1)) {
    const auto line = text.substr(next + 1, line_end(text, next + 1) - next - 1);
    const auto first = line.find_first_not_of(' ');
    if (first == std::string_view::npos) continue;
    if (!indent) indent = first;
    if (first < *indent) break;
    end = next + 1 + line.size();
  }
  return Extent{scalar.offset, end};
}

/// An explicit null on the colon's line: `~` or the word.
std::optional<Extent> written_null(std::string_view text, std::size_t after_colon) {
  const auto at = std::min(text.find_first_not_of(kBlanks, after_colon), text.size());
  for (const std::string_view word : {"~", "null", "Null", "NULL"}) {
    const auto end = at + word.size();
    if (at == after_colon || !text.substr(at).starts_with(word)) continue;
    if (end == text.size() || white(text[end]) ||
        std::string_view(",]}").find(text[end]) != std::string_view::npos)
      return Extent{at, end};
  }
  return std::nullopt;
}

/// Past what may stand between the last item and the bracket that closes the collection.
std::optional<std::size_t> closing_bracket(std::string_view text, std::size_t at, char bracket) {
  at = skip_white(text, at);
  while (at < text.size() && text[at] == ',') at = skip_white(text, at + 1);
  if (at == text.size() || text[at] != bracket) return std::nullopt;
  return at + 1;
}

std::optional<std::size_t> sequence_end(std::string_view text, YamlNode const& node) {
  std::size_t at = node.offset + 1;
  for (auto const& item : node.items) {
    const auto end = node_end(text, item);
    if (!end) return std::nullopt;
    at = *end;
  }
  return in_brackets(text, node) ? closing_bracket(text, at, ']') : std::optional(at);
}

std::optional<std::size_t> map_end(std::string_view text, YamlNode const& node) {
  std::size_t at = node.offset + 1;
  for (auto const& entry : node.entries) {
    const auto end = entry_end(text, entry);
    if (!end) return std::nullopt;
    at = *end;
  }
  return in_brackets(text, node) ? closing_bracket(text, at, '}') : std::optional(at);
}

}  // namespace

bool in_brackets(std::string_view text, YamlNode const& node) {
  return node.offset < text.size() && (text[node.offset] == '{' || text[node.offset] == '[');
}

std::optional<Extent> scalar_extent(std::string_view text, YamlNode const& scalar) {
  if (scalar.kind != YamlNode::Kind::scalar || scalar.offset >= text.size()) return std::nullopt;
  switch (text[scalar.offset]) {
    case '"':
    case '\'':
      return quoted_extent(text, scalar.offset);
    case '|':
    case '>':
      return block_extent(text, scalar);
    default:
      return plain_extent(text, scalar);
  }
}

std::optional<ValueSlot> value_slot(std::string_view text, YamlEntry const& entry) {
  if (entry.value.kind == YamlNode::Kind::scalar) {
    const auto extent = scalar_extent(text, entry.value);
    return extent ? std::optional(ValueSlot{*extent}) : std::nullopt;
  }
  const auto key = scalar_extent(text, entry.key);
  if (entry.value.kind != YamlNode::Kind::null || !key) return std::nullopt;
  const auto colon = skip_white(text, key->end);
  if (colon == text.size() || text[colon] != ':')
    return ValueSlot{{key->end, key->end}, true, true};
  if (const auto null = written_null(text, colon + 1)) return ValueSlot{*null};
  return ValueSlot{{colon + 1, colon + 1}, true, false};
}

std::optional<std::size_t> node_end(std::string_view text, YamlNode const& node) {
  switch (node.kind) {
    case YamlNode::Kind::null:
      return std::nullopt;
    case YamlNode::Kind::scalar:
      if (const auto extent = scalar_extent(text, node)) return extent->end;
      return std::nullopt;
    case YamlNode::Kind::sequence:
      return sequence_end(text, node);
    case YamlNode::Kind::map:
      return map_end(text, node);
  }
  return std::nullopt;
}

std::optional<std::size_t> entry_end(std::string_view text, YamlEntry const& entry) {
  if (entry.value.kind == YamlNode::Kind::sequence || entry.value.kind == YamlNode::Kind::map)
    return node_end(text, entry.value);
  const auto slot = value_slot(text, entry);
  return slot ? std::optional(slot->extent.end) : std::nullopt;
}

}  // namespace stripwright::files
