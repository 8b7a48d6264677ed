#include "inspection/shift.h"

#include <algorithm>

#include "section/crossing.h"

namespace stripwright::inspection {
namespace {

/// Shifts from one to another, both included.
struct Stretch {
  Length from;
  Length to;
};

/// Target of one height along the rod.
class TargetLine {
 public:
  TargetLine(StageTargets const& targets, std::size_t height)
      : targets_(targets), height_(height) {}

  Length at(Station station) const { return targets_.at(station)[height_]->value; }
  std::span<const Station> corners() const { return targets_.profile().corners(); }
  bool straight() const { return targets_.profile().straight(); }

  /// Where the line, monotone from a to b, has this level; the nearer end if it has it nowhere.
  Station where(Length level, Station a, Station b) const {
    const Length at_a = at(a);
    const Length at_b = at(b);
    const bool rises = at_a < at_b;
    if (level <= std::min(at_a, at_b)) return rises ? a : b;
    if (level >= std::max(at_a, at_b)) return rises ? b : a;
    return section::crossing([&](Station x) { return at(x) - level; }, a, b, straight())
        .value_or(a);
  }

 private:
  StageTargets const& targets_;
  std::size_t height_;
};

/// The deviations that prove a reading right.
std::optional<Limits> right_deviations(Judged const& judged, Decide decide) {
  const Limits around{judged.target.limits.low - judged.target.value,
                      judged.target.limits.high - judged.target.value};
  return decide == Decide::plain ? around : readings_that_prove(around, judged.uncertainty);
}

/// The shifts that make one reading right, in order and apart from each other.
std::vector<Stretch> shifts_of(Judged const& judged, Limits const& right, Station x,
                               TargetLine const& line, Spare const& spare) {
  const Limits wanted{judged.read.mean - right.high, judged.read.mean - right.low};
  const Station nearest = x - spare.butt_end;
  const Station farthest = x + spare.tip_end;
  std::vector<Station> borders = {nearest};
  for (const Station corner : line.corners())
    if (corner > nearest && corner < farthest) borders.push_back(corner);
  borders.push_back(farthest);
  std::vector<Stretch> out;
  // From the far end on, so that the shifts come in increasing order.
  for (std::size_t i = borders.size() - 1; i > 0; --i) {
    const Station a = borders[i - 1];
    const Station b = borders[i];
    const auto [lowest, highest] = std::minmax({line.at(a), line.at(b)});
    if (lowest > wanted.high || highest < wanted.low) continue;
    const bool level = highest - lowest < Length::millimetres(1e-12);
    Station one = level ? a : line.where(wanted.low, a, b);
    Station other = level ? b : line.where(wanted.high, a, b);
    if (other < one) std::swap(one, other);
    const Stretch stretch{x - other, x - one};
    if (!out.empty() && stretch.from <= out.back().to + kSamePlace)
      out.back().to = stretch.to;
    else
      out.push_back(stretch);
  }
  return out;
}

/// Where the most stretches lie over each other, of such places the one nearest to 0.
struct Crowd {
  std::size_t most = 0;
  Stretch where;
};

Length from_zero(Stretch const& stretch) {
  if (stretch.from > Length{}) return stretch.from;
  return stretch.to < Length{} ? -stretch.to : Length{};
}

Crowd find_crowd(std::vector<Stretch> const& stretches) {
  struct Event {
    Length at;
    bool begins;
  };
  std::vector<Event> events;
  for (auto const& stretch : stretches) {
    events.push_back({stretch.from, true});
    events.push_back({stretch.to, false});
  }
  // Ends are included: what begins where another ends still lies over it.
  std::sort(events.begin(), events.end(), [](Event const& one, Event const& other) {
    return one.at != other.at ? one.at < other.at : one.begins && !other.begins;
  });
  Crowd crowd;
  std::size_t now = 0;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (!events[i].begins) {
      --now;
      continue;
    }
    ++now;
    const bool full = !events[i + 1].begins;  // the last event is always an end
    if (!full || now < crowd.most) continue;
    const Stretch here{events[i].at, events[i + 1].at};
    if (now > crowd.most || from_zero(here) < from_zero(crowd.where)) crowd = {now, here};
  }
  return crowd;
}

}  // namespace

std::optional<Shift> best_shift(JudgedPiece const& strip, StageTargets const& targets,
                                Spare const& spare, Judge const& judge) {
  std::vector<Stretch> stretches;
  for (auto const& place : strip.places)
    for (std::size_t h = 0; h < kMostHeights; ++h) {
      auto const& judged = place.heights[h];
      if (!judged) continue;
      const auto right = right_deviations(*judged, judge.decide);
      if (!right) continue;
      const auto shifts = shifts_of(*judged, *right, place.at, TargetLine(targets, h), spare);
      stretches.insert(stretches.end(), shifts.begin(), shifts.end());
    }
  const auto right_now = count(strip)[Verdict::right];
  const auto crowd = find_crowd(stretches);
  if (crowd.most <= right_now || from_zero(crowd.where) == Length{}) return std::nullopt;
  const bool forward = crowd.where.from > Length{};
  return Shift{forward ? crowd.where.from : crowd.where.to,
               forward ? crowd.where.to : crowd.where.from, right_now, crowd.most};
}

}  // namespace stripwright::inspection
