#include "machine/pattern_mill.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <cmath>

#include "machine/outline.h"
#include "machine/plain.h"
#include "section/crossing.h"
#include "units/format.h"

namespace stripwright::machine {

using plain::mm;
using section::Side;

namespace {

/// No knife follows a line that is drawn finer than this.
constexpr Length kFinestOutline = Length::millimetres(0.0001);
/// What the pattern is longer than it would have to be, at each end.
constexpr Length kToSpare = Length::millimetres(2);

/// How far before the strip's end a cutter standing d below the rough strip's top touches it:
/// sqrt(R² - (R-d)²), at most R.
Length cutter_reach(Length radius, Length depth) {
  const double r = mm(radius), d = std::clamp(mm(depth), 0.0, r);
  return plain::length(std::sqrt(d * (2 * r - d)));
}

struct Stretch {
  Station from, to;
};

class PatternMaker {
 public:
  PatternMaker(PatternMill const& mill, Job const& job, Length rough_height)
      : mill_(mill),
        job_(job),
        touched_(touched(rough_height)),
        cutter_(*job.passes.back().strip, mill.cutter_radius, touched_.from, touched_.to),
        drawn_(drawn()),
        pattern_(cutter_, mill.follower_radius, mill.pattern_per_cutter, mill.base, drawn_.from,
                 drawn_.to) {}

  CutterCurve const& cutter() const { return cutter_; }
  PatternCurve const& pattern() const { return pattern_; }
  Length run() const { return touched_.to - touched_.from; }

  std::vector<OutlinePoint> points(std::vector<Station> const& places) const {
    const Station from = job_.placement.strip_tip_end(), to = job_.placement.strip_butt_end();
    // A curve's line between two of its points may come to lie up to twice as far off it when
    // further points of the curve are put in; hence half for the one that is done first.
    std::vector<Station> must = places;
    for (auto const& point : outline(pattern_, from, to, kPointTolerance / 2, places))
      must.push_back(point.at);
    return outline(cutter_, from, to, kPointTolerance, must);
  }

  std::vector<DrawnPoint> drawing() const {
    namespace bg = boost::geometry;
    using Point = bg::model::d2::point_xy<double>;
    const Length within = std::max(mill_.outline_tolerance, kFinestOutline) / 2;
    bg::model::linestring<Point> fine, simple;
    for (auto const& point : outline(pattern_, drawn_.from, drawn_.to, within, {}))
      fine.emplace_back(mm(point.at), mm(point.height));
    bg::simplify(fine, simple, mm(within));
    std::vector<DrawnPoint> out;
    for (auto const& point : simple)
      out.push_back(
          {job_.placement.machine_at(plain::station(point.x())), plain::length(point.y())});
    by_machine_position(out, job_.placement);
    return out;
  }

 private:
  /// Where the cutter may stand while it touches the rough strip.
  Stretch touched(Length rough_height) const {
    const Station from = job_.placement.strip_tip_end(), to = job_.placement.strip_butt_end();
    const auto extent = section::extent(*job_.strip, from, to);
    const Length reach = cutter_reach(mill_.cutter_radius, rough_height - extent.lowest);
    return {from - reach, to + reach};
  }

  /// The follower's centre goes along k c(x), whose slope is k c'(x) = tan α there: it touches the
  /// pattern r sin α aside, and the touches move forwards with it.
  Stretch drawn() const {
    const auto aside = [&](Station at, Side side) {
      const double slope = mill_.pattern_per_cutter * cutter_.slope(at, side);
      return abs(plain::length(plain::contact_shift(mm(mill_.follower_radius), slope)));
    };
    return {touched_.from - aside(touched_.from, Side::towards_butt) - kToSpare,
            touched_.to + aside(touched_.to, Side::towards_tip) + kToSpare};
  }

  PatternMill const& mill_;
  Job const& job_;
  Stretch touched_;
  CutterCurve cutter_;
  Stretch drawn_;
  PatternCurve pattern_;
};

/// The last pass: the cutter is not lifted.
std::vector<PatternPoint> final_points(PatternMaker const& maker,
                                       std::vector<Station> const& places, Job const& job) {
  std::vector<PatternPoint> out;
  for (auto const& point : maker.points(places)) {
    const bool told = std::binary_search(places.begin(), places.end(), point.at);
    out.push_back({{job.placement.machine_at(point.at), point.at, job.strip->height(point.at),
                    point.height, true, told},
                   maker.pattern().height(point.at)});
  }
  by_machine_position(out, job.placement);
  return out;
}

PatternPass lifted(Pass const& pass, std::vector<PatternPoint> points) {
  for (auto& point : points) point.cutter.offset += pass.left;
  return {pass, pass.left, std::move(points)};
}

void check_outline_tolerance(PatternMill const& mill, Job const& job, Problems& problems) {
  const auto show = [&](Length l) { return format_short(l, job.unit); };
  const auto where = fmt::format("section '{}'", job.strip->section().name);
  if (mill.outline_tolerance < kFinestOutline)
    problems.warn(
        fmt::format("{}: the pattern is drawn within {}, not within outline_tolerance, {}", where,
                    show(kFinestOutline), show(mill.outline_tolerance)),
        "no knife follows a finer line");
  const Length at_cutter = mill.outline_tolerance / std::fabs(mill.pattern_per_cutter);
  if (at_cutter > std::max(job.tolerance.over, job.tolerance.under))
    problems.warn(fmt::format("{}: the pattern may be drawn {} off at the cutter, more than the "
                              "strip's tolerance",
                              where, show(at_cutter)),
                  "lower outline_tolerance");
}

}  // namespace

PatternSettings set_pattern_mill(PatternMill const& mill, Job const& job,
                                 std::vector<Station> const& stations, Length rough_height,
                                 Problems& problems) {
  check_outline_tolerance(mill, job, problems);
  const PatternMaker maker(mill, job, rough_height);
  const auto places = places_told(job, stations);
  const auto points = final_points(maker, places, job);
  PatternSettings out;
  for (auto const& pass : job.passes) out.passes.push_back(lifted(pass, points));
  out.outline = maker.drawing();
  out.rests = maker.cutter().rests(kLeastTold);
  out.unreached = maker.pattern().unreached(kLeastTold * std::fabs(mill.pattern_per_cutter));
  out.run = maker.run();
  tell_rests(out.rests, mill.cutter_radius, job, problems);
  std::vector<Shortfall> thin;
  for (auto const& place : out.unreached) thin.push_back({place.at, place.at_cutter});
  tell_shortfalls(thin, job.tolerance.under,
                  fmt::format("a follower of radius {} is too large for the pattern and makes the "
                              "strip too thin by more than the tolerance",
                              format_short(mill.follower_radius, job.unit)),
                  "use a smaller follower, a larger cutter, or smooth the taper there", job,
                  problems);
  return out;
}

}  // namespace stripwright::machine
