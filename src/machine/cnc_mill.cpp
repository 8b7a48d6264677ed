#include "machine/cnc_mill.h"

#include <fmt/format.h>

#include <algorithm>

#include "machine/gcode.h"
#include "machine/outline.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

/// The cutter comes down and goes up so much further beyond the strip's ends than its radius:
/// what a strip may lie off its place.
constexpr Length kClearOfEnds = Length::millimetres(2);

class Router {
 public:
  Router(CncMill const& mill, Job const& job, Problems& problems)
      : mill_(mill), job_(job), problems_(problems) {}

  CncSettings set(std::vector<Station> const& stations, Length rough_height) {
    const auto places = places_told(job_, stations);
    CncSettings out;
    for (auto const& pass : job_.passes) {
      const CutterCurve curve(*pass.strip, mill_.cutter_radius, from(), to());
      out.passes.push_back({pass, way(curve, places)});
      if (&pass == &job_.passes.back()) out.rests = curve.rests(kLeastTold);
    }
    tell_rests(out.rests, mill_.cutter_radius, job_, problems_);
    for (auto const& fault : faults(out, rough_height)) {
      out.can_run = false;
      problems_.unmet(fmt::format("section '{}': {}; no program is written (one of an earlier "
                                  "set-up is not for this one)",
                                  job_.strip->section().name, fault.what),
                      fault.remedy);
    }
    std::vector<Move> moves;
    for (auto const& pass : out.passes)
      for (auto const& move : moves_of(pass, mill_.clear_height)) moves.push_back(move);
    out.travel = travel(moves.front().to, moves, mill_.feed_per_minute);
    return out;
  }

 private:
  struct Fault {
    std::string what, remedy;
  };

  Length beyond() const { return mill_.cutter_radius + kClearOfEnds; }
  Station from() const { return job_.placement.strip_tip_end() - beyond(); }
  Station to() const { return job_.placement.strip_butt_end() + beyond(); }
  std::string show(Length l) const { return format_short(l, job_.unit); }

  std::vector<CutterPoint> way(CutterCurve const& curve, std::vector<Station> const& places) const {
    std::vector<CutterPoint> out;
    for (auto const& point : outline(curve, from(), to(), kPointTolerance, places)) {
      const bool told = std::binary_search(places.begin(), places.end(), point.at);
      const bool on_strip =
          point.at >= job_.placement.strip_tip_end() && point.at <= job_.placement.strip_butt_end();
      out.push_back({job_.placement.machine_at(point.at), point.at, job_.strip->height(point.at),
                     point.height, on_strip, told});
    }
    by_machine_position(out, job_.placement);
    return out;
  }

  std::vector<Fault> faults(CncSettings const& settings, Length rough_height) const {
    Length lowest = mill_.clear_height, highest = rough_height;
    for (auto const& pass : settings.passes)
      for (auto const& point : pass.way) {
        lowest = std::min(lowest, point.offset);
        highest = std::max(highest, point.offset);
      }
    std::vector<Fault> out;
    if (mill_.clear_height <= highest)
      out.push_back({fmt::format("the clear height, {}, is not above the rough strip and the "
                                 "cutter's way, {} at the highest",
                                 show(mill_.clear_height), show(highest)),
                     "raise clear_height well above the rough strip and what holds it"});
    auto const& limits = mill_.limits;
    auto const& way = settings.passes.front().way;
    add_travel_fault(out, limits.x, "x", way.front().machine_at.from_zero(),
                     way.back().machine_at.from_zero(),
                     fmt::format("move strip_at, shorten the spare, or correct limits: x; the "
                                 "cutter comes down {} beyond the strip's ends",
                                 show(beyond())));
    add_travel_fault(out, limits.z, "z", lowest, std::max(highest, mill_.clear_height),
                     "change clear_height, pack up the bed, or correct limits: z");
    add_speed_faults(out);
    return out;
  }

  void add_travel_fault(std::vector<Fault>& out, std::optional<CncLimits::Travel> const& limit,
                        std::string_view axis, Length lowest, Length highest,
                        std::string remedy) const {
    if (!limit) return;
    if (lowest > limit->lowest - kSamePlace && highest < limit->highest + kSamePlace) return;
    out.push_back(
        {fmt::format("the cutter would go from {0} {1} to {2}, but limits: {0} goes from "
                     "{3} to {4}",
                     axis, show(lowest), show(highest), show(limit->lowest), show(limit->highest)),
         std::move(remedy)});
  }

  void add_speed_faults(std::vector<Fault>& out) const {
    auto const& limits = mill_.limits;
    if (limits.feed_per_minute && mill_.feed_per_minute > *limits.feed_per_minute)
      out.push_back({"the feed is above the machine's limit", "lower feed"});
    if (limits.spindle_rpm && mill_.spindle_rpm > *limits.spindle_rpm)
      out.push_back({"the spindle speed is above the machine's limit", "lower spindle_rpm"});
    if (!(round_to_decimals(in_unit(mill_.feed_per_minute, job_.unit), kFeedDecimals) > 0))
      out.push_back({fmt::format("a feed of {} a minute is nothing in a program's figures",
                                 show(mill_.feed_per_minute)),
                     "correct feed, and its unit"});
    if (!(round_to_decimals(mill_.spindle_rpm, kSpindleDecimals) > 0))
      out.push_back({"a spindle that does not turn once a minute", "correct spindle_rpm"});
  }

  CncMill const& mill_;
  Job const& job_;
  Problems& problems_;
};

}  // namespace

CncSettings set_cnc_mill(CncMill const& mill, Job const& job, std::vector<Station> const& stations,
                         Length rough_height, Problems& problems) {
  return Router(mill, job, problems).set(stations, rough_height);
}

std::vector<Move> moves_of(CncPass const& pass, Length clear_height) {
  std::vector<Move> out;
  out.push_back({false, {pass.way.front().machine_at, clear_height}});
  for (auto const& point : pass.way) out.push_back({true, {point.machine_at, point.offset}});
  out.push_back({false, {pass.way.back().machine_at, clear_height}});
  return out;
}

}  // namespace stripwright::machine
