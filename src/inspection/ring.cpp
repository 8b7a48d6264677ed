#include "inspection/ring.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <utility>

#include "diagnostics/utf8.h"
#include "files/map_reader.h"
#include "inspection/ring_keys.h"
#include "units/parse.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::YamlNode;
using inspection::Stage;

class RingReader {
 public:
  RingReader(files::SourceText const& source, files::OpenedFile const& file, Problems& problems)
      : folder_(std::filesystem::path(source.name()).parent_path()),
        context_{source, problems, file.unit, file.unit_line},
        file_(file.root, ring_file_keys(), context_, false) {}

  Ring read() {
    Ring ring;
    ring.name = printable(std::filesystem::path(context_.source.name()).stem().string());
    ring.unit = context_.unit;
    ring.taper = path(file_, "taper");
    ring.section = file_.line("section");
    if (file_.has("section") && !files::is_name(ring.section))
      file_.complain("section",
                     fmt::format("{} cannot be a section's name", quoted_for_message(ring.section)),
                     "name one of the taper's sections");
    ring.rod = file_.line("rod");
    ring.piece = file_.line("piece");
    ring.marked = file_.yes_no("marked");
    read_strips(ring);
    read_shifts(ring);
    if (const auto moisture = file_.map("moisture"))
      for (const Stage stage : kStages)
        if (const auto percent = moisture->optional_number(word(stage)))
          ring.percent_moisture[stage] = *percent;
    if (const auto readings = file_.map("readings"))
      for (const Stage stage : kStages)
        if (readings->has(word(stage))) ring.readings[stage] = path(*readings, word(stage));
    return ring;
  }

 private:
  static constexpr Stage kStages[] = {Stage::milled, Stage::ready, Stage::glued, Stage::bare,
                                      Stage::varnished};

  std::string path(MapReader const& map, std::string_view key) const {
    const auto written = map.line(key);
    if (written.empty()) {
      if (map.has(key))
        map.complain(key, fmt::format("'{}' names no file", key), "write a file's name");
      return {};
    }
    return (folder_ / written).string();
  }

  void read_strips(Ring& ring) {
    auto const* list = file_.find("strips");
    if (!list) return;
    if (!file_.has_items("strips", kStripsInARing)) {
      file_.complain("strips",
                     list->kind == YamlNode::Kind::sequence
                         ? fmt::format("{} strips where six make a section", list->items.size())
                         : fmt::format("'strips' has {}", files::shape(*list)),
                     "list the six names in their order round the section: [s1, s2, ...]");
      return;
    }
    for (std::size_t i = 0; i < kStripsInARing; ++i) {
      auto const& item = list->items[i];
      if (item.refused) continue;
      const auto known = ring.strips.begin() + static_cast<std::ptrdiff_t>(i);
      if (item.kind != YamlNode::Kind::scalar || item.text.empty() ||
          item.text.find('\n') != std::string::npos)
        context_.tell(item.offset, "no strip's name",
                      "write the name that the strip has in its readings");
      else if (std::find(ring.strips.begin(), known, item.text) != known)
        context_.tell(item.offset,
                      fmt::format("the strip {} a second time", quoted_for_message(item.text)),
                      "a ring has six different strips");
      else
        ring.strips[i] = item.text;
    }
  }

  void read_shifts(Ring& ring) {
    auto const* shifts = file_.find("shifts");
    const bool strips_known = std::none_of(ring.strips.begin(), ring.strips.end(),
                                           [](auto const& name) { return name.empty(); });
    if (!strips_known || !shifts) return;
    if (shifts->kind != YamlNode::Kind::map) {
      file_.complain("shifts", fmt::format("'shifts' has {}", files::shape(*shifts)),
                     "write each moved strip with its way towards the tip: {s9: 0.5}");
      return;
    }
    std::array<bool, kStripsInARing> read{};
    for (auto const& [key, value] : shifts->entries) {
      if (key.refused || value.refused) continue;
      const auto found = std::find(ring.strips.begin(), ring.strips.end(), key.text);
      if (found == ring.strips.end()) {
        const auto near = nearest_word(key.text, {ring.strips.begin(), ring.strips.end()});
        context_.tell(
            key.offset,
            fmt::format("a shift of {}, which is not in the ring", quoted_for_message(key.text)),
            near.empty() ? "name one of the six strips" : fmt::format("the nearest is '{}'", near));
        continue;
      }
      const auto i = static_cast<std::size_t>(found - ring.strips.begin());
      if (std::exchange(read[i], true))
        context_.tell(key.offset,
                      fmt::format("the shift of {} a second time", quoted_for_message(key.text)),
                      "keep one of the two");
      else
        read_shift(value, ring.shifts[i]);
    }
  }

  void read_shift(YamlNode const& value, Length& shift) const {
    if (value.kind != YamlNode::Kind::scalar)
      return context_.tell(value.offset,
                           fmt::format("{} where a length is expected", files::shape(value)),
                           "how far the strip was moved towards the tip");
    const auto length = files::read_length(value, context_);
    if (!length) return;
    auto const& key = files::find_key(ring_file_keys(), "shifts");
    if (files::in_range(key.range, length->in_millimetres()))
      shift = *length;
    else
      context_.tell_out_of_range(value, *length, key, "a shift of ", "", std::string(key.meaning));
  }

  std::filesystem::path folder_;
  files::ReadContext context_;
  MapReader file_;
};

}  // namespace

std::optional<Ring> read_ring(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto file = files::open_yaml(source, ring_file_keys(), problems);
  if (!file) return std::nullopt;
  Ring ring = RingReader(source, *file, problems).read();
  if (problems.errors() > errors_before) return std::nullopt;
  return ring;
}

}  // namespace stripwright
