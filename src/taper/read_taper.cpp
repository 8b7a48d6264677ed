#include "taper/read_taper.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "files/map_reader.h"
#include "taper/taper_curve.h"
#include "taper/taper_keys.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright {
namespace {

using files::MapReader;
using files::ReadContext;
using files::YamlNode;

constexpr Length kThinnestPlausible = Length::millimetres(1);
constexpr Length kThickestPlausible = Length::millimetres(25);
/// Across flats per length. On screws 5 in apart a bar bent over half this step (the
/// strip has half the flats' slope) misses it by about 1/15 of step times pitch:
/// 0.017 mm, more than half a usual tolerance.
constexpr double kSteepestStepOfSlope = 0.004;

/// A value with the place it was written at.
template <class T>
struct Written {
  T value;
  std::size_t offset;
};
using WrittenPoint = Written<TaperPoint>;
using WrittenSection = Written<RodSection>;

class TaperReader {
 public:
  TaperReader(files::SourceText const& source, files::OpenedFile const& file, Problems& problems)
      : source_(source), problems_(problems), context_{source, problems, file.unit}, file_(file.root, taper_file_keys(), context_, false) {}

  Taper read() {
    Taper taper;
    taper.unit = context_.unit;
    taper.name = file_.has("name") ? file_.text("name") : std::filesystem::path(source_.name()).stem().string();
    taper.about = file_.text("about");
    taper.measured = file_.choice("measured") == "bare" ? Measured::bare : Measured::varnished;
    taper.between = file_.choice("between") == "linear" ? Between::linear : Between::smooth;
    read_points(taper);
    read_sections(taper);
    read_ferrules(taper);
    return taper;
  }

 private:
  std::string show(Length length) const { return format_short(length, context_.unit); }
  std::string show(Station station) const { return show(station.from_zero()); }

