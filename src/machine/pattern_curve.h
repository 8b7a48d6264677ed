#pragma once

#include <optional>
#include <vector>

#include "machine/cutter_curve.h"
#include "machine/sampled_curve.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// Where a follower is too large for the pattern that it would need.
struct Unreached {
  Station at;
  Length at_cutter;  ///< by so much the cutter stands too low there (too high if the pattern lifts
                     ///< the strip)
  Length at_follower;  ///< and so much it is at the follower
};

/// The pattern under a round follower of radius r on an arm of ratio k, the pattern's rise for the
/// cutter's rise. The follower's centre goes along k c(u) + r + base, c the cutter offset, so
///   y(x) = min over u of k c(u) + r + base - sqrt(r² - (x-u)²)
///        = base - max over u of -k c(u) - (r - sqrt(r² - (x-u)²)):
/// base less the offset of a cutter of radius r over -k c. For k < 0 the pattern is the upper edge
/// of what the follower's upper side sweeps, max instead of min and -r: base plus the offset over
/// k c. Follower and cutter travel alike along the strip; the arc of the arm is left out.
///
/// r = 0 is a point. k = 0 or r below 0: std::logic_error. The cutter's curve has to live as
/// long as this does.
class PatternCurve final : public section::HeightCurve {
 public:
  PatternCurve(const CutterCurve& cutter, Length follower_radius, double pattern_per_cutter,
               Length base, Station from, Station to);
  PatternCurve(const PatternCurve&) = delete;
  PatternCurve& operator=(const PatternCurve&) = delete;

  /// The pattern's height; `base` where the cutter offset is 0 and level.
  Length height(Station x) const override;
  double slope(Station x, section::Side side) const override;
  std::span<const Station> corners() const override { return rolled_.corners(); }
  bool straight() const override { return rolled_.straight(); }

  /// Where the follower, on this pattern, does not come to where it should, by at least so much.
  std::vector<Unreached> unreached(Length at_follower_at_least) const;

 private:
  /// -|k| times the cutter offset.
  class Mirrored final : public section::HeightCurve {
   public:
    Mirrored(const CutterCurve& cutter, double factor) : cutter_(cutter), factor_(factor) {}
    Length height(Station x) const override { return factor_ * cutter_.height(x); }
    double slope(Station x, section::Side side) const override {
      return factor_ * cutter_.slope(x, side);
    }
    std::span<const Station> corners() const override { return cutter_.corners(); }
    bool straight() const override { return cutter_.straight(); }

   private:
    const CutterCurve& cutter_;
    double factor_;
  };

  section::HeightCurve const& rolled_over() const;

  double pattern_per_cutter_;
  Length base_;
  Mirrored mirrored_;
  std::optional<SampledCurve> sampled_;
  CutterCurve rolled_;
};

}  // namespace stripwright::machine
