#include "files/map_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_set>

#include "files/map_keys.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kLongestLine = 200;
/// Names become names of files, beside other words.
constexpr std::size_t kLongestName = 60;

}  // namespace

MapReader::MapReader(YamlNode const& node, MapSpec const& spec, ReadContext const& context,
                     bool check_keys)
    : node_(&node), spec_(&spec), context_(&context) {
  if (!check_keys || node.refused) return;
  if (node.kind == YamlNode::Kind::map)
    check_map_keys(node, spec, context);
  else
    context.tell(
        node.offset, fmt::format("{} where {} is expected", shape(node), spec.name),
        fmt::format("write it as a map with the keys {}", fmt::join(key_names(spec), ", ")));
}

YamlEntry const* MapReader::entry(std::string_view key) const {
  find_key(*spec_, key);
  for (auto const& each : node_->entries)
    if (each.key.text == key && !each.key.refused) return &each;
  return nullptr;
}

YamlNode const* MapReader::find(std::string_view key) const {
  auto const* found = entry(key);
  return found && !found->value.refused ? &found->value : nullptr;
}

bool MapReader::written(std::string_view key) const { return entry(key) != nullptr; }

KeySpec const& MapReader::spec_of(std::string_view key, ValueKind kind) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == kind || spec.or_kind == kind,
                 fmt::format("'{}' read by another kind", key));
  return spec;
}

void MapReader::complain(std::string_view key, std::string what, std::string remedy,
                         Severity severity) const {
  auto const* value = find(key);
  context_->tell(value ? value->offset : node_->offset, std::move(what), std::move(remedy),
                 severity);
}

void MapReader::wrong_type(YamlNode const& value, KeySpec const& key,
                           std::string_view wanted) const {
  if (value.refused) return;
  context_->tell(value.offset,
                 fmt::format("'{}' has {} where {} is expected", key.name, shape(value), wanted),
                 std::string(key.meaning));
}

std::string MapReader::text(std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::text || spec.kind == ValueKind::name ||
                     spec.kind == ValueKind::format,
                 "a text read by another kind");
  auto const* value = find(key);
  if (!value) return std::string(spec.standard);
  if (value->kind == YamlNode::Kind::scalar) return value->text;
  wrong_type(*value, spec, kind_text(spec));
  return std::string(spec.standard);
}

std::string MapReader::line(std::string_view key) const {
  auto out = text(key);
  const auto starts = [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; };
  if (out.find_first_of("\n\t") != std::string::npos)
    complain(key, fmt::format("'{}' has more than one line", key), "write it on one line");
  else if (std::count_if(out.begin(), out.end(), starts) > static_cast<long>(kLongestLine))
    complain(key, fmt::format("'{}' is over {} characters long", key, kLongestLine),
             "make it shorter");
  return out;
}

std::string MapReader::choice(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::choice);
  auto const* value = find(key);
  if (!value) return std::string(spec.standard);
  const bool scalar = value->kind == YamlNode::Kind::scalar;
  if (scalar &&
      std::find(spec.choices.begin(), spec.choices.end(), value->text) != spec.choices.end())
    return value->text;
  const auto near = nearest_word(value->text, {spec.choices.begin(), spec.choices.end()});
  context_->tell(value->offset,
                 fmt::format("'{}' is {}", key,
                             scalar ? quoted_for_message(value->text) : std::string(shape(*value))),
                 fmt::format("expected {}{}", kind_text(spec),
                             near.empty() ? "" : fmt::format("; the nearest is '{}'", near)));
  return std::string(spec.standard);
}

bool MapReader::yes_no(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::yes_no);
  auto const* value = find(key);
  if (!value) return spec.standard == "true";
  if (value->kind == YamlNode::Kind::scalar && (value->text == "true" || value->text == "false"))
    return value->text == "true";
  context_->tell(value->offset, fmt::format("'{}' is neither true nor false", key),
                 std::string(spec.meaning));
  return spec.standard == "true";
}

bool MapReader::in_range(YamlNode const& value, KeySpec const& key, double number) const {
  if (files::in_range(key.range, number)) return true;
  context_->tell(value.offset,
                 fmt::format("'{}' is {}: out of its range ({})", key.name,
                             quoted_for_message(value.text), range_text(key)),
                 std::string(key.meaning));
  return false;
}

std::optional<Length> MapReader::length_in(YamlNode const& value, KeySpec const& key) const {
  if (value.kind != YamlNode::Kind::scalar) {
    wrong_type(value, key, "a length");
    return std::nullopt;
  }
  const auto length = read_length(value, *context_);
  if (!length || files::in_range(key.range, length->in_millimetres())) return length;
  context_->tell_out_of_range(value, *length, key, fmt::format("'{}' is ", key.name), "",
                              std::string(key.meaning));
  return std::nullopt;
}

