#include "files/map_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "units/format.h"
#include "units/parse.h"

namespace stripwright::files {
namespace {

std::string_view shape(YamlNode const& node) {
  switch (node.kind) {
    case YamlNode::Kind::null: return "nothing";
    case YamlNode::Kind::scalar: return "a single value";
    case YamlNode::Kind::sequence: return "a list";
    case YamlNode::Kind::map: return "a map";
  }
  return "";
}

std::vector<std::string_view> key_names(MapSpec const& spec) {
  std::vector<std::string_view> names;
  for (auto const& key : spec.keys) names.push_back(key.name);
  return names;
}

void check_map_keys(YamlNode const& node, MapSpec const& spec, ReadContext const& context) {
  std::set<std::string_view> seen;
  for (auto const& [key, value] : node.entries) {
    if (key.refused) continue;
    if (!seen.insert(key.text).second) {
      context.problems.add(context.source.problem(
          key.offset, fmt::format("the key {} a second time", quoted_for_message(key.text)), "keep one of the two"));
      continue;
    }
    const auto names = key_names(spec);
    if (std::find(names.begin(), names.end(), key.text) != names.end()) continue;
    const auto near = nearest_word(key.text, names);
    context.problems.add(context.source.problem(
        key.offset, fmt::format("the unknown key {} in {}", quoted_for_message(key.text), spec.name),
        near.empty() ? fmt::format("known here: {}", fmt::join(names, ", "))
                     : fmt::format("the nearest known key is '{}'", near)));
  }
  for (auto const& key : spec.keys)
    if (key.required && !seen.contains(key.name))
      context.problems.add(context.source.problem(
          node.offset, fmt::format("{} lacks the key '{}'", spec.name, key.name),
          fmt::format("add `{}: ...`: {}", key.name, key.meaning)));
}

}  // namespace

bool is_name(std::string_view text) {
  if (text.empty() || text.front() == ' ' || text.back() == ' ') return false;
  return std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == ' ' || c == '-';
  });
}

MapReader::MapReader(YamlNode const& node, MapSpec const& spec, ReadContext const& context, bool check_keys)
    : node_(&node), spec_(&spec), context_(&context) {
  if (node.kind != YamlNode::Kind::map) {
    if (!node.refused)
      context.problems.add(context.source.problem(
          node.offset, fmt::format("{} where {} is expected", shape(node), spec.name),
          fmt::format("write it as a map with the keys {}", fmt::join(key_names(spec), ", "))));
  } else if (check_keys) {
    check_map_keys(node, spec, context);
  }
}

YamlNode const* MapReader::find(std::string_view key) const {
  find_key(*spec_, key);
  for (auto const& [name, value] : node_->entries)
    if (name.text == key && !name.refused) return value.refused ? nullptr : &value;
  return nullptr;
}

KeySpec const& MapReader::spec_of(std::string_view key, ValueKind kind) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == kind || spec.or_kind == kind, fmt::format("'{}' read by another kind", key));
  return spec;
}

void MapReader::complain(std::string_view key, std::string what, std::string remedy, Severity severity) const {
  auto const* value = find(key);
  context_->problems.add(context_->source.problem(value ? value->offset : node_->offset, std::move(what),
                                                  std::move(remedy), severity));
}

void MapReader::wrong_type(YamlNode const& value, KeySpec const& key, std::string_view wanted) const {
  context_->problems.add(context_->source.problem(
      value.offset, fmt::format("'{}' has {} where {} is expected", key.name, shape(value), wanted),
      std::string(key.meaning)));
}

std::string MapReader::text(std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::text || spec.kind == ValueKind::name || spec.kind == ValueKind::format,
                 "a text read by another kind");
  auto const* value = find(key);
  if (!value) return std::string(spec.standard);
  if (value->kind != YamlNode::Kind::scalar) {
    wrong_type(*value, spec, kind_text(spec));
    return std::string(spec.standard);
  }
  return value->text;
}

std::string MapReader::choice(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::choice);
  auto const* value = find(key);
  if (!value) return std::string(spec.standard);
  if (value->kind == YamlNode::Kind::scalar &&
      std::find(spec.choices.begin(), spec.choices.end(), value->text) != spec.choices.end())
    return value->text;
  const auto near = nearest_word(value->text, {spec.choices.begin(), spec.choices.end()});
  context_->problems.add(context_->source.problem(
      value->offset,
      fmt::format("'{}' is {}", key, value->kind == YamlNode::Kind::scalar ? quoted_for_message(value->text) : shape(*value)),
      fmt::format("expected {}{}", kind_text(spec), near.empty() ? "" : fmt::format("; the nearest is '{}'", near))));
  return std::string(spec.standard);
}

bool MapReader::yes_no(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::yes_no);
  auto const* value = find(key);
  if (!value) return spec.standard == "true";
  if (value->kind == YamlNode::Kind::scalar && (value->text == "true" || value->text == "false"))
    return value->text == "true";
  wrong_type(*value, spec, "true or false");
  return spec.standard == "true";
}

bool MapReader::in_range(YamlNode const& value, KeySpec const& key, double number) const {
  const bool low = key.range.above ? number > key.range.lowest : number >= key.range.lowest;
  if (low && number <= key.range.highest) return true;
  context_->problems.add(context_->source.problem(
      value.offset, fmt::format("'{}' is {}: out of its range ({})", key.name, quoted_for_message(value.text), range_text(key)),
      std::string(key.meaning)));
  return false;
}

std::optional<Length> MapReader::length_in(YamlNode const& value, KeySpec const& key) const {
  if (value.kind != YamlNode::Kind::scalar) {
    if (!value.refused) wrong_type(value, key, "a length");
    return std::nullopt;
  }
  const auto length = read_length(value, *context_);
  if (!length || !in_range(value, key, length->in_millimetres())) return std::nullopt;
  return length;
}

