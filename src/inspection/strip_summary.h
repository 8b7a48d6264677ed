#pragma once

#include <optional>

#include "inspection/judge.h"
#include "inspection/shift.h"

namespace stripwright::inspection {

/// A value and its standard uncertainty.
template <class Quantity>
struct Estimate {
  Quantity value{};
  Quantity uncertainty{};
};

/// What can come off at a place with no height there getting under its target: the least
/// deviation of the heights read there. Strip height: taken from both flanks alike it is half
/// of it from each.
struct TakeOff {
  Length amount;
  Station at;
  /// A height stays thick even so, there or elsewhere: the angles have to be planed. Of a section:
  /// not all pairs of flats are thick.
  bool one_flank_more = false;
  Height height = Height::a;  ///< of a section, the pair of flats it is told of
};

/// The reading farthest below its lower limit's target.
struct Thinnest {
  Length deviation;
  Station at;
  Height height = Height::a;
};

/// A reading that stands alone, to be read again before anything is done.
struct ReadAgain {
  Station at;
  Height height = Height::a;
  Repeated read;
  Lone lone;
};

/// The angles of a strip over all places where three heights were read; arrays go apex, b, c.
struct AngleSummary {
  std::array<Estimate<Angle>, 3> mean;
  std::size_t places = 0;
  Counts counts;                   ///< of all angles at all places
  Station worst_at;                ///< where an angle is farthest from 60°
  AngleAdvice advice;              ///< for that place
  Verdict after = Verdict::right;  ///< of height a there, once it is brought to 60°
  /// Of six such strips, at the mean apex angle: where the flank is longest, and so it is widest.
  section::SeamOpening seam;
  Length seam_uncertainty;  ///< standard
  Station seam_at;
};

/// All that the readings of one strip (or section, or groove) say. Verdict and counts are of all
/// readings; all else rests on those alone that do not stand alone.
struct StripSummary {
  Verdict verdict = Verdict::right;
  Counts counts;
  std::vector<ReadAgain> read_again;
  Counts relied_on;                  ///< of the readings that all else rests on
  std::optional<TakeOff> take_off;   ///< the most, over the places where something is thick
  std::optional<Thinnest> thinnest;  ///< over the readings that are thin
  Estimate<Length> mean_deviation;
  /// The change of the deviation from the first to the last place, along the straight line
  /// that fits best; nothing with readings at one place only.
  std::optional<Estimate<Length>> deviation_growth;
  double stiffness_least = 0;  ///< the shares that EI is off by
  double stiffness_most = 0;
  std::optional<AngleSummary> angles;
  std::optional<Shift> shift;  ///< strips only, where one helps
};

/// Of a piece whose readings that stand alone are marked (`LoneReadings`), those.
std::vector<ReadAgain> standing_alone(JudgedPiece const& piece);

/// Sums up a piece. Means keep the gauge's common part whole,
///   u² = u_gauge² + max(Σ r²/n², s²/n),
/// r the scatter part of each reading and s how the deviations scatter about the straight line that
/// fits best, s² = Σ e²/(n - 2): what a strip does from place to place is in both. In the growth
/// the common part falls out; with X the distance from the mean station its slope has
///   u_k² = max(Σ X² r², s² Σ X²) / (Σ X²)²,
/// the latter the standard error of ordinary least squares (NIST/SEMATECH e-Handbook of Statistical
/// Methods, 4.1.4; from memory). Two readings have no scatter about their line: then all of the
/// gauge's uncertainty counts as each one's own.
StripSummary sum_up(JudgedPiece const& piece, Judge const& judge);

/// What is only asked of strips: their angles, which have to be judged already, and the shift
/// that helps.
void sum_up_strip(StripSummary& summary, JudgedPiece const& strip, StageTargets const& targets,
                  Spare const& spare, Judge const& judge);

/// Places whose readings call for measuring again, for taking down and so on, in words of a
/// verdict: of the places of this verdict, how many there are.
std::size_t places_of(JudgedPiece const& piece, Verdict verdict);

}  // namespace stripwright::inspection
