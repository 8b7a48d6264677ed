#pragma once

#include <string_view>

#include "inspection/conformance.h"
#include "units/angle.h"

namespace stripwright::inspection {

/// What a reading says of the thing measured.
enum class Verdict : unsigned char {
  right,   ///< within its limits
  unsure,  ///< too close to call
  thick,   ///< over the higher limit: can still be taken down
  thin,    ///< under the lower limit: cannot be made right
};

/// The verdict's word: of strips and sections `right`, `unsure`, `thick`, `thin`.
std::string_view word(Verdict verdict);
/// Of a groove `deep` and `shallow`, of an angle `wide` and `narrow`.
std::string_view groove_word(Verdict verdict);
std::string_view angle_word(Verdict verdict);

/// Of two verdicts the one that counts for the whole: thin before thick before unsure.
Verdict worse(Verdict one, Verdict other);

/// From the reading m and its standard uncertainty u:
///   guarded  right  if P >= 0.95, P the conformance probability,
///            thick  if Φ((m - hi)/u) >= 0.95, thin if Φ((lo - m)/u) >= 0.95,
///            unsure otherwise
///   plain    right inside the limits, the limits included (to a nanometre, so that a double's
///            rounding decides nothing), thick or thin outside.
/// Where the limits lie wide against u, guarded is the guard band of 1.645 u inside and outside
/// each limit (ISO 14253-1:2017, the default; from memory); where they lie less than 3.92 u
/// apart nothing can be right. With u = 0 guarded is plain.
Verdict verdict(Length m, Limits const& limits, Length u, Decide decide);

/// The same for an angle and its limits.
Verdict verdict(Angle m, Angle lowest, Angle highest, Angle u, Decide decide);

/// The conformance probability of an angle, as of a length.
double conformance_probability(Angle m, Angle lowest, Angle highest, Angle u);

}  // namespace stripwright::inspection
