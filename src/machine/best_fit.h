#pragma once

#include <optional>
#include <span>
#include <vector>

#include "machine/bar_miss.h"
#include "machine/bar_spline.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// A support as the fit sees it.
struct FitSupport {
  Station at;
  /// Where it stands if it is not free; where the search begins if it is.
  Length height;
  bool free = false;
  /// A free support is set no lower than this, for instance the depth at which a form's bars
  /// touch. A fixed one stays where it is told to.
  std::optional<Length> at_least = {};
};

enum class BarKind { spring, straight };

BarShape bar_through(BarKind kind, std::vector<Support> supports);

struct BestFit {
  std::vector<Support> supports;
  /// The greatest |bar - target| over the interval with these supports.
  Miss greatest;
};

/// The heights of the free supports for which the greatest |bar - target| over [from, to] is as
/// small as it can be, to a nanometre. The heights need not be unique, the greatest miss is.
///
/// The bar is linear in its supports' heights: bar(x) = Σ y_i φ_i(x), φ_i the bar with support i
/// at 1 and all others at 0. On a grid of places the smallest greatest miss is therefore a
/// linear programme. A grid only sees its own places: between two of them, δ apart, a smooth miss
/// e can be greater by δ²/8 max |e''|. Rather than make the grid as dense as that asks for, the
/// exact places where the bar misses by more than the grid knows of are added and the programme
/// is solved again (the exchange of E. Remez), until there is none: the programme's answer on any
/// grid is no greater than the true smallest, the miss over [from, to] is no smaller, and they
/// meet.
///
/// A free support that no place of [from, to] feels keeps its height. Supports as BarShape
/// wants them; `from` no greater than `to` (else std::logic_error).
BestFit best_fit(BarKind kind, std::span<const FitSupport> supports,
                 const section::HeightCurve& target, Station from, Station to);

}  // namespace stripwright::machine
