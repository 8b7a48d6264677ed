#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "diagnostics/problem.h"
#include "machine/placement.h"
#include "section/strip_profile.h"

namespace stripwright::machine {

/// The strip as a pass leaves it: so much over the final strip, but nowhere over the rough
/// strip's one height, max(h, min(rough, h + left)).
class PassCurve final : public section::HeightCurve {
 public:
  PassCurve(std::shared_ptr<const section::HeightCurve> final_strip, Length left,
            std::optional<Length> rough_height);

  Length height(Station at) const override;
  double slope(Station at, section::Side side) const override;
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return final_->straight(); }

 private:
  std::shared_ptr<const section::HeightCurve> final_;
  Length left_;
  std::optional<Length> rough_;
  std::vector<Station> corners_;
};

/// One pass: its number from 1, and the strip as it leaves it.
struct Pass {
  long number = 1;
  Length left;  ///< most that is left over the final strip
  std::shared_ptr<const section::HeightCurve> strip;
  /// The strip as the pass finds it; none where the rough strip's height is not given.
  std::shared_ptr<const section::HeightCurve> before;

  /// What the pass takes off at a station, strip height.
  std::optional<Length> cut(Station at) const;
};

/// The most that a pass takes off over strip and spare, and where; none where the strip is not
/// known that it finds. Of equal cuts the one nearest the tip.
struct GreatestCut {
  Station at;
  Length amount;
};
std::optional<GreatestCut> greatest_cut(Pass const& pass, Placement const& placement);

/// How high the rough strip is at its highest, given the strip that is milled from it: over strip
/// and spare.
Length rough_height(RoughStart const& rough, section::HeightCurve const& strip,
                    Placement const& placement);

/// The passes of a machine over one strip; without `passes` the one that leaves the strip
/// itself. From rough height H0 down: T = H0 - h_m, T_max its greatest over strip and spare,
///   n = 1 + max(0, ceil((T_max - last_cut) / max_cut)) passes,
/// of which pass k before the last leaves
///   T_k = min(T, last_cut + (T_max - last_cut)(n - 1 - k)/(n - 1)),
/// so that the last takes last_cut at most, the others max_cut at most, and n is the fewest.
/// All amounts are strip height; half of each comes off each flank. A rough strip that is
/// lower than the strip itself is a problem that says where. What a pass takes is reckoned from
/// the rough strip that the maker is told to make: a plain one has T_max where the strip is lowest.
std::vector<Pass> plan_passes(std::shared_ptr<const section::HeightCurve> const& strip,
                              std::string const& section, std::optional<Passes> const& passes,
                              Placement const& placement, Unit unit, Problems& problems);

}  // namespace stripwright::machine