std::optional<Length> read_length(YamlNode const& node, ReadContext const& context) {
  const auto parsed = parse_length(node.text, context.unit);
  if (!parsed) context.problems.add(context.source.problem(node.offset, parsed.fault, parsed.remedy));
  return parsed.value;
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
  if (value.kind != YamlNode::Kind::scalar) {
    if (!value.refused) wrong_type(value, key, "a number");
    return std::nullopt;
  }
  const auto parsed = parse_number(value.text);
  if (!parsed) {
    context_->problems.add(context_->source.problem(value.offset, parsed.fault, parsed.remedy));
    return std::nullopt;
  }
  if (key.kind == ValueKind::whole && std::floor(*parsed.value) != *parsed.value) {
    wrong_type(value, key, "a whole number");
    return std::nullopt;
  }
  if (!in_range(value, key, *parsed.value)) return std::nullopt;
  return parsed.value;
}

std::optional<double> MapReader::optional_number(std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::number || spec.kind == ValueKind::whole, "a number read by another kind");
  if (auto const* value = find(key))
    if (const auto number = number_in(*value, spec)) return number;
  if (spec.standard.empty()) return std::nullopt;
  return parse_number(spec.standard).value;
}

double MapReader::number(std::string_view key) const { return optional_number(key).value_or(0.0); }

long MapReader::whole(std::string_view key) const { return std::lround(number(key)); }

std::vector<Length> MapReader::lengths(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::length_list);
  auto const* value = find(key);
  std::vector<Length> out;
  if (!value) return out;
  if (value->kind != YamlNode::Kind::sequence) {
    wrong_type(*value, spec, "a list of lengths");
    return out;
  }
  for (auto const& item : value->items)
    if (const auto length = length_in(item, spec)) out.push_back(*length);
  return out;
}

std::vector<std::string> MapReader::names(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::name_list);
  auto const* value = find(key);
  std::vector<std::string> out;
  if (!value) return out;
  if (value->kind != YamlNode::Kind::sequence) {
    wrong_type(*value, spec, "a list of names");
    return out;
  }
  for (auto const& item : value->items) {
    if (item.kind == YamlNode::Kind::scalar)
      out.push_back(item.text);
    else if (!item.refused)
      wrong_type(item, spec, "a name");
  }
  return out;
}

std::optional<MapReader> MapReader::map(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::map);
  auto const* value = find(key);
  if (!value) return std::nullopt;
  if (value->kind != YamlNode::Kind::map) {
    wrong_type(*value, spec, kind_text(spec));
    return std::nullopt;
  }
  return MapReader(*value, *spec.map, *context_);
}

std::vector<std::pair<YamlNode const*, YamlNode const*>> MapReader::named(std::string_view key) const {
  auto const& spec = find_key(*spec_, key);
  check_internal(spec.kind == ValueKind::named_maps || spec.kind == ValueKind::machines, "names read by another kind");
  auto const* value = find(key);
  std::vector<std::pair<YamlNode const*, YamlNode const*>> out;
  if (!value) return out;
  if (value->kind != YamlNode::Kind::map) {
    wrong_type(*value, spec, kind_text(spec));
    return out;
  }
  std::set<std::string_view> seen;
  for (auto const& [name, body] : value->entries) {
    if (name.refused) continue;
    if (!is_name(name.text))
      context_->problems.add(context_->source.problem(
          name.offset, fmt::format("the name {} has characters that a name cannot have", quoted_for_message(name.text)),
          "use letters, digits, blanks inside and hyphens"));
    else if (!seen.insert(name.text).second)
      context_->problems.add(context_->source.problem(
          name.offset, fmt::format("the name {} a second time", quoted_for_message(name.text)), "give each a name of its own"));
    else
      out.emplace_back(&name, &body);
  }
  return out;
}

std::vector<YamlNode const*> MapReader::list(std::string_view key) const {
  auto const& spec = spec_of(key, ValueKind::map_list);
  auto const* value = find(key);
  std::vector<YamlNode const*> out;
  if (!value) return out;
  if (value->kind != YamlNode::Kind::sequence) {
    wrong_type(*value, spec, kind_text(spec));
    return out;
  }
  for (auto const& item : value->items) out.push_back(&item);
  return out;
}

std::optional<OpenedFile> open_yaml(SourceText const& source, MapSpec const& spec, Problems& problems) {
  const bool clean_bytes = check_bytes(source, problems);
  if (!clean_bytes || !check_indents(source, problems)) return std::nullopt;
  auto root = parse_yaml(source, problems);
  if (!root) return std::nullopt;
  if (root->kind != YamlNode::Kind::map) {
    problems.add(source.problem(root->offset, fmt::format("{} where {} is expected", shape(*root), spec.name),
                                fmt::format("the file starts with `format: {}`", find_key(spec, "format").standard)));
    return std::nullopt;
  }
  ReadContext context{source, problems};
  const MapReader reader(*root, spec, context);
  auto const& format = find_key(spec, "format");
  if (auto const* value = reader.find("format"); value && value->text != format.standard)
    reader.complain("format", fmt::format("the format is {}", quoted_for_message(value->text)),
                    fmt::format("expected {}", format.standard));
  Unit unit = Unit::inch;
  if (auto const* value = reader.find("unit")) {
    const auto parsed = parse_unit(value->text);
    if (parsed)
      unit = *parsed.value;
    else
      reader.complain("unit", parsed.fault, parsed.remedy);
  }
  return OpenedFile{std::move(*root), unit};
}

}  // namespace stripwright::files