  void warn(std::size_t offset, std::string what, std::string remedy) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy), Severity::warning));
  }
  void refuse(std::size_t offset, std::string what, std::string remedy) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  }

  std::optional<WrittenPoint> read_point(YamlNode const& key, YamlNode const& value) {
    if (key.refused || value.refused) return std::nullopt;
    const auto at = files::read_length(key, context_);
    if (value.kind != YamlNode::Kind::scalar) {
      refuse(value.offset, fmt::format("no across flats at station {}", quoted_for_message(key.text)), "write `station: across flats`");
      return std::nullopt;
    }
    const auto flats = files::read_length(value, context_);
    if (!at || !flats) return std::nullopt;
    auto const& range = files::find_key(taper_file_keys(), "taper").range;
    const double mm = flats->in_millimetres();
    if (mm <= range.lowest || mm > range.highest) {
      refuse(value.offset, fmt::format("across flats of {}", quoted_for_message(value.text)), "across flats are above 0 and at most 100 mm");
      return std::nullopt;
    }
    return WrittenPoint{{Station(*at), *flats}, value.offset};
  }

  void read_points(Taper& taper) {
    auto const* table = file_.find("taper");
    if (!table) return;
    if (table->kind != YamlNode::Kind::map) {
      refuse(table->offset, "'taper' is not a table of stations", "write a line `station: across flats` for each station");
      return;
    }
    std::vector<WrittenPoint> points;
    points.reserve(table->entries.size());
    for (auto const& [key, value] : table->entries)
      if (auto point = read_point(key, value)) {
        point->offset = key.offset;
        points.push_back(*point);
      }
    std::stable_sort(points.begin(), points.end(), [](auto const& a, auto const& b) { return a.value.at < b.value.at; });
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
      if (same_place(points[i].value.at, points[i + 1].value.at))
        refuse(points[i + 1].offset, fmt::format("the station {} a second time", show(points[i].value.at)), "keep one of the two lines");
    if (table->entries.size() < 2) refuse(table->offset, "a taper of fewer than two stations", "give at least the tip end and the butt end");
    for (auto const& point : points) taper.points.push_back(point.value);
    if (!problems_.any_error()) check_points(points, taper);
  }

  void check_points(std::vector<WrittenPoint> const& points, Taper const& taper) {
    check_size(points);
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
      if (points[i + 1].value.flats < points[i].value.flats)
        warn(points[i + 1].offset, fmt::format("the taper falls towards the butt at {}: from {} to {}", show(points[i + 1].value.at), show(points[i].value.flats), show(points[i + 1].value.flats)),
             "right if a hinge is meant");
    if (taper.between == Between::smooth) return;
    const TaperCurve curve(taper);
    for (std::size_t i = 1; i + 1 < points.size(); ++i) {
      const Station at = points[i].value.at;
      const double step = curve.slope_towards_butt(at) - curve.slope_towards_tip(at);
      if (std::abs(step) > kSteepestStepOfSlope)
        warn(points[i].offset, fmt::format("a step of slope at {} that no bar follows: {} to {} across flats per unit of length", show(at), format_short(curve.slope_towards_tip(at), 4), format_short(curve.slope_towards_butt(at), 4)),
             "check the figures there, or spread the step over more stations");
    }
  }

  void check_size(std::vector<WrittenPoint> const& points) {
    const auto odd = [](auto const& point) { return point.value.flats < kThinnestPlausible || point.value.flats > kThickestPlausible; };
    const auto first = std::find_if(points.begin(), points.end(), odd);
    if (first == points.end()) return;
    const auto count = std::count_if(points.begin(), points.end(), odd);
    warn(first->offset, fmt::format("{} across flats at {}{}: under 1 mm or over 25 mm", show(first->value.flats), show(first->value.at), count > 1 ? fmt::format(" and at {} more stations", count - 1) : ""),
         "are inch and millimetre mixed up?");
  }

  void read_sections(Taper& taper) {
    if (!file_.has("sections")) {
      if (taper.points.size() >= 2) taper.sections.push_back({"rod", taper.tip_end(), taper.butt_end(), 1});
      return;
    }
    const auto errors_before = problems_.errors();
    const auto named = file_.named("sections");
    if (named.empty() && problems_.errors() == errors_before) file_.complain("sections", "no section under 'sections'", "name at least one, or leave the key out");
    std::vector<WrittenSection> sections;
    for (auto const& [name, body] : named) {
      const MapReader reader(*body, taper_section_keys(), context_);
      if (body->kind != YamlNode::Kind::map) continue;
      const auto errors = problems_.errors();
      RodSection section{name->text, Station(reader.length("from")), Station(reader.length("to")), reader.whole("make")};
      if (problems_.errors() == errors && reader.has("from") && reader.has("to")) sections.push_back({section, name->offset});
    }
    check_sections(sections, taper);
    for (auto const& section : sections) taper.sections.push_back(section.value);
  }

  void check_sections(std::vector<WrittenSection>& sections, Taper const& taper) {
    for (auto const& [section, offset] : sections) {
      const std::string span = fmt::format("section '{}' from {} to {}", section.name, show(section.from), show(section.to));
      if (same_place(section.from, section.to))
        refuse(offset, span + " is empty", "'to' lies further from the tip than 'from'");
      else if (section.to < section.from)
        refuse(offset, span + " runs backwards", "'to' lies further from the tip than 'from'");
      else if (taper.points.size() >= 2 && (section.from < taper.tip_end() - kSamePlace || section.to > taper.butt_end() + kSamePlace))
        refuse(offset, span + " leaves the taper", fmt::format("the taper goes from {} to {}", show(taper.tip_end()), show(taper.butt_end())));
    }
    std::stable_sort(sections.begin(), sections.end(), [](auto const& a, auto const& b) { return a.value.from < b.value.from; });
    for (std::size_t i = 0; i + 1 < sections.size(); ++i) {
      auto const& [a, a_offset] = sections[i];
      auto const& [b, b_offset] = sections[i + 1];
      if (b.from < a.to - kSamePlace)
        refuse(b_offset, fmt::format("section '{}' begins at {}, before '{}' ends at {}", b.name, show(b.from), a.name, show(a.to)), "sections may touch, but not overlap");
      else if (b.from > a.to + kSamePlace)
        warn(b_offset, fmt::format("a gap between section '{}' (to {}) and '{}' (from {})", a.name, show(a.to), b.name, show(b.from)), "right if cane is left out there");
    }
  }

  void read_ferrules(Taper& taper) {
    for (auto const* item : file_.list("ferrules")) {
      const MapReader reader(*item, taper_ferrule_keys(), context_);
      if (item->kind != YamlNode::Kind::map) continue;
      const auto errors = problems_.errors();
      const Ferrule ferrule{Station(reader.length("at")), reader.length("bore")};
      if (problems_.errors() > errors || !reader.has("at") || !reader.has("bore")) continue;
      taper.ferrules.push_back(ferrule);
      if (!problems_.any_error()) check_ferrule(ferrule, reader, taper);
    }
  }

  void check_ferrule(Ferrule const& ferrule, MapReader const& reader, Taper const& taper) {
    if (ferrule.at < taper.tip_end() - kSamePlace || ferrule.at > taper.butt_end() + kSamePlace) {
      reader.complain("at", fmt::format("a ferrule at {}, beyond the taper", show(ferrule.at)), fmt::format("the taper goes from {} to {}", show(taper.tip_end()), show(taper.butt_end())));
      return;
    }
    const bool at_end = std::any_of(taper.sections.begin(), taper.sections.end(), [&](RodSection const& s) { return same_place(s.from, ferrule.at) || same_place(s.to, ferrule.at); });
    if (!at_end) reader.complain("at", fmt::format("a ferrule at {}, where no section ends", show(ferrule.at)), "check the station", Severity::warning);
    const Length flats = TaperCurve(taper).flats(ferrule.at);
    if (ferrule.bore > flats)
      reader.complain("bore", fmt::format("a bore of {} over {} across flats: no cane is left to turn down", show(ferrule.bore), show(flats)), "take a smaller ferrule, or check the taper there", Severity::warning);
  }

  files::SourceText const& source_;
  Problems& problems_;
  ReadContext context_;
  MapReader file_;
};

}  // namespace

std::optional<Taper> read_taper(files::SourceText const& source, Problems& problems) {
  const auto errors_before = problems.errors();
  const auto file = files::open_yaml(source, taper_file_keys(), problems);
  if (!file) return std::nullopt;
  Taper taper = TaperReader(source, *file, problems).read();
  if (problems.errors() > errors_before) return std::nullopt;
  return taper;
}

}  // namespace stripwright
