#include <fmt/format.h>

#include "files/map_reader.h"
#include "units/parse.h"

namespace stripwright::files {
namespace {

void refuse_root(YamlNode const& root, MapSpec const& spec, ReadContext const& context) {
  auto remedy = fmt::format("the file starts with `format: {}`", find_key(spec, "format").standard);
  // `unit:in` is one word to YAML.
  if (root.kind == YamlNode::Kind::scalar && root.text.find(':') != std::string::npos)
    remedy += "; a blank follows each colon";
  context.tell(root.offset, fmt::format("{} where {} is expected", shape(root), spec.name), remedy);
}

void check_format(MapReader const& file, KeySpec const& format) {
  auto const* value = file.find("format");
  if (!value || (value->kind == YamlNode::Kind::scalar && value->text == format.standard)) return;
  const bool scalar = value->kind == YamlNode::Kind::scalar;
  file.complain("format",
                fmt::format("the format is {}",
                            scalar ? quoted_for_message(value->text) : std::string(shape(*value))),
                fmt::format("expected {}", format.standard));
}

Unit read_unit(MapReader const& file) {
  auto const* value = file.find("unit");
  if (!value) return Unit::inch;
  if (value->kind != YamlNode::Kind::scalar) {
    file.complain("unit", fmt::format("'unit' has {}", shape(*value)), "write in or mm");
    return Unit::inch;
  }
  const auto unit = parse_unit(value->text);
  if (!unit) file.complain("unit", unit.fault, unit.remedy);
  return unit.value.value_or(Unit::inch);
}

}  // namespace

std::optional<OpenedFile> open_yaml(SourceText const& source, MapSpec const& spec,
                                    Problems& problems) {
  const bool clean_bytes = check_bytes(source, problems);
  if (!clean_bytes || !check_indents(source, problems)) return std::nullopt;
  auto root = parse_yaml(source, problems);
  if (!root) return std::nullopt;
  const ReadContext context{source, problems};
  if (root->kind != YamlNode::Kind::map) {
    if (!root->refused) refuse_root(*root, spec, context);
    return std::nullopt;
  }
  const MapReader reader(*root, spec, context);
  check_format(reader, find_key(spec, "format"));
  const Unit unit = read_unit(reader);
  return OpenedFile{std::move(*root), unit};
}

}  // namespace stripwright::files
