#pragma once

#include <vector>

#include "taper/taper_curve.h"
#include "units/amount.h"

namespace stripwright::bending {

/// What the cane is like; the same all along.
struct Material {
  Pressure modulus;
  Density density;
};

/// By so much the flats are off at a place. Between places deviations run straight on, and nothing
/// is off beyond the first and the last of a stretch.
struct Deviation {
  Station at;
  Length flats;
};

/// A joint: stiff over its length, with a mass of its own beside the cane in it.
struct Joint {
  Station from;
  Station to;
  Mass mass;
};

/// A rod as it bends: a solid hexagon of cane, flats by its taper and what it is off by. Flats are
/// those of the bare cane: varnish adds next to nothing to the stiffness, and is left out of the
/// weight too.
class Rod {
 public:
  /// `varnish` is taken off the taper's flats (twice its thickness where they were measured over
  /// it). The curve is kept as a copy.
  Rod(TaperCurve curve, Length varnish, Material material);

  /// Adds a stretch of deviations: two or more, stations increasing. Stretches that overlap add up;
  /// where one ends and another begins, the other counts.
  void add(std::vector<Deviation> stretch);
  void add_joint(Joint const& joint) { joints_.push_back(joint); }
  void set_modulus(Pressure modulus) { material_.modulus = modulus; }

  /// Flats of the bare cane.
  Length flats(Station at) const;
  /// EI of the cane, N mm².
  double stiffness(Station at) const;
  /// Of cane alone, grams a millimetre.
  double mass_per_length(Station at) const;
  std::vector<Joint> const& joints() const { return joints_; }
  Material const& material() const { return material_; }
  /// Where flats may have a corner: the taper's points and the deviations' places.
  std::vector<Station> corners() const;

 private:
  bool ends_at(std::vector<Deviation> const& stretch, Station at) const;

  TaperCurve curve_;
  Length varnish_;
  Material material_;
  std::vector<std::vector<Deviation>> stretches_;
  std::vector<Joint> joints_;
};

}  // namespace stripwright::bending