std::optional<Length> MapReader::optional_length(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::length);
  if (auto const* value = find(key))
    if (const auto length = length_in(*value, spec)) return length;
  if (spec.standard.empty()) return std::nullopt;
  return parse_length(spec.standard, context_->unit).value;
}

Length MapReader::length(std::string_view key) const {
  return optional_length(key).value_or(Length{});
}

std::optional<double> MapReader::number_in(YamlNode const& value, KeySpec const& key) const {
  const bool whole = key.kind == ValueKind::whole;
  if (value.kind != YamlNode::Kind::scalar) {
    wrong_type(value, key, whole ? "a whole number" : "a number");
    return std::nullopt;
  }
  auto parsed = parse_number(value.text);
  if (!parsed) {
    context_->tell(value.offset, std::move(parsed.fault), std::move(parsed.remedy));
    return std::nullopt;
  }
  const bool fraction = value.text.find('/') != std::string::npos;
  if (whole && (fraction || std::floor(*parsed.value) != *parsed.value)) {
    context_->tell(value.offset, quoted_for_message(value.text) + ": not a whole number",
                   std::string(key.meaning));
    return std::nullopt;
  }
  if (!in_range(value, key, *parsed.value)) return std::nullopt;
  return parsed.value;
}

std::optional<double> MapReader::optional_number(std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::number || spec.kind == ValueKind::whole,
                 "a number read by another kind");
  if (auto const* value = find(key))
    if (const auto number = number_in(*value, spec)) return number;
  if (spec.standard.empty()) return std::nullopt;
  return parse_number(spec.standard).value;
}

double MapReader::number(std::string_view key) const { return optional_number(key).value_or(0.0); }

long MapReader::whole(std::string_view key) const { return std::lround(number(key)); }

bool MapReader::has_items(std::string_view key, std::size_t count) const {
  auto const* list = find(key);
  return list && list->kind == YamlNode::Kind::sequence && list->items.size() == count;
}

/// The list under a key; a problem if something else is.
YamlNode const* MapReader::sequence(std::string_view key, KeySpec const& spec) const {
  auto const* value = find(key);
  if (!value || value->kind == YamlNode::Kind::sequence) return value;
  wrong_type(*value, spec, kind_text(spec));
  return nullptr;
}

std::vector<Length> MapReader::lengths(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::length_list);
  std::vector<Length> out;
  if (auto const* list = sequence(key, spec))
    for (auto const& item : list->items)
      if (const auto length = length_in(item, spec)) out.push_back(*length);
  return out;
}

std::vector<std::string> MapReader::names(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::name_list);
  std::vector<std::string> out;
  auto const* list = sequence(key, spec);
  if (!list) return out;
  for (auto const& item : list->items) {
    if (item.kind == YamlNode::Kind::scalar)
      out.push_back(item.text);
    else
      wrong_type(item, spec, "a name");
  }
  return out;
}

std::optional<MapReader> MapReader::map(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::map);
  auto const* value = find(key);
  if (!value) return std::nullopt;
  if (value->kind == YamlNode::Kind::map) return MapReader(*value, *spec.map, *context_);
  wrong_type(*value, spec, kind_text(spec));
  return std::nullopt;
}

std::vector<std::pair<YamlNode const*, YamlNode const*>> MapReader::named(
    std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::named_maps || spec.kind == ValueKind::machines,
                 "names read by another kind");
  auto const* value = find(key);
  std::vector<std::pair<YamlNode const*, YamlNode const*>> out;
  if (!value) return out;
  if (value->kind != YamlNode::Kind::map) {
    wrong_type(*value, spec, kind_text(spec));
    return out;
  }
  std::unordered_set<std::string_view> seen;
  for (auto const& [name, body] : value->entries) {
    if (name.refused) continue;
    const auto shown = quoted_for_message(name.text);
    if (!is_name(name.text))
      context_->tell(name.offset,
                     fmt::format("the name {} has characters that a name cannot have", shown),
                     "use letters, digits, blanks inside and hyphens");
    else if (name.text.size() > kLongestName)
      context_->tell(name.offset,
                     fmt::format("the name {} is over {} characters long", shown, kLongestName),
                     "make it shorter");
    else if (!seen.insert(name.text).second)
      context_->tell(name.offset, fmt::format("the name {} a second time", shown),
                     "give each a name of its own");
    else
      out.emplace_back(&name, &body);
  }
  return out;
}

std::vector<YamlNode const*> MapReader::list(std::string_view key) const {
  std::vector<YamlNode const*> out;
  if (auto const* list = sequence(key, spec_of(key, ValueKind::map_list)))
    for (auto const& item : list->items) out.push_back(&item);
  return out;
}

}  // namespace stripwright::files
