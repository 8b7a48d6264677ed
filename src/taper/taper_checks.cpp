#include "taper/taper_checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_set>

#include "files/slug.h"
#include "taper/taper_curve.h"
#include "units/format.h"

namespace stripwright {
namespace {

using files::ReadContext;
using WrittenPoint = Written<TaperPoint>;
using WrittenSection = Written<RodSection>;

constexpr Length kThinnestPlausible = Length::millimetres(1);
constexpr Length kThickestPlausible = Length::millimetres(25);
/// Across flats per length. On screws 5 in apart a bar bent over half this step (the
/// strip has half the flats' slope) misses it by about 1/15 of step times pitch:
/// 0.017 mm, more than half a usual tolerance.
constexpr double kSteepestStepOfSlope = 0.004;
/// Slopes are taken over half a usual form's pitch either way: between stations closer
/// than that the last figure of a measured taper makes steps of slope that no bar sees.
constexpr Length kSlopeOver = Length::inches(2.5);

/// A length or a station as messages show it.
class Show {
 public:
  explicit Show(ReadContext const& context) : unit_(context.unit) {}
  std::string operator()(Length length) const { return format_short(length, unit_); }
  std::string operator()(Station station) const { return (*this)(station.from_zero()); }

 private:
  Unit unit_;
};

void warn(ReadContext const& context, std::size_t offset, std::string what, std::string remedy) {
  context.tell(offset, std::move(what), std::move(remedy), Severity::warning);
}

void warn_of_sizes(std::vector<WrittenPoint> const& points, ReadContext const& context) {
  const auto odd = [](WrittenPoint const& point) {
    return point.value.flats < kThinnestPlausible || point.value.flats > kThickestPlausible;
  };
  const auto first = std::find_if(points.begin(), points.end(), odd);
  if (first == points.end()) return;
  const auto count = std::count_if(points.begin(), points.end(), odd);
  const Show show(context);
  warn(context, first->offset,
       fmt::format("{} across flats at {}{}: under 1 mm or over 25 mm", show(first->value.flats),
                   show(first->value.at),
                   count > 1 ? fmt::format(" (and at {} more stations)", count - 1) : ""),
       "are inch and millimetre mixed up?");
}

void warn_of_falls(std::vector<WrittenPoint> const& points, ReadContext const& context) {
  const Show show(context);
  for (std::size_t i = 1; i < points.size(); ++i) {
    auto const& before = points[i - 1].value;
    auto const& point = points[i].value;
    if (point.flats < before.flats)
      warn(context, points[i].offset,
           fmt::format("the taper falls towards the butt: {} at {}, then {} at {}",
                       show(before.flats), show(before.at), show(point.flats), show(point.at)),
           "right if a hinge is meant");
  }
}

double slope(TaperPoint const& a, TaperPoint const& b) {
  return (b.flats - a.flats) / (b.at - a.at);
}

/// The slopes on both sides of a station, over `kSlopeOver` or, near the taper's ends,
/// as far as there is any on both sides; the step between them counts by the share of
/// `kSlopeOver` that there is, because so much less does a bar miss it by.
void warn_of_step(TaperCurve const& curve, WrittenPoint const& point, ReadContext const& context) {
  const Station at = point.value.at;
  const auto ends = curve.points();
  const Length over = std::min({kSlopeOver, at - ends.front(), ends.back() - at});
  const double before = (point.value.flats - curve.flats(at - over)) / over;
  const double after = (curve.flats(at + over) - point.value.flats) / over;
  if (std::abs(after - before) * (over / kSlopeOver) <= kSteepestStepOfSlope) return;
  warn(context, point.offset,
       fmt::format("a step of slope at {} that no bar follows: the flats grow by {} of the length "
                   "before it, by {} behind it",
                   Show(context)(at), format_short(before, 4), format_short(after, 4)),
       "check the figures there, or spread the step over more stations");
}

void warn_of_steps(std::vector<WrittenPoint> const& points, ReadContext const& context) {
  if (points.size() < 3) return;  // where one of two stations was refused there is no curve either
  Taper taper;
  taper.points.reserve(points.size());
  for (auto const& point : points) taper.points.push_back(point.value);
  const TaperCurve curve(taper);
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    const double step =
        slope(points[i].value, points[i + 1].value) - slope(points[i - 1].value, points[i].value);
    if (std::abs(step) > kSteepestStepOfSlope) warn_of_step(curve, points[i], context);
  }
}

void check_section(WrittenSection const& written, Taper const& taper, ReadContext const& context) {
  auto const& section = written.value;
  const Show show(context);
  const auto span =
      fmt::format("section '{}' from {} to {}", section.name, show(section.from), show(section.to));
  constexpr auto kToIsFurther = "'to' lies further from the tip than 'from'";
  if (same_place(section.from, section.to))
    context.tell(written.offset, span + " is empty", kToIsFurther);
  else if (section.to < section.from)
    context.tell(written.offset, span + " runs backwards", kToIsFurther);
  else if (taper.points.size() >= 2 && (section.from < taper.tip_end() - kSamePlace ||
                                        section.to > taper.butt_end() + kSamePlace))
    context.tell(written.offset, span + " leaves the taper",
                 fmt::format("the taper goes from {} to {}; give it more stations, or make the "
                             "section shorter",
                             show(taper.tip_end()), show(taper.butt_end())));
}

void check_neighbours(WrittenSection const& towards_tip, WrittenSection const& towards_butt,
                      ReadContext const& context) {
  auto const& a = towards_tip.value;
  auto const& b = towards_butt.value;
  const Show show(context);
  if (b.from < a.to - kSamePlace)
    context.tell(towards_butt.offset,
                 fmt::format("section '{}' begins at {}, before '{}' ends at {}", b.name,
                             show(b.from), a.name, show(a.to)),
                 "sections may touch, but not overlap");
  else if (b.from > a.to + kSamePlace)
    warn(context, towards_butt.offset,
         fmt::format("a gap between section '{}' (to {}) and '{}' (from {})", a.name, show(a.to),
                     b.name, show(b.from)),
         "right if cane is left out there");
}

/// All the places where a section ends, in order.
std::vector<Station> section_ends(Taper const& taper) {
  std::vector<Station> ends;
  for (auto const& section : taper.sections) {
    ends.push_back(section.from);
    ends.push_back(section.to);
  }
  std::sort(ends.begin(), ends.end());
  return ends;
}

bool is_near_any(Station at, std::vector<Station> const& sorted) {
  const auto next = std::lower_bound(sorted.begin(), sorted.end(), at - kSamePlace);
  return next != sorted.end() && same_place(*next, at);
}

}  // namespace

