#include "section/ledger.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "units/format.h"

namespace stripwright::section {
namespace {

double swelling(std::optional<Moisture> const& moisture) {
  return moisture ? moisture->swelling(moisture->percent_at_milling) : 1;
}

std::optional<RoundFace> round_face(Enamel const& enamel) {
  if (face_at_milling(enamel) != Face::round || !enamel.culm_diameter) return std::nullopt;
  const Length radius = *enamel.culm_diameter / 2;
  const bool scraped = enamel.off == EnamelOff::before_milling;
  return RoundFace{radius, enamel.thickness, scraped ? radius - enamel.thickness : radius};
}

}  // namespace

std::optional<Step> Ledger::row_at_or_below_zero() const {
  for (std::size_t i = 0; i < kSteps; ++i)
    if (values[i] <= Length{}) return static_cast<Step>(i);
  return std::nullopt;
}

LedgerRules::LedgerRules(Measured measured, Allowances const& allowances)
    : measured_(measured),
      allowances_(allowances),
      swelling_(swelling(allowances.moisture)),
      round_face_(section::round_face(allowances.enamel)) {}

bool LedgerRules::carries(Length strip_glued) const {
  return !round_face_ || section::carries(*round_face_, strip_glued * swelling_);
}

/// E: 0 on a flat face whose enamel is off, the enamel's thickness where it is still on,
/// and on a round face what stands over the flat at the crown.
Length LedgerRules::crown(Length strip_at_milling) const {
  auto const& enamel = allowances_.enamel;
  if (!round_face_) return enamel.off == EnamelOff::before_milling ? Length{} : enamel.thickness;
  if (!section::carries(*round_face_, strip_at_milling)) return Length{};
  return crown_allowance(*round_face_, strip_at_milling);
}

Length LedgerRules::strip_glued(Length target) const {
  const Length bare = measured_ == Measured::varnished ? target - 2 * allowances_.varnish : target;
  return (bare + 2 * allowances_.cleanup) / 2 - allowances_.glue_line;
}

Length LedgerRules::strip_milled(Length strip_glued) const {
  const Length at_milling = strip_glued * swelling_;
  return at_milling + crown(at_milling);
}

double LedgerRules::milled_per_glued(Length strip_glued) const {
  const Length at_milling = strip_glued * swelling_;
  if (!round_face_ || !section::carries(*round_face_, at_milling)) return swelling_;
  // E = R_o - sqrt((R-e)^2 - h^2/3), so dE/dh = (h/3) / sqrt((R-e)^2 - h^2/3).
  const double h = at_milling.in_millimetres();
  const double inner = (round_face_->culm_radius - round_face_->enamel).in_millimetres();
  return swelling_ * (1 + h / 3 / std::sqrt(inner * inner - h * h / 3));
}

/// Where the face is made flat only after gluing, the flats are measured crown to crown.
Length LedgerRules::flats_when_glued(Length flats_glued, Length crown) const {
  const bool flattened_after = allowances_.enamel.off == EnamelOff::after_gluing ||
                               (allowances_.enamel.off == EnamelOff::before_milling && round_face_);
  return flattened_after ? flats_glued + 2 * crown : flats_glued;
}

void LedgerRules::fill_from_strip_glued(Ledger& ledger, Length strip_glued) const {
  const auto set = [&](Step step, Length value) {
    ledger.values[static_cast<std::size_t>(step)] = value;
  };
  const Length at_milling = strip_glued * swelling_;
  ledger.culm_carries = carries(strip_glued);
  const Length still_to_come_off = crown(at_milling);
  const Length milled = at_milling + still_to_come_off;
  set(Step::strip_glued, strip_glued);
  set(Step::strip_at_milling, at_milling);
  set(Step::strip_milled, milled);
  set(Step::side_milled,
      round_face_ && ledger.culm_carries ? side_height(*round_face_, at_milling) : milled);
  // Only what comes off before gluing is off the strip as it goes to the glue.
  const bool off_before_gluing = allowances_.enamel.off == EnamelOff::before_gluing;
  set(Step::strip_ready, (off_before_gluing ? at_milling : milled) - allowances_.apex_relief);
  set(Step::flats_glued, flats_when_glued(ledger[Step::glued], still_to_come_off));
}

Ledger LedgerRules::at(Length target) const {
  Ledger ledger;
  const auto set = [&](Step step, Length value) {
    ledger.values[static_cast<std::size_t>(step)] = value;
  };
  set(Step::target, target);
  set(Step::bare, measured_ == Measured::varnished ? target - 2 * allowances_.varnish : target);
  set(Step::glued, ledger[Step::bare] + 2 * allowances_.cleanup);
  fill_from_strip_glued(ledger, strip_glued(target));
  return ledger;
}

Ledger LedgerRules::from_strip_glued(Length strip_glued) const {
  Ledger ledger;
  const auto set = [&](Step step, Length value) {
    ledger.values[static_cast<std::size_t>(step)] = value;
  };
  set(Step::glued, 2 * (strip_glued + allowances_.glue_line));
  set(Step::bare, ledger[Step::glued] - 2 * allowances_.cleanup);
  set(Step::target, measured_ == Measured::varnished ? ledger[Step::bare] + 2 * allowances_.varnish
                                                     : ledger[Step::bare]);
  fill_from_strip_glued(ledger, strip_glued);
  return ledger;
}

}  // namespace stripwright::section
