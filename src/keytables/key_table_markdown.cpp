#include "keytables/key_table_markdown.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <vector>

#include "keytables/key_words.h"

namespace stripwright::keytables {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

/// A map of the file and where it may stand.
struct PlacedMap {
  MapSpec const* spec;
  std::vector<std::string> places;
};

class MapCollector {
 public:
  explicit MapCollector(MapSpec const& file) { collect_below(file, ""); }
  std::vector<PlacedMap> take() { return std::move(maps_); }

 private:
  // The maps of a map follow it at once, so that a reader finds them near by.
  void collect_below(MapSpec const& spec, std::string const& place) {
    for (auto const& key : spec.keys) {
      const std::string here = place + (place.empty() ? "" : " ") + std::string(key.name) + ":";
      if (key.kind == ValueKind::named_maps) {
        collect(*key.map, here + " NAME:");
      } else if (key.kind == ValueKind::machines) {
        for (auto const& kind : key.kinds) collect(kind.map, here + " NAME:");
      } else if (key.map) {
        collect(*key.map, here);
      }
    }
  }

  void collect(MapSpec const& spec, std::string const& place) {
    const auto known = std::find_if(maps_.begin(), maps_.end(), [&](PlacedMap const& map) {
      return map.spec->name == spec.name;
    });
    if (known == maps_.end()) {
      maps_.push_back({&spec, {place}});
    } else if (std::find(known->places.begin(), known->places.end(), place) ==
               known->places.end()) {
      known->places.push_back(place);
    }
    collect_below(spec, place);
  }

  std::vector<PlacedMap> maps_;
};

std::string link(MapSpec const& spec) {
  return fmt::format("[{}](#{})", spec.name, hyphened(spec.name));
}

std::string links(KeySpec const& key) {
  if (key.map) return ": " + link(*key.map);
  std::string out;
  for (auto const& kind : key.kinds) out += (out.empty() ? ": " : ", ") + link(kind.map);
  return out;
}

std::string left_out(KeySpec const& key) {
  if (key.required) return "must be there";
  return std::string(key.standard);
}

/// A bar would end the cell.
std::string cell(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '|') out += '\\';
    out += c;
  }
  return out;
}

std::string table(MapSpec const& spec) {
  std::string out = "| key | what it may be | if left out | meaning |\n| --- | --- | --- | --- |\n";
  for (auto const& key : spec.keys)
    out += fmt::format("| `{}` | {} | {} | {} |\n", key.name, cell(what_it_may_be(key, links(key))),
                       cell(left_out(key)), cell(key.meaning));
  return out;
}

/// `A section`, from the table's `a section`.
std::string heading(std::string_view name) {
  std::string out(name);
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z')
    out[0] = static_cast<char>(out[0] - 'a' + 'A');
  return out;
}

}  // namespace

std::string key_table_markdown(MapSpec const& file) {
  std::string out = table(file);
  for (auto const& [spec, places] : MapCollector(file).take())
    out += fmt::format("\n#### {}\n\nUnder `{}`.\n\n{}", heading(spec->name),
                       fmt::join(places, "` and `"), table(*spec));
  return out;
}

}  // namespace stripwright::keytables
