#include "keytables/json_schema.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <span>
#include <stdexcept>

#include "keytables/key_words.h"
#include "keytables/written_pattern.h"
#include "units/unit.h"

namespace stripwright::keytables {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;
using Json = nlohmann::ordered_json;

constexpr double kNoLimit = 1e299;

Json number(double value) {
  if (value == std::floor(value)) return static_cast<long>(value);
  return value;
}

/// The range of a plain number in a file of unknown unit: what neither a number of
/// inches nor one of millimetres could mean. Rounded outwards, for people to read.
files::Range in_either_unit(files::Range range) {
  constexpr double kSteps = 1e4;
  const auto inches = [](double mm) { return in_unit(Length::millimetres(mm), Unit::inch); };
  if (std::abs(range.lowest) < kNoLimit)
    range.lowest =
        std::floor(std::min(range.lowest, inches(range.lowest)) * kSteps + 1e-6) / kSteps;
  if (std::abs(range.highest) < kNoLimit)
    range.highest =
        std::ceil(std::max(range.highest, inches(range.highest)) * kSteps - 1e-6) / kSteps;
  return range;
}

/// In draft-07 what stands beside a `$ref` is ignored; beside an `allOf` it is not.
Json with_room_beside(Json schema) {
  if (!schema.contains("$ref")) return schema;
  return {{"allOf", Json::array({std::move(schema)})}};
}

/// Adds the limits that a value does not have from its definition.
Json with_limits(Json schema, files::Range const& range) {
  Json limits = Json::object();
  if (range.lowest > -kNoLimit && range.lowest != 0)
    limits[range.above ? "exclusiveMinimum" : "minimum"] = number(range.lowest);
  if (range.highest < kNoLimit) limits["maximum"] = number(range.highest);
  if (limits.empty()) return schema;
  schema = with_room_beside(std::move(schema));
  schema.update(limits);
  return schema;
}

/// Builds a file's schema; what stands in several places goes under `definitions`.
class SchemaBuilder {
 public:
  Json file(MapSpec const& spec, std::string_view title) {
    Json out = {{"$schema", "http://json-schema.org/draft-07/schema#"}, {"title", title}};
    out.update(map(spec));
    out["definitions"] = std::move(definitions_);
    return out;
  }

 private:
  Json map(MapSpec const& spec) {
    Json properties = Json::object();
    Json required = Json::array();
    for (auto const& key : spec.keys) {
      properties[std::string(key.name)] = described(key);
      if (key.required) required.push_back(key.name);
    }
    Json out = {{"type", "object"}};
    if (!required.empty()) out["required"] = std::move(required);
    out["additionalProperties"] = false;
    out["properties"] = std::move(properties);
    return out;
  }

  Json described(KeySpec const& key) {
    Json out = {{"description", describe(key)}};
    if (!key.standard.empty() && !key.required) out["default"] = standard(key);
    if (key.or_kind == ValueKind::none)
      out.update(with_room_beside(value(key, key.kind)));
    else
      out["anyOf"] = {value(key, key.kind), value(key, key.or_kind)};
    return out;
  }

  static Json standard(KeySpec const& key) {
    const bool plain = key.kind == ValueKind::number || key.kind == ValueKind::whole;
    return plain ? Json::parse(key.standard) : Json(key.standard);
  }

  Json value(KeySpec const& key, ValueKind kind) {
    switch (kind) {
      case ValueKind::none:
        break;
      case ValueKind::format:
        return {{"const", key.standard}};
      case ValueKind::text:
        return {{"type", {"string", "number", "boolean"}}};
      case ValueKind::name:
        return refer("name");
      case ValueKind::unit:
        return {{"enum", {"in", "mm"}}};
      case ValueKind::choice:
        return one_of(key.choices);
      case ValueKind::yes_no:
        return {{"enum", {true, false, "true", "false"}}};
      case ValueKind::length:
        return length(key.range);
      case ValueKind::number:
      case ValueKind::whole:
        return plain_number(key, kind);
      case ValueKind::map:
        return refer(*key.map);
      case ValueKind::named_maps:
        return named(refer(*key.map));
      case ValueKind::machines:
        return named(machine(key.kinds));
      case ValueKind::map_list:
        return {{"type", "array"}, {"items", refer(*key.map)}};
      case ValueKind::length_list:
        return {{"type", "array"}, {"items", length(key.range)}};
      case ValueKind::name_list:
        return {{"type", "array"}, {"items", refer("name")}};
      case ValueKind::text_list:
        return {{"type", "array"}, {"items", {{"type", {"string", "number", "boolean"}}}}};
      case ValueKind::named_lengths:
        return {{"type", "object"}, {"additionalProperties", length(key.range)}};
      case ValueKind::flats_table:
        return flats_table(key.range);
    }
    throw std::logic_error(fmt::format("no schema for the key '{}'", key.name));
  }

