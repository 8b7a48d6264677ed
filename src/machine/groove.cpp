#include "machine/groove.h"

#include <algorithm>
#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

using plain::mm;

namespace {

using Kind = GaugePoint::Kind;

Angle half(Angle included) {
  plain::require(included > Angle() && included < Angle::degrees(180),
                 "a groove's angle outside 0 to 180 degrees");
  return included / 2;
}

/// How far above the flanks' meeting a ball of this diameter touches them: ρ cos² a/sin a.
Length contact_height(Length ball, Angle a) { return ball / 2 * (cos(a) * cos(a) / sin(a)); }

/// How far above the flanks' meeting a ball's lowest point lies: ρ (1/sin a - 1).
Length lowest_point(Length ball, Angle a) { return ball / 2 * (1 / sin(a) - 1); }

/// A ball that rests on the two top edges, in millimetres.
struct OnEdges {
  double radius;
  double half_width;    ///< of the groove at its top
  double centre_above;  ///< the edges: sqrt(ρ² - h²)
};

OnEdges on_edges(const Groove& g, Length ball) {
  const double radius = mm(ball) / 2, half_width = mm(top_width(g)) / 2;
  return {radius, half_width, std::sqrt((radius - half_width) * (radius + half_width))};
}

// Sizes that agree to a nanometre are told as the better of the two cases: there both read alike.

bool drops_into_slot(const Groove& g, Length depth, Length ball, Angle a) {
  return g.closed_depth && contact_height(ball, a) < depth - *g.closed_depth - kSamePlace;
}

GaugeReading ball_reading(const Groove& g, Length ball) {
  const Angle a = half(g.included);
  if (drops_into_slot(g, g.depth, ball, a)) return {Bearing::slot, std::nullopt};
  if (contact_height(ball, a) <= g.depth + kSamePlace) {
    return {Bearing::flanks, g.depth - lowest_point(ball, a)};
  }
  // ρ - sqrt(ρ² - h²), written so that nothing cancels.
  const auto [radius, half_width, centre_above] = on_edges(g, ball);
  return {Bearing::edges, plain::length(half_width * half_width / (radius + centre_above))};
}

DepthRead depth_under_ball(const Groove& g, Length ball, Length reading) {
  const Angle a = half(g.included);
  // With the contact right at the edges the ball reads ρ (1 - sin a), either way.
  if (reading < ball / 2 * (1 - sin(a))) {
    const double half_width = std::sqrt(mm(reading) * mm(ball - reading));
    return {Bearing::edges, plain::length(half_width / tan(a))};
  }
  const Length depth = reading + lowest_point(ball, a);
  if (drops_into_slot(g, depth, ball, a)) return {Bearing::slot, std::nullopt};
  return {Bearing::flanks, depth};
}

}  // namespace

Length top_width(const Groove& g) { return std::max(Length(), opening_for(g.depth, g.included)); }

std::optional<Length> opening(const Groove& g) {
  if (!g.closed_depth) return std::nullopt;
  return opening_for(g.depth - *g.closed_depth, g.included);
}

Length opening_for(Length depth_change, Angle included) {
  return 2 * depth_change * tan(half(included));
}

double turns_for(Length opening, Length lead) {
  plain::require(lead > Length(), "a screw without a lead");
  return opening / lead;
}

GaugeReading gauge_reading(const Groove& g, const GaugePoint& point) {
  plain::require(point.diameter >= Length(), "a gauge's point smaller than nothing");
  if (g.depth <= Length()) return {Bearing::none, std::nullopt};
  if (point.kind == Kind::sharp) return {Bearing::flanks, g.depth};
  if (point.kind == Kind::ball) return ball_reading(g, point.diameter);
  if (point.diameter > top_width(g) + kSamePlace) return {Bearing::none, std::nullopt};
  const Length reading = g.depth - point.diameter / 2 / tan(half(g.included));
  return {Bearing::flanks, std::max(Length(), reading)};
}

double reading_per_depth(const Groove& g, const GaugePoint& point) {
  if (gauge_reading(g, point).on != Bearing::edges) return 1;
  const auto edges = on_edges(g, point.diameter);
  return edges.half_width * tan(half(g.included)) / edges.centre_above;
}

BallRange balls_that_bear(const Groove& g) {
  if (g.depth <= Length()) return {};
  const Angle a = half(g.included);
  const double contact_per_diameter = cos(a) * cos(a) / sin(a) / 2;
  const Length slot = g.closed_depth ? std::max(Length(), g.depth - *g.closed_depth) : Length();
  return {slot / contact_per_diameter, g.depth / contact_per_diameter};
}

DepthRead depth_from_reading(const Groove& g, const GaugePoint& point, Length reading) {
  plain::require(point.diameter >= Length(), "a gauge's point smaller than nothing");
  if (reading <= Length()) return {Bearing::none, std::nullopt};
  if (point.kind == Kind::ball) return depth_under_ball(g, point.diameter, reading);
  if (point.kind == Kind::sharp) return {Bearing::flanks, reading};
  return {Bearing::flanks, reading + point.diameter / 2 / tan(half(g.included))};
}

}  // namespace stripwright::machine