void warn_of_odd_stations(std::vector<WrittenPoint> const& points, Between between,
                          ReadContext const& context) {
  warn_of_sizes(points, context);
  warn_of_falls(points, context);
  if (between == Between::linear) warn_of_steps(points, context);
}

void check_sections(std::vector<WrittenSection> const& sections, Taper const& taper,
                    ReadContext const& context) {
  std::unordered_set<std::string> files_names;
  for (auto const& section : sections) {
    check_section(section, taper, context);
    if (!files_names.insert(files::file_slug(section.value.name)).second)
      context.tell(section.offset,
                   fmt::format("section '{}' has the name of another but for capitals, blanks or "
                               "hyphens",
                               section.value.name),
                   "their files would have one name; rename one");
  }
  for (std::size_t i = 1; i < sections.size(); ++i)
    check_neighbours(sections[i - 1], sections[i], context);
}

void check_ferrules(std::vector<Written<Ferrule>> const& ferrules, Taper const& taper,
                    ReadContext const& context) {
  if (ferrules.empty()) return;
  const Show show(context);
  const TaperCurve curve(taper);
  const auto ends = section_ends(taper);
  for (auto const& [ferrule, offset] : ferrules) {
    if (ferrule.at < taper.tip_end() - kSamePlace || ferrule.at > taper.butt_end() + kSamePlace) {
      context.tell(offset, fmt::format("a ferrule at {}, beyond the taper", show(ferrule.at)),
                   fmt::format("the taper goes from {} to {}", show(taper.tip_end()),
                               show(taper.butt_end())));
      continue;
    }
    if (!is_near_any(ferrule.at, ends))
      warn(context, offset, fmt::format("a ferrule at {}, where no section ends", show(ferrule.at)),
           "check the station");
    const Length flats = curve.flats(ferrule.at);
    if (ferrule.bore > flats)
      warn(
          context, offset,
          fmt::format("a ferrule at {} with a bore of {}, over {} across flats: no cane is left to "
                      "turn down",
                      show(ferrule.at), show(ferrule.bore), show(flats)),
          "take a smaller ferrule, or check the taper there");
  }
}

}  // namespace stripwright
