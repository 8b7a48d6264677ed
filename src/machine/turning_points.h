#pragma once

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

#include "section/height_curve.h"

namespace stripwright::machine::plain {

/// A smooth function's value and slope at one place, in millimetres.
struct Sample {
  double at;
  double value;
  double slope;
};

/// The cubic with a's and b's values and slopes (Hermite):
/// value(t) = value_a + t (w slope_a) + t² c2 + t³ c3, with w = b - a and t = (x - a)/w.
struct HermiteCubic {
  HermiteCubic(const Sample& a, const Sample& b) : start(a.value), width(b.at - a.at) {
    const double rise = b.value - a.value;
    c1 = width * a.slope;
    c2 = 3 * rise - width * (2 * a.slope + b.slope);
    c3 = width * (a.slope + b.slope) - 2 * rise;
  }
  double value(double t) const { return start + t * (c1 + t * (c2 + t * c3)); }
  double slope(double t) const { return (c1 + t * (2 * c2 + t * 3 * c3)) / width; }

  double start, width, c1, c2, c3;
};

/// How closely the cubic has to follow the function: far under the nanometre that is promised,
/// and above the rounding of heights of some 100 mm.
inline constexpr double kFollows = 1e-11;
/// Pieces are not halved below this; a corner the function did not own up to is pinned down to
/// it, and then only the piece's ends count.
inline constexpr double kNarrowest = 1e-7;

template <class Value>
bool follows(const HermiteCubic& cubic, const Value& value, double from, double within = kFollows) {
  // No even parts, which a wave could pass at the same height each time.
  for (const double t : {0.21, 0.47, 0.76}) {
    // Not "> within": a NaN has to end the halving at kNarrowest, not pass for a good fit.
    if (!(std::fabs(value(from + t * cubic.width) - cubic.value(t)) <= within)) return false;
  }
  return true;
}

/// The zero of `slope` between a and b, where it has different signs.
template <class Slope>
double zero_between(const Slope& slope, double a, double b, double slope_a, double slope_b) {
  std::uintmax_t steps = 100;
  const auto close = [](double lo, double hi) { return hi - lo <= 1e-12 * (1 + std::fabs(lo)); };
  const auto [lo, hi] =
      boost::math::tools::toms748_solve(slope, a, b, slope_a, slope_b, close, steps);
  return lo + (hi - lo) / 2;
}

/// Visits the places inside (a, b) where a function that is smooth there turns, so that with the
/// two ends its greatest and least values are known. Where the Hermite cubic of the ends follows
/// the function (always, when the function is a cubic itself) its slope is a parabola: it has at
/// most one zero on either side of the parabola's own turning point. Elsewhere the piece is halved.
/// Parts whose ends `skip` turns down are left out.
template <class Value, class Slope, class Visit, class Skip>
void visit_turning_points(const Value& value, const Slope& slope, const Sample& a, const Sample& b,
                          const Visit& visit, const Skip& skip) {
  const HermiteCubic cubic(a, b);
  if (!(cubic.width > kNarrowest) || skip(a, b)) return;
  if (!follows(cubic, value, a.at)) {
    const double middle = a.at + cubic.width / 2;
    const Sample m{middle, value(middle), slope(middle)};
    visit_turning_points(value, slope, a, m, visit, skip);
    visit(middle);
    visit_turning_points(value, slope, m, b, visit, skip);
    return;
  }
  const auto turn_between = [&](const Sample& l, const Sample& r) {
    if ((l.slope < 0) != (r.slope < 0)) visit(zero_between(slope, l.at, r.at, l.slope, r.slope));
  };
  const double inflection = cubic.c3 == 0 ? -1 : -cubic.c2 / (3 * cubic.c3);
  if (inflection > 0 && inflection < 1) {
    const double at = a.at + inflection * cubic.width;
    const Sample m{at, 0, slope(at)};
    turn_between(a, m);
    turn_between(m, b);
  } else {
    turn_between(a, b);
  }
}

template <class Value, class Slope, class Visit>
void visit_turning_points(const Value& value, const Slope& slope, const Sample& a, const Sample& b,
                          const Visit& visit) {
  visit_turning_points(value, slope, a, b, visit,
                       [](Sample const&, Sample const&) { return false; });
}

}  // namespace stripwright::machine::plain
