#include "page/yaml_paths.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace stripwright::page {
namespace {

using files::YamlNode;
using Path = std::vector<std::string>;

/// A list that one text with commas can stand for, and be taken apart again.
bool is_plain_list(YamlNode const& node) {
  const auto plain = [](YamlNode const& item) {
    return item.kind == YamlNode::Kind::scalar && !item.text.empty() &&
           item.text.find(',') == std::string::npos && !item.text.starts_with(' ') &&
           !item.text.ends_with(' ');
  };
  return node.kind == YamlNode::Kind::sequence &&
         std::all_of(node.items.begin(), node.items.end(), plain);
}

void nearest(YamlNode const& node, files::SourceText const& source, Place const& place, Path& here,
             std::pair<std::size_t, std::size_t>& best, Path& out) {
  const auto look = [&](YamlNode const& each) {
    const auto at = source.place(each.offset);
    const std::pair key{at.line, at.column};
    if (key <= std::pair{place.line, place.column} && key >= best) {
      best = key;
      out = here;
    }
  };
  for (std::size_t i = 0; i < std::max(node.entries.size(), node.items.size()); ++i) {
    const bool map = node.kind == YamlNode::Kind::map;
    here.push_back(map ? node.entries[i].key.text : fmt::format("{}", i));
    if (map) look(node.entries[i].key);
    look(child(node, i));
    nearest(child(node, i), source, place, here, best, out);
    here.pop_back();
  }
}

}  // namespace

std::optional<std::size_t> index_of(YamlNode const& node, std::string const& step) {
  if (node.kind == YamlNode::Kind::map) {
    for (std::size_t i = 0; i < node.entries.size(); ++i)
      if (node.entries[i].key.text == step) return i;
    return std::nullopt;
  }
  std::size_t index = 0;
  const auto* end = step.data() + step.size();
  const auto parsed = std::from_chars(step.data(), end, index);
  if (node.kind != YamlNode::Kind::sequence || parsed.ec != std::errc() || parsed.ptr != end ||
      index >= node.items.size())
    return std::nullopt;
  return index;
}

YamlNode const& child(YamlNode const& node, std::size_t index) {
  return node.kind == YamlNode::Kind::map ? node.entries[index].value : node.items[index];
}

std::optional<std::string> text_of(YamlNode const& node) {
  if (node.kind == YamlNode::Kind::scalar) return node.text;
  if (!is_plain_list(node)) return std::nullopt;
  std::vector<std::string_view> items;
  for (auto const& item : node.items) items.push_back(item.text);
  return fmt::format("{}", fmt::join(items, ", "));
}

std::vector<std::string> split(std::string_view text) {
  std::vector<std::string> out;
  while (true) {
    const auto comma = text.find(',');
    auto item = text.substr(0, comma);
    while (item.starts_with(' ')) item.remove_prefix(1);
    while (item.ends_with(' ')) item.remove_suffix(1);
    if (!item.empty()) out.emplace_back(item);
    if (comma == std::string_view::npos) return out;
    text.remove_prefix(comma + 1);
  }
}

files::YamlNode const* node_at(files::YamlNode const& root, Path const& path) {
  auto const* node = &root;
  for (auto const& step : path) {
    const auto index = index_of(*node, step);
    if (!index) return nullptr;
    node = &child(*node, *index);
  }
  return node;
}

std::optional<std::string> text_at(files::YamlNode const& root, Path const& path) {
  auto const* node = node_at(root, path);
  return node ? text_of(*node) : std::nullopt;
}

std::vector<std::string> path_near(files::YamlNode const& root, files::SourceText const& source,
                                   Place const& place) {
  Path here;
  Path out;
  std::pair<std::size_t, std::size_t> best{0, 0};
  nearest(root, source, place, here, best, out);
  return out;
}

}  // namespace stripwright::page
