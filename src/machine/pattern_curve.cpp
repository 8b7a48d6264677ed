#include "machine/pattern_curve.h"

#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

namespace {

/// Over a straight strip the cutter's path is known in pieces; elsewhere each of its heights is a
/// search, and the follower asks for many.
std::optional<SampledCurve> sampled(const CutterCurve& cutter, const section::HeightCurve& mirrored,
                                    Station from, Station to) {
  if (cutter.path() || cutter.radius() == Length() || !(from < to)) return std::nullopt;
  return std::optional<SampledCurve>(std::in_place, mirrored, from, to);
}

}  // namespace

PatternCurve::PatternCurve(const CutterCurve& cutter, Length follower_radius,
                           double pattern_per_cutter, Length base, Station from, Station to)
    : pattern_per_cutter_(pattern_per_cutter),
      base_(base),
      mirrored_(cutter, -std::fabs(pattern_per_cutter)),
      sampled_(sampled(cutter, mirrored_, from - follower_radius, to + follower_radius)),
      rolled_(rolled_over(), follower_radius, from, to) {
  plain::require(pattern_per_cutter != 0 && std::isfinite(pattern_per_cutter),
                 "a pattern that does not move its follower");
}

section::HeightCurve const& PatternCurve::rolled_over() const {
  if (sampled_) return *sampled_;
  return mirrored_;
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
