#include "files/yaml_writing.h"

#include <fmt/format.h>

#include <algorithm>

namespace stripwright::files {
namespace {

/// Text that is a plain scalar in any place and nothing but itself.
bool plain_everywhere(std::string_view text) {
  const auto letter = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
  };
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  const auto inner = [&](char c) {
    return letter(c) || digit(c) || std::string_view(" .+-/").find(c) != std::string_view::npos;
  };
  if (text.empty() || text.back() == ' ' || text == "null" || text == "Null" || text == "NULL")
    return false;
  const bool sign = (text[0] == '-' || text[0] == '.') && text.size() > 1;
  if (!letter(text[0]) && !digit(text[0]) && !(sign && digit(text[1]))) return false;
  return std::all_of(text.begin(), text.end(), inner);
}

std::string double_quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '\n' || c == '\t') {
      out += c == '\n' ? "\\n" : "\\t";
      continue;
    }
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

}  // namespace

std::string yaml_scalar(std::string_view text, char first_of_old) {
  const bool plain = plain_everywhere(text);
  if (plain && first_of_old == '\'') return fmt::format("'{}'", text);
  if (plain && first_of_old != '"') return std::string(text);
  return double_quoted(text);
}

YamlNode scalar_node(std::string text) {
  YamlNode node;
  node.kind = YamlNode::Kind::scalar;
  node.text = std::move(text);
  return node;
}

YamlNode map_node(std::vector<YamlEntry> entries) {
  YamlNode node;
  node.kind = YamlNode::Kind::map;
  node.entries = std::move(entries);
  return node;
}

std::string in_flow_style(YamlEntry const& entry) {
  return yaml_scalar(entry.key.text) + ": " + in_flow_style(entry.value);
}

std::string in_flow_style(YamlNode const& node) {
  std::vector<std::string> parts;
  switch (node.kind) {
    case YamlNode::Kind::null:
      return "~";
    case YamlNode::Kind::scalar:
      return yaml_scalar(node.text);
    case YamlNode::Kind::sequence:
      for (auto const& item : node.items) parts.push_back(in_flow_style(item));
      return fmt::format("[{}]", fmt::join(parts, ", "));
    case YamlNode::Kind::map:
      for (auto const& entry : node.entries) parts.push_back(in_flow_style(entry));
      return fmt::format("{{{}}}", fmt::join(parts, ", "));
  }
  return {};
}

bool same_content(YamlNode const& a, YamlNode const& b) {
  const auto same_entry = [](YamlEntry const& x, YamlEntry const& y) {
    return same_content(x.key, y.key) && same_content(x.value, y.value);
  };
  return a.kind == b.kind && a.text == b.text &&
         std::equal(a.items.begin(), a.items.end(), b.items.begin(), b.items.end(), same_content) &&
         std::equal(a.entries.begin(), a.entries.end(), b.entries.begin(), b.entries.end(),
                    same_entry);
}

std::optional<YamlNode> sound_yaml(SourceText const& source, Problems& problems) {
  if (!check_bytes(source, problems) || !check_indents(source, problems)) return std::nullopt;
  auto root = parse_yaml(source, problems);
  return problems.empty() ? root : std::nullopt;
}

std::string_view line_end_of(std::string_view text) {
  const auto first = text.find('\n');
  return first != std::string_view::npos && first > 0 && text[first - 1] == '\r' ? "\r\n" : "\n";
}

}  // namespace stripwright::files
