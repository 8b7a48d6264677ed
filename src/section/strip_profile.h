#pragma once

#include <memory>
#include <vector>

#include "diagnostics/problem.h"
#include "section/height_curve.h"
#include "section/ledger.h"
#include "taper/taper_curve.h"

namespace stripwright::section {

/// Below this the strip is not thinned further in the spare: it would be all edge.
inline constexpr Length kThinnestInSpare = Length::millimetres(0.2);

/// The strip of one section as it is milled, along the rod: h_m(x). Inside the section
/// by the ledger; beyond its ends too, but there h_g stays at 0.2 mm (or at what the
/// section's end has, where that is less) instead of falling further.
class StripProfile : public HeightCurve {
 public:
  StripProfile(std::shared_ptr<const TaperCurve> taper, RodSection section, LedgerRules rules);

  Length height(Station at) const override;
  double slope(Station at, Side side) const override;
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return taper_->straight() && rules_.proportional(); }

  Ledger ledger(Station at) const;
  RodSection const& section() const { return section_; }
  LedgerRules const& rules() const { return rules_; }
  TaperCurve const& taper() const { return *taper_; }

 private:
  Length floor_beyond(Station at) const;
  Length strip_glued(Station at) const;
  void add_floor_crossings();
  void add_crossing(Station inner, Station outer, Length floor);

  std::shared_ptr<const TaperCurve> taper_;
  RodSection section_;
  LedgerRules rules_;
  Length floor_towards_tip_;
  Length floor_towards_butt_;
  std::vector<Station> corners_;
};

/// The stations of a section's table: the taper's own inside it, and its ends.
std::vector<Station> table_stations(Taper const& taper, RodSection const& section);

/// What makes the section impossible: a ledger row at 0 or below at a station inside
/// it, or a culm too thin for the strip there. Each is a problem that names the
/// station and the row.
void check_section(StripProfile const& profile, std::vector<Station> const& stations, Unit unit,
                   Problems& problems);

}  // namespace stripwright::section
