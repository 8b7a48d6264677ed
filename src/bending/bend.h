#pragma once

#include <optional>
#include <vector>

#include "bending/rod.h"
#include "units/angle.h"

namespace stripwright::bending {

/// How a rod is held and loaded.
struct Loading {
  Station tip;    ///< the free end
  Station clamp;  ///< where it is held fast, further towards the butt
  Angle upwards;  ///< of the rod at the clamp, above level; less than 90° either way
  Force at_tip;   ///< hangs from the tip, 0 or more
  bool own_weight = true;
};

/// One place of the bent rod.
struct BentPlace {
  Station at;
  Length out;         ///< level, from the clamp
  Length down;        ///< below the clamp
  Angle slope;        ///< below level
  double moment = 0;  ///< N mm
  Pressure stress;  ///< in the outermost fibre, bent over two flats; over two corners it is 2/√3
                    ///< times that
};

/// The rod at rest.
struct Bent {
  std::vector<BentPlace> places;  ///< from the tip to the clamp
  Mass mass;                      ///< of what is beyond the clamp, joints included
  Station centre_of_mass;         ///< of the same, of the straight rod
  double strain_energy = 0;       ///< N mm

  BentPlace const& tip() const { return places.front(); }
  Length drop() const { return tip().down; }
};

/// The static shape of a rod under dead loads, however far it bends (the elastica with varying
/// EI): planar, not stretched, no shear, bending where its EI θ' = M:
///   θ' = M/EI(s),  M' = -V(s) cos θ,  V = tip load + weight of all beyond s,
/// s along the rod from the clamp, θ below level, θ(0) = -upwards, M = 0 at the tip. Dead loads
/// hang straight down, so V does not depend on the shape; the tip's θ is sought for which the
/// integration from the tip inwards ends with the clamp's. Bernoulli and Euler; the form is that of
/// Bisshopp and Drucker, Q. Appl. Math. 3 (1945) 272 (from memory), with varying EI and weight.
///
/// `stations` are told, with tip and clamp. Joints are stiff. Nothing where the load is so great
/// that the tip hangs down straight to the last bit. Flats of 0 or below between tip and clamp, or
/// a clamp that is not behind the tip: std::logic_error.
std::optional<Bent> bend(Rod const& rod, Loading const& loading,
                         std::vector<Station> const& stations);

}  // namespace stripwright::bending
