#include "section/strip_profile.h"

#include <fmt/format.h>

#include <algorithm>

#include "section/crossing.h"
#include "units/format.h"

namespace stripwright::section {

StripProfile::StripProfile(std::shared_ptr<const TaperCurve> taper, RodSection section,
                           LedgerRules rules)
    : taper_(std::move(taper)), section_(std::move(section)), rules_(std::move(rules)) {
  const auto end_height = [&](Station end) { return rules_.strip_glued(taper_->flats(end)); };
  floor_towards_tip_ = std::min(kThinnestInSpare, end_height(section_.from));
  floor_towards_butt_ = std::min(kThinnestInSpare, end_height(section_.to));
  const auto points = taper_->points();
  corners_.assign(points.begin(), points.end());
  add_floor_crossings();
}

/// The least h_g a station may have: nothing inside the section, the floor of the
/// nearer end beyond it.
Length StripProfile::floor_beyond(Station at) const {
  if (at < section_.from) return floor_towards_tip_;
  if (at > section_.to) return floor_towards_butt_;
  return Length::millimetres(-1e9);
}

Length StripProfile::strip_glued(Station at) const {
  return std::max(rules_.strip_glued(taper_->flats(at)), floor_beyond(at));
}

Length StripProfile::height(Station at) const { return rules_.strip_milled(strip_glued(at)); }

double StripProfile::slope(Station at, Side side) const {
  const Length free = rules_.strip_glued(taper_->flats(at));
  const double flats_slope =
      side == Side::towards_tip ? taper_->slope_towards_tip(at) : taper_->slope_towards_butt(at);
  // A station at a section's end belongs, for its outward slope, to the spare.
  const bool outward_tip = at == section_.from && side == Side::towards_tip;
  const bool outward_butt = at == section_.to && side == Side::towards_butt;
  const Length floor = outward_tip    ? floor_towards_tip_
                       : outward_butt ? floor_towards_butt_
                                      : floor_beyond(at);
  const bool falling_outward = side == Side::towards_tip ? flats_slope > 0 : flats_slope < 0;
  const bool held = free < floor - kSamePlace || (free <= floor + kSamePlace && falling_outward);
  if (held) return 0;
  return rules_.milled_per_glued(std::max(free, floor)) * flats_slope / 2;
}

void StripProfile::add_crossing(Station inner, Station outer, Length floor) {
  const auto over = [&](Station at) { return rules_.strip_glued(taper_->flats(at)) - floor; };
  if (const auto at = crossing(over, inner, outer, taper_->straight())) corners_.push_back(*at);
}

/// Where h_g meets its floor in the spare the profile has a corner: one crossing at most
/// between neighbouring points, for the taper is monotone there.
void StripProfile::add_floor_crossings() {
  std::vector<Station> borders = {taper_->points().front() - kFarAway, section_.from, section_.to,
                                  taper_->points().back() + kFarAway};
  borders.insert(borders.end(), taper_->points().begin(), taper_->points().end());
  std::sort(borders.begin(), borders.end());
  for (std::size_t i = 0; i + 1 < borders.size(); ++i) {
    if (borders[i + 1] <= section_.from)
      add_crossing(borders[i + 1], borders[i], floor_towards_tip_);
    if (borders[i] >= section_.to) add_crossing(borders[i], borders[i + 1], floor_towards_butt_);
  }
  corners_.push_back(section_.from);
  corners_.push_back(section_.to);
  std::sort(corners_.begin(), corners_.end());
  corners_.erase(std::unique(corners_.begin(), corners_.end()), corners_.end());
}

Ledger StripProfile::ledger(Station at) const {
  const Length target = taper_->flats(at);
  const Length floor = floor_beyond(at);
  return rules_.strip_glued(target) < floor ? rules_.from_strip_glued(floor) : rules_.at(target);
}

std::vector<Station> table_stations(Taper const& taper, RodSection const& section) {
  std::vector<Station> out = {section.from};
  for (auto const& point : taper.points)
    if (point.at > section.from + kSamePlace && point.at < section.to - kSamePlace)
      out.push_back(point.at);
  out.push_back(section.to);
  return out;
}

void check_section(StripProfile const& profile, std::vector<Station> const& stations, Unit unit,
                   Problems& problems) {
  for (const Station at : stations) {
    const auto ledger = profile.ledger(at);
    const auto where = fmt::format("section '{}', station {}", profile.section().name,
                                   format_short(at.from_zero(), unit));
    if (const auto row = ledger.row_at_or_below_zero()) {
      const auto text = profile.rules().text(*row);
      problems.error(
          fmt::format("{}: the {} ({}) comes out at {}", where, text.name, text.letter,
                      format_short(ledger[*row], unit)),
          fmt::format("no strip can be that small: check the taper there and the allowances ({})",
                      text.formula));
    } else if (!ledger.culm_carries) {
      problems.error(fmt::format("{}: a strip {} high does not fit a culm {} in diameter", where,
                                 format_short(ledger[Step::strip_at_milling], unit),
                                 format_short(2 * profile.rules().round_face()->culm_radius, unit)),
                     "check the culm diameter and its unit, or take a stouter culm");
    }
  }
}

}  // namespace stripwright::section
