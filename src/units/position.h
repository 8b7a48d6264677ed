#pragma once

#include <compare>

#include "units/length.h"

namespace stripwright {

/// A place on an axis, as distinct from a distance along it. Two axes occur, the
/// rod's and the machine's; a place on one never passes for a place on the other.
template <class Axis>
class Position {
 public:
  constexpr Position() = default;
  explicit constexpr Position(Length from_zero) : from_zero_(from_zero) {}

  constexpr Length from_zero() const { return from_zero_; }

  friend constexpr Length operator-(Position a, Position b) { return a.from_zero_ - b.from_zero_; }
  friend constexpr Position operator+(Position a, Length d) { return Position(a.from_zero_ + d); }
  friend constexpr Position operator-(Position a, Length d) { return Position(a.from_zero_ - d); }
  friend constexpr auto operator<=>(Position a, Position b) = default;

 private:
  Length from_zero_;
};

/// A place along the rod, counted from its tip end: a station.
using Station = Position<struct RodAxis>;
/// A place along the machine, in the machine's own numbering.
using MachinePosition = Position<struct MachineAxis>;

template <class Axis>
bool same_place(Position<Axis> a, Position<Axis> b) {
  return same_place(a.from_zero(), b.from_zero());
}

}  // namespace stripwright
