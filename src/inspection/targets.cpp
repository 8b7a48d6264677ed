#include "inspection/targets.h"

#include "diagnostics/problem.h"

namespace stripwright::inspection {

using section::Step;

Station Targets::station_at(MachinePosition) const {
  check_internal(false, "a place on the machine asked of targets along the rod");
  return {};
}

StageTargets::StageTargets(std::shared_ptr<const section::StripProfile> profile, Stage stage,
                           Shop const& shop, std::optional<double> percent_now)
    : profile_(std::move(profile)),
      stage_(stage),
      tolerance_(kind_of(stage) == ReadingKind::sections ? shop.tolerances.flats
                                                         : shop.tolerances.strip),
      spare_(shop.spare),
      varnish_(shop.allowances.varnish),
      apex_relief_(shop.allowances.apex_relief),
      face_made_flat_before_gluing_(shop.allowances.enamel.off == EnamelOff::before_gluing) {
  check_internal(stage != Stage::groove, "a groove's targets are the machine's");
  check_internal(!percent_now || stage != Stage::milled, "moisture asked for as milled");
  if (!percent_now || !shop.allowances.moisture) return;
  auto const& moisture = *shop.allowances.moisture;
  if (kind_of(stage) == ReadingKind::strips)
    swollen_since_milling_ =
        moisture.swelling(*percent_now) / moisture.swelling(moisture.percent_at_milling);
  else
    swollen_in_service_ = moisture.swelling(*percent_now) - 1;
}

Station StageTargets::first() const { return section().from - spare_.tip_end; }

Station StageTargets::last() const { return section().to + spare_.butt_end; }

bool StageTargets::face_as_milled() const {
  return stage_ == Stage::milled || !face_made_flat_before_gluing_;
}

FaceMeasured StageTargets::face() const {
  FaceMeasured face;
  if (stage_ == Stage::ready) face.apex_relief = apex_relief_;
  if (auto const& round = profile_->rules().round_face(); round && face_as_milled())
    face.arc_radius = round->arc_radius * swollen_since_milling_;
  return face;
}

/// What the ledger says of each height at this stage.
std::array<Length, kMostHeights> StageTargets::values(section::Ledger const& ledger) const {
  const Length swollen = swollen_in_service_ * ledger[Step::bare];
  switch (stage_) {
    case Stage::milled: {
      const Length side = ledger[Step::side_milled];
      return {ledger[Step::strip_milled], side, side};
    }
    case Stage::ready: {
      const double k = swollen_since_milling_;
      const Length a = (ledger[Step::strip_ready] + apex_relief_) * k - apex_relief_;
      const Length side = ledger[face_as_milled() ? Step::side_milled : Step::strip_at_milling] * k;
      return {a, side, side};
    }
    case Stage::glued: {
      const Length flats = ledger[Step::flats_glued] + swollen;
      return {flats, flats, flats};
    }
    case Stage::bare: {
      const Length flats = ledger[Step::bare] + swollen;
      return {flats, flats, flats};
    }
    case Stage::varnished: {
      const Length flats = ledger[Step::bare] + swollen + 2 * varnish_;
      return {flats, flats, flats};
    }
    case Stage::groove:
      break;
  }
  return {};
}

PlaceTargets StageTargets::at(Station station) const {
  const auto ledger = profile_->ledger(station);
  const auto heights = values(ledger);
  // Were all six strips so, the flats would be off by twice as much; a flat is what it is.
  const double flats_per_reading = kind_of(stage_) == ReadingKind::strips ? 2 : 1;
  PlaceTargets out;
  for (std::size_t i = 0; i < kMostHeights; ++i)
    out[i] = Target{heights[i], limits_around(heights[i], tolerance_), ledger[Step::bare],
                    flats_per_reading};
  return out;
}

}  // namespace stripwright::inspection
