#pragma once

#include <string>
#include <vector>

#include "bending/bend.h"
#include "report/canvas.h"

namespace stripwright::bending {

/// A bent rod to be drawn. The rod has to live as long as this does.
struct Outline {
  std::string name;
  Bent const* bent;
  report::Pen pen;
  /// How far down and up each of its places is uncertain: hatched on both sides of the line; empty
  /// where nothing is known of it.
  std::vector<Length> give_or_take = {};
};

/// The rods' shapes from the clamp outwards, as they hang, as large across as down, over a grid of
/// round lengths.
report::Canvas draw_shapes(std::string const& title, std::vector<Outline> const& rods, Unit unit);

}  // namespace stripwright::bending
