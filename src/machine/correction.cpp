#include "machine/correction.h"

#include <algorithm>

namespace stripwright::machine {

Length SectionCorrection::at(Station station) const {
  if (points.empty()) return {};
  if (station <= points.front().at) return points.front().add;
  if (station >= points.back().at) return points.back().add;
  const auto next =
      std::upper_bound(points.begin(), points.end(), station,
                       [](Station at, CorrectionPoint const& point) { return at < point.at; });
  auto const& before = *std::prev(next);
  return before.add + (next->add - before.add) * ((station - before.at) / (next->at - before.at));
}

SectionCorrection const* Correction::of(std::string_view section) const {
  const auto found = std::find_if(sections.begin(), sections.end(),
                                  [&](auto const& each) { return each.section == section; });
  return found == sections.end() ? nullptr : &*found;
}

SectionCorrection correction_of(std::string section,
                                std::vector<inspection::StationDeviation> const& deviations) {
  SectionCorrection out{std::move(section), {}};
  bool any = false;
  for (auto const& deviation : deviations) {
    const bool proven = deviation.cause == inspection::Cause::machine;
    out.points.push_back({deviation.at, proven ? -deviation.mean : Length{}});
    any |= proven;
  }
  if (!any) out.points.clear();
  return out;
}

SectionCorrection sum(SectionCorrection const& a, SectionCorrection const& b) {
  std::vector<Station> places;
  for (auto const* each : {&a, &b})
    for (auto const& point : each->points) places.push_back(point.at);
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end(),
                           [](Station p, Station q) { return same_place(p, q); }),
               places.end());
  SectionCorrection out{a.section, {}};
  for (const Station at : places) out.points.push_back({at, a.at(at) + b.at(at)});
  return out;
}

CorrectedCurve::CorrectedCurve(std::shared_ptr<const section::HeightCurve> strip,
                               SectionCorrection correction)
    : strip_(std::move(strip)), correction_(std::move(correction)) {
  const auto corners = strip_->corners();
  corners_.assign(corners.begin(), corners.end());
  for (auto const& point : correction_.points) corners_.push_back(point.at);
  std::sort(corners_.begin(), corners_.end());
  corners_.erase(std::unique(corners_.begin(), corners_.end()), corners_.end());
}

Length CorrectedCurve::height(Station at) const { return strip_->height(at) + correction_.at(at); }

double CorrectedCurve::slope(Station at, section::Side side) const {
  auto const& points = correction_.points;
  // The span of the correction that the station lies in, seen from the side asked for.
  const auto beyond = [&](CorrectionPoint const& point) {
    return side == section::Side::towards_butt ? point.at > at : point.at >= at;
  };
  const auto next = std::find_if(points.begin(), points.end(), beyond);
  const bool level = next == points.begin() || next == points.end();
  const double added =
      level ? 0 : (next->add - std::prev(next)->add) / (next->at - std::prev(next)->at);
  return strip_->slope(at, side) + added;
}

}  // namespace stripwright::machine
