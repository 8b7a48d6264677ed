#include "inspection/decision.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stripwright::inspection {
namespace {

/// Φ(z) = 0.95, one side (and 0.975, the same for two).
constexpr double kProvenZ = 1.6448536269514722;
constexpr double kProvenBothZ = 1.959963984540054;

/// Guarded, by how far the limits are from the reading, in units of u.
Verdict guarded(double below_high, double above_low) {
  if (below_high <= -kProvenZ) return Verdict::thick;
  if (above_low <= -kProvenZ) return Verdict::thin;
  const double nearer = std::min(below_high, above_low);
  // Either tail is 0.05 at least where it alone is nearer than 1.645 u, and both together
  // are 0.05 at most where each is beyond 1.960 u: only between is P itself needed.
  if (nearer < kProvenZ) return Verdict::unsure;
  if (nearer >= kProvenBothZ) return Verdict::right;
  return probability_between(-above_low, below_high) >= kProven ? Verdict::right : Verdict::unsure;
}

/// What a double's own rounding may put between a reading and a limit that were written alike.
constexpr Length rounding_of(Length) { return kSamePlace; }
constexpr Angle rounding_of(Angle) { return Angle::radians(1e-9); }

template <class Quantity>
Verdict decided(Quantity m, Quantity lowest, Quantity highest, Quantity u, Decide decide) {
  if (decide == Decide::guarded && u > Quantity{})
    return guarded((highest - m) / u, (m - lowest) / u);
  if (m > highest + rounding_of(m)) return Verdict::thick;
  return m < lowest - rounding_of(m) ? Verdict::thin : Verdict::right;
}

std::string_view pick(Verdict verdict, std::array<std::string_view, 4> const& words) {
  return words.at(static_cast<std::size_t>(verdict));
}

}  // namespace

std::string_view word(Verdict verdict) {
  return pick(verdict, {"right", "unsure", "thick", "thin"});
}

std::string_view groove_word(Verdict verdict) {
  return pick(verdict, {"right", "unsure", "deep", "shallow"});
}

std::string_view angle_word(Verdict verdict) {
  return pick(verdict, {"right", "unsure", "wide", "narrow"});
}

Verdict worse(Verdict one, Verdict other) { return std::max(one, other); }

Verdict verdict(Length m, Limits const& limits, Length u, Decide decide) {
  return decided(m, limits.low, limits.high, u, decide);
}

Verdict verdict(Angle m, Angle lowest, Angle highest, Angle u, Decide decide) {
  return decided(m, lowest, highest, u, decide);
}

double conformance_probability(Angle m, Angle lowest, Angle highest, Angle u) {
  if (u <= Angle{}) return m >= lowest - rounding_of(m) && m <= highest + rounding_of(m) ? 1 : 0;
  return probability_between((lowest - m) / u, (highest - m) / u);
}

}  // namespace stripwright::inspection
