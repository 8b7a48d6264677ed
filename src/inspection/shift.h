#pragma once

#include <optional>
#include <vector>

#include "inspection/judge.h"

namespace stripwright::inspection {

/// A shift of a strip along the taper. Above 0 it moves towards the tip: at station x the rod
/// then has the height that the strip now has at x + s.
struct Shift {
  Length by;     ///< the least that does it
  Length until;  ///< the most that does as well, on the same side of `by` as the readings allow
  std::size_t right_now = 0;
  std::size_t right_then = 0;
};

/// The shift that makes the most readings of a strip right, of those the smallest; with
/// -spare.tip_end <= s <= spare.butt_end. Nothing if no shift makes more readings right than
/// stand right now.
///
/// A reading taken at x with mean m stands, after the shift, at x - s and is right there if its
/// deviation m - T(x - s) lies between the two that its uncertainty proves right. T is
/// monotone between its corners, so for each reading the shifts that make it right are a few
/// closed stretches, whose ends follow from T's inverse. The number of right readings
/// changes at those ends only: going through them in order finds the greatest number, and where
/// it stands, exactly; a grid of shifts could step over it.
std::optional<Shift> best_shift(JudgedPiece const& strip, StageTargets const& targets,
                                Spare const& spare, Judge const& judge);

}  // namespace stripwright::inspection
