#pragma once

#include <span>
#include <vector>

#include "machine/bar_spline.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// By how much a bar misses its target at a place: bar minus target, so positive where the bar
/// stands too high (a form's groove: too deep).
struct Miss {
  Station at;
  Length amount;
};

/// The greatest |bar - target| over [from, to], with its sign and its place; right to a
/// nanometre. Of several that agree to a nanometre the one nearest the tip is told. The target
/// may be any height curve: the strip's profile, a cutter offset, another bar.
///
/// Between neighbouring corners of the two the difference is smooth, so it is greatest at
/// a corner, at an end or where its slope is 0. A spline less a straight target is a cubic and
/// its slope a parabola; for curved targets cubics follow the difference closely enough.
/// `from` has to be no greater than `to` (else std::logic_error).
Miss greatest_miss(const section::HeightCurve& bar, const section::HeightCurve& target,
                   Station from, Station to);

/// The part of a bar between two neighbouring supports, or the part of [from, to] beyond the
/// outermost one, with the greatest miss in it.
struct SpanMiss {
  Station from;
  Station to;
  Miss greatest;
};

/// The greatest miss in every span of the bar that [from, to] touches, clipped to it, from the
/// tip on. Spans of no length are left out, unless [from, to] is one place.
std::vector<SpanMiss> misses_by_span(const BarShape& bar, const section::HeightCurve& target,
                                     Station from, Station to);

/// All places in [from, to] where |bar - target| can be greatest, increasing: corners, ends,
/// turning points.
std::vector<Miss> miss_candidates(const section::HeightCurve& bar,
                                  const section::HeightCurve& target, Station from, Station to);

/// The greatest of at least one candidate, chosen as in `greatest_miss`.
Miss greatest_of(std::span<const Miss> candidates);

/// A stretch over which a bar lies below a limit, with the place where it is furthest below;
/// `deepest.amount` is negative.
struct Dip {
  Station from;
  Station to;
  Miss deepest;
};

/// Where a bar dips below a limit within [from, to], for instance below the depth at which the
/// two bars of a form touch. A dip of less than a nanometre is none.
std::vector<Dip> dips_below(const section::HeightCurve& bar, const section::HeightCurve& limit,
                            Station from, Station to);

}  // namespace stripwright::machine