  static Json one_of(std::span<const std::string_view> words) {
    Json out = Json::array();
    for (const auto word : words) out.push_back(word);
    return {{"enum", std::move(out)}};
  }

  Json length(files::Range const& range) {
    return with_limits(signed_value("length", range), in_either_unit(range));
  }

  Json plain_number(KeySpec const& key, ValueKind kind) {
    return with_limits(
        signed_value(kind == ValueKind::whole ? "whole number" : "number", key.range), key.range);
  }

  /// Refers to `length`, `length from 0` or `length above 0`.
  Json signed_value(std::string name, files::Range const& range) {
    if (range.lowest > 0 || (range.lowest == 0 && range.above))
      name += " above 0";
    else if (range.lowest == 0)
      name += " from 0";
    return refer(name);
  }

  Json named(Json const& what) {
    return {{"type", "object"},
            {"additionalProperties", false},
            {"patternProperties", {{name_pattern(), what}}}};
  }

  /// The keys depend on the kind. Told by conditions rather than alternatives, so that
  /// an editor complains about the keys of the kind that is written.
  Json machine(std::span<const files::KindSpec> kinds) {
    Json words = Json::array();
    Json conditions = Json::array();
    for (auto const& kind : kinds) {
      words.push_back(kind.word);
      const Json is_kind = {{"required", Json::array({"kind"})},
                            {"properties", {{"kind", {{"const", kind.word}}}}}};
      conditions.push_back({{"if", is_kind}, {"then", refer(kind.map)}});
    }
    return {{"type", "object"},
            {"required", Json::array({"kind"})},
            {"properties", {{"kind", {{"enum", std::move(words)}}}}},
            {"allOf", std::move(conditions)}};
  }

  Json flats_table(files::Range const& range) {
    return {{"type", "object"},
            {"minProperties", 2},
            {"additionalProperties", false},
            {"patternProperties", {{length_pattern(Sign::any), length(range)}}}};
  }

  static Json reference(std::string const& name) { return {{"$ref", "#/definitions/" + name}}; }

  Json refer(MapSpec const& spec) {
    const std::string name = hyphened(spec.name);
    if (!definitions_.contains(name)) {
      definitions_[name] = nullptr;  // keeps the order of first mention
      Json built = map(spec);
      definitions_[name] = std::move(built);
    }
    return reference(name);
  }

  Json refer(std::string const& name) {
    const std::string key = hyphened(name);
    if (!definitions_.contains(key)) definitions_[key] = written(name);
    return reference(key);
  }

  static Json written(std::string_view name) {
    if (name == "name")
      return {{"type", {"string", "integer", "boolean"}}, {"pattern", name_pattern()}};
    const Sign sign = name.ends_with(" 0") ? Sign::no_minus : Sign::any;
    Json out;
    if (name.starts_with("length"))
      out = {{"type", {"number", "string"}}, {"pattern", length_pattern(sign)}};
    else if (name.starts_with("number"))
      out = {{"type", {"number", "string"}}, {"pattern", number_pattern(sign)}};
    else
      out = {{"type", {"integer", "string"}}, {"pattern", whole_pattern(sign)}};
    if (name.ends_with("from 0")) out["minimum"] = 0;
    if (name.ends_with("above 0")) {
      out["exclusiveMinimum"] = 0;
      out["not"] = {{"type", "string"}, {"pattern", zero_pattern()}};
    }
    return out;
  }

  Json definitions_ = Json::object();
};

}  // namespace

std::string json_schema(MapSpec const& file, std::string_view title) {
  return SchemaBuilder().file(file, title).dump(2) + "\n";
}

}  // namespace stripwright::keytables
