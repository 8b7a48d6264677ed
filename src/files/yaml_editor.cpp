#include "files/yaml_editor.h"

#include <fmt/format.h>

#include <span>

#include "files/yaml_extent.h"
#include "files/yaml_writing.h"
#include "units/parse.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kIndentStep = 2;

using Keys = std::span<const std::string>;

/// What is to be put where, and what the file then holds.
struct Plan {
  Extent extent;
  std::string bytes;
  YamlNode expected;
};

struct Refused {
  std::size_t offset;
  std::string what;
};

std::string in_flow(Keys keys, std::string const& value) {
  if (keys.empty()) return yaml_scalar(value);
  if (keys.size() == 1) return fmt::format("{}: {}", yaml_scalar(keys[0]), yaml_scalar(value));
  return fmt::format("{}: {{{}}}", yaml_scalar(keys[0]), in_flow(keys.subspan(1), value));
}

std::string in_block(Keys keys, std::string const& value, std::size_t indent,
                     std::string_view line_end) {
  std::string out = std::string(indent, ' ') + yaml_scalar(keys[0]) + ":";
  if (keys.size() == 1) return out + " " + yaml_scalar(value);
  return out + std::string(line_end) +
         in_block(keys.subspan(1), value, indent + kIndentStep, line_end);
}

YamlNode nested(Keys keys, std::string const& value) {
  if (keys.empty()) return scalar_node(value);
  return map_node({{scalar_node(keys[0]), nested(keys.subspan(1), value)}});
}

/// One change to one text.
class Editor {
 public:
  Editor(std::string_view text, YamlNode root, YamlChange const& change)
      : text_(text), expected_(std::move(root)), change_(change), line_end_(line_end_of(text)) {}

  /// The ways to make the change, best first. Throws Refused where there is none.
  std::vector<Plan> plans() {
    YamlNode* map = &expected_;
    Keys keys(change_.path);
    for (; !keys.empty(); keys = keys.subspan(1)) {
      if (map->kind != YamlNode::Kind::map)
        throw Refused{map->offset, "a value where a map is needed"};
      auto* entry = find(*map, keys[0]);
      if (!entry) return added(*map, keys);
      if (entry->value.kind == YamlNode::Kind::null) return replaced(*entry, keys.subspan(1));
      if (keys.size() == 1) return replaced(*entry, {});
      map = &entry->value;
    }
    throw Refused{0, "no key is named"};
  }

 private:
  static YamlEntry* find(YamlNode& map, std::string_view key) {
    YamlEntry* found = nullptr;
    for (auto& entry : map.entries) {
      if (entry.key.text != key) continue;
      if (found)
        throw Refused{entry.key.offset,
                      fmt::format("the key {} a second time", quoted_for_message(key))};
      found = &entry;
    }
    return found;
  }

  std::vector<Plan> replaced(YamlEntry& entry, Keys below) {
    if (entry.value.kind == YamlNode::Kind::map || entry.value.kind == YamlNode::Kind::sequence)
      throw Refused{entry.value.offset, "a map or a list where a single value is to be set"};
    const auto slot = value_slot(text_, entry);
    if (!slot) return {};
    const char first = slot->extent.end > slot->extent.begin ? text_[slot->extent.begin] : ' ';
    std::string bytes = below.empty() ? yaml_scalar(change_.value, first)
                                      : "{" + in_flow(below, change_.value) + "}";
    if (slot->after_colon) bytes.insert(0, slot->no_colon ? ": " : " ");
    entry.value = nested(below, change_.value);
    return {{slot->extent, std::move(bytes), expected_}};
  }

  Plan plan_with_entry(YamlNode& map, std::size_t place, Keys keys, std::size_t at,
                       std::string bytes) {
    const auto where = map.entries.begin() + static_cast<std::ptrdiff_t>(place);
    const auto added =
        map.entries.insert(where, {scalar_node(keys[0]), nested(keys.subspan(1), change_.value)});
    Plan plan{{at, at}, std::move(bytes), expected_};
    map.entries.erase(added);
    return plan;
  }

