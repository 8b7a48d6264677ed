#include "machine/pattern_curve.h"

#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

PatternCurve::PatternCurve(const CutterCurve& cutter, Length follower_radius,
                           double pattern_per_cutter, Length base, Station from, Station to)
    : pattern_per_cutter_(pattern_per_cutter),
      base_(base),
      mirrored_(cutter, -std::fabs(pattern_per_cutter)),
      rolled_(mirrored_, follower_radius, from, to) {
  plain::require(pattern_per_cutter != 0 && std::isfinite(pattern_per_cutter),
                 "a pattern that does not move its follower");
}

Length PatternCurve::height(Station x) const {
  const Length rolled = rolled_.height(x);
  return pattern_per_cutter_ > 0 ? base_ - rolled : base_ + rolled;
}

double PatternCurve::slope(Station x, section::Side side) const {
  const double rolled = rolled_.slope(x, side);
  return pattern_per_cutter_ > 0 ? -rolled : rolled;
}

std::vector<Unreached> PatternCurve::unreached(Length at_follower_at_least) const {
  std::vector<Unreached> places;
  for (const Rest& r : rolled_.rests(at_follower_at_least)) {
    places.push_back({r.at, r.size / std::fabs(pattern_per_cutter_), r.size});
  }
  return places;
}

}  // namespace stripwright::machine
