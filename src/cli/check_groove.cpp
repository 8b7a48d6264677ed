#include "cli/check_groove.h"

#include <algorithm>

#include "diagnostics/problem.h"

namespace stripwright::cli {
namespace {

using inspection::PlaceTargets;
using machine::BarShape;
using machine::GaugePoint;
using machine::Support;

GaugePoint point_of(DepthGauge const& gauge) {
  switch (gauge.tip) {
    case GaugeTip::sharp:
      return {GaugePoint::Kind::sharp, {}};
    case GaugeTip::flat:
      return {GaugePoint::Kind::flat, gauge.diameter};
    case GaugeTip::ball:
      return {GaugePoint::Kind::ball, gauge.diameter};
  }
  return {};
}

/// Supports along the rod, whichever end of the machine comes first.
std::vector<Support> along_rod(std::vector<Support> supports) {
  std::sort(supports.begin(), supports.end(),
            [](auto const& one, auto const& other) { return one.at < other.at; });
  return supports;
}

std::optional<BarShape> closed_shape(PlaningForm const& form, machine::Placement const& placement) {
  if (!form.closed_depth) return std::nullopt;
  return BarShape::straight_between(
      along_rod({{placement.station_at(form.screws.front()), form.closed_depth->at_first_screw},
                 {placement.station_at(form.screws.back()), form.closed_depth->at_last_screw}}));
}

/// The bars through the depth of each screw, or as near to it as the form closes.
BarShape bars_of(machine::FormPass const& pass, std::optional<BarShape> const& closed) {
  std::vector<Support> supports;
  for (auto const& screw : pass.screws) {
    const Station at = screw.place.taper_at;
    supports.push_back({at, closed ? std::max(screw.depth, closed->height(at)) : screw.depth});
  }
  return BarShape::spring(along_rod(std::move(supports)));
}

}  // namespace

GrooveTargets::GrooveTargets(machine::SectionSetup const& setup, machine::FormPass const& pass,
                             PlaningForm const& form, Tolerance const& tolerance)
    : section_(setup.section),
      placement_(setup.placement),
      strip_(setup.strip),
      closed_(closed_shape(form, setup.placement)),
      bars_(bars_of(pass, closed_)),
      tolerance_(tolerance) {
  check_internal(form.depth_gauge.has_value(), "a groove to be gauged without a gauge");
  point_ = point_of(*form.depth_gauge);
  std::vector<machine::ScrewPlace> places;
  for (auto const& screw : pass.screws) places.push_back(screw.place);
  const auto wanted = machine::free_screws(places, placement_);
  for (std::size_t i = 0; i < places.size(); ++i)
    if (wanted[i]) screws_.push_back(places[i].taper_at);
  const Station one = placement_.station_at(form.screws.front());
  const Station other = placement_.station_at(form.screws.back());
  first_ = std::min(one, other);
  last_ = std::max(one, other);
}

std::optional<Length> GrooveTargets::closed_at(Station at) const {
  return closed_ ? std::optional(closed_->height(at)) : std::nullopt;
}

/// Where the spline would have the bars closer than touching, they touch.
Length GrooveTargets::depth_wanted(Station at) const {
  return closed_ ? std::max(bars_.height(at), closed_->height(at)) : bars_.height(at);
}

PlaceTargets GrooveTargets::at(Station station) const {
  const machine::Groove wanted{depth_wanted(station), closed_at(station)};
  const auto value = machine::gauge_reading(wanted, point_).reading;
  if (!value) return {};
  const double per_depth = machine::reading_per_depth(wanted, point_);
  const auto limit = [&](Length deeper) {
    const machine::Groove there{wanted.depth + deeper, wanted.closed_depth};
    return machine::gauge_reading(there, point_).reading.value_or(*value + deeper * per_depth);
  };
  // A groove that is deeper by so much makes strips so much higher, and flats twice as much.
  const auto flats_off = [wanted, point = point_](Length reading) {
    const auto depth = machine::depth_from_reading(wanted, point, reading).depth;
    return depth ? std::optional(2 * (*depth - wanted.depth)) : std::nullopt;
  };
  PlaceTargets out;
  out[0] = inspection::Target{*value,
                              {limit(-tolerance_.under), limit(tolerance_.over)},
                              strip_->ledger(station)[section::Step::bare],
                              2 / per_depth,
                              flats_off};
  return out;
}

}  // namespace stripwright::cli
