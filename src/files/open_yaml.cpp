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

/// Our other files, and where each belongs.
struct OtherFile {
  std::string_view format;
  std::string_view name;
  std::string_view belongs;
};
constexpr OtherFile kFiles[] = {
    {"stripwright-taper-1", "a taper file", "tapers are named by themselves: TAPER"},
    {"stripwright-shop-1", "a shop file", "shops are named with --shop"},
    {"stripwright-ring-1", "a ring file", "ring files are for stripwright learn"},
    {"stripwright-correction-1", "a correction file", "corrections are named with --correction"},
};

/// True, and the one complaint, if it is another of our files: all its keys would be unknown.
bool is_another_file(MapReader const& file, MapSpec const& spec) {
  auto const* value = file.find("format");
  if (!value || value->kind != YamlNode::Kind::scalar) return false;
  if (value->text == find_key(spec, "format").standard) return false;
  for (auto const& other : kFiles) {
    if (value->text != other.format) continue;
    file.complain("format", fmt::format("this is {}, where {} is expected", other.name, spec.name),
                  std::string(other.belongs));
    return true;
  }
  return false;
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
  {
    // Its keys are not looked at yet: they may all be of the wrong kind of file.
    const MapReader unread(*root, spec, context, false);
    if (is_another_file(unread, spec)) return std::nullopt;
  }
  const MapReader reader(*root, spec, context);
  check_format(reader, find_key(spec, "format"));
  const Unit unit = read_unit(reader);
  auto const* written = reader.find("unit");
  const auto unit_line = written ? source.place(written->offset).line : 0;
  return OpenedFile{std::move(*root), unit, unit_line};
}

}  // namespace stripwright::files
