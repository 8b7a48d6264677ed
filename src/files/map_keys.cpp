#include "files/map_keys.h"

#include <fmt/format.h>

#include <algorithm>

#include "units/parse.h"

namespace stripwright::files {
namespace {

void tell_unknown(YamlNode const& key, MapSpec const& spec, ReadContext const& context) {
  if (!context.problems.keeps(Severity::error)) {
    context.problems.add_unkept(Severity::error);
    return;
  }
  const auto names = key_names(spec);
  const auto near = nearest_word(key.text, names);
  context.tell(key.offset,
               fmt::format("the unknown key {} in {}", quoted_for_message(key.text), spec.name),
               near.empty() ? fmt::format("known here: {}", fmt::join(names, ", "))
                            : fmt::format("the nearest known key is '{}'", near));
}

}  // namespace

std::vector<std::string_view> key_names(MapSpec const& spec) {
  std::vector<std::string_view> names;
  for (auto const& key : spec.keys) names.push_back(key.name);
  return names;
}

void check_map_keys(YamlNode const& map, MapSpec const& spec, ReadContext const& context) {
  std::vector<YamlNode const*> first_of(spec.keys.size());
  for (auto const& entry : map.entries) {
    auto const& key = entry.key;
    if (key.refused) continue;
    const auto known = std::find_if(spec.keys.begin(), spec.keys.end(),
                                    [&](KeySpec const& each) { return each.name == key.text; });
    if (known == spec.keys.end()) {
      tell_unknown(key, spec, context);
      continue;
    }
    auto& first = first_of[static_cast<std::size_t>(known - spec.keys.begin())];
    if (!first)
      first = &key;
    else
      context.tell(key.offset,
                   fmt::format("the key '{}' a second time, first in line {}", known->name,
                               context.source.place(first->offset).line),
                   "keep one of the two");
  }
  for (std::size_t i = 0; i < first_of.size(); ++i) {
    auto const& key = spec.keys[i];
    if (key.required && !first_of[i])
      context.tell(map.offset, fmt::format("{} lacks the key '{}'", spec.name, key.name),
                   fmt::format("add `{}: ...`: {}", key.name, key.meaning));
  }
}

}  // namespace stripwright::files