  std::vector<Plan> added(YamlNode& map, Keys keys) {
    return in_brackets(text_, map) ? added_in_flow(map, keys) : added_in_block(map, keys);
  }

  std::vector<Plan> added_in_flow(YamlNode& map, Keys keys) {
    const std::string entry = in_flow(keys, change_.value);
    if (map.entries.empty()) return {plan_with_entry(map, 0, keys, map.offset + 1, entry)};
    std::vector<Plan> out;
    if (const auto end = entry_end(text_, map.entries.back()))
      out.push_back(plan_with_entry(map, map.entries.size(), keys, *end, ", " + entry));
    out.push_back(plan_with_entry(map, 0, keys, map.offset + 1, entry + ", "));
    return out;
  }

  /// On a line of its own behind the last entry's last line, or before the first one's.
  std::vector<Plan> added_in_block(YamlNode& map, Keys keys) {
    if (map.entries.empty()) return {};
    const auto line_start = text_.rfind('\n', map.offset) == std::string_view::npos
                                ? 0
                                : text_.rfind('\n', map.offset) + 1;
    const std::string entry = in_block(keys, change_.value, map.offset - line_start, line_end_);
    std::vector<Plan> out;
    if (const auto end = entry_end(text_, map.entries.back())) {
      const auto next = text_.find('\n', *end);
      const bool last_line = next == std::string_view::npos;
      out.push_back(plan_with_entry(
          map, map.entries.size(), keys, last_line ? text_.size() : next + 1,
          last_line ? std::string(line_end_) + entry : entry + std::string(line_end_)));
    }
    if (text_.substr(line_start, map.offset - line_start).find_first_not_of(' ') ==
        std::string_view::npos)
      out.push_back(plan_with_entry(map, 0, keys, line_start, entry + std::string(line_end_)));
    return out;
  }

  std::string_view text_;
  YamlNode expected_;
  YamlChange const& change_;
  std::string_view line_end_;
};

std::string spliced(std::string_view text, Plan const& plan) {
  std::string out(text.substr(0, plan.extent.begin));
  out += plan.bytes;
  return out += text.substr(plan.extent.end);
}

bool proven(std::string const& name, std::string const& bytes, YamlNode const& expected) {
  Problems problems;
  const auto root = sound_yaml(SourceText(name, bytes), problems);
  return root && same_content(*root, expected);
}

std::string by_hand(YamlChange const& change) {
  return fmt::format("set {}: {} by hand", fmt::join(change.path, ": "), change.value);
}

/// The text with one change; `source` has no byte order mark.
YamlEdit edited(SourceText const& source, YamlChange const& change) {
  Problems problems;
  auto root = sound_yaml(source, problems);
  if (!root) return {std::nullopt, problems.list().front()};
  std::size_t where = root->offset;
  std::string what = "not written in a way in which a value can be set without risk to the rest";
  try {
    for (auto const& plan : Editor(source.text(), std::move(*root), change).plans()) {
      where = plan.extent.begin;
      auto bytes = spliced(source.text(), plan);
      if (proven(source.name(), bytes, plan.expected)) return {std::move(bytes), {}};
    }
  } catch (Refused const& refused) {
    where = refused.offset;
    what = refused.what;
  }
  return {std::nullopt, source.problem(where, what, by_hand(change))};
}

}  // namespace

YamlEdit edit_yaml(std::string const& file_name, std::string const& bytes,
                   std::vector<YamlChange> const& changes) {
  const bool marked = bytes.starts_with(kByteOrderMark);
  std::string text = marked ? bytes.substr(kByteOrderMark.size()) : bytes;
  for (auto const& change : changes) {
    // A second mark would be taken for the first one when the rest stands alone.
    if (text.starts_with(kByteOrderMark))
      return {std::nullopt,
              SourceText(file_name, bytes).problem(0, "two byte order marks", "keep one, or none")};
    auto edit = edited(SourceText(file_name, text), change);
    if (!edit) return edit;
    text = std::move(*edit.bytes);
  }
  return {(marked ? std::string(kByteOrderMark) : "") + text, {}};
}

}  // namespace stripwright::files
