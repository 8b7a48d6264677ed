#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"

namespace stripwright::page {

/// How a place stands; each has a shape of its own.
enum class PlaceState { open, right, thin, thick, unsure, left_out };

/// A place where a piece is measured.
struct FigurePlace {
  double at = 0;      ///< along the piece, in any unit, increasing
  double height = 0;  ///< what it shall measure, in any unit
  std::string name;   ///< the station, as it is printed
  PlaceState state = PlaceState::open;
};

/// A piece from the side, its height drawn many times too great: its places with what was found
/// there, and an arrow at the one that is next (an index; none if it is their number).
report::Canvas measuring_figure(std::vector<FigurePlace> const& places, std::size_t next,
                                std::string const& title);

/// The shape of a state as a drawing, and as a word for who cannot see it.
report::Canvas state_shape(PlaceState state, double size);
std::string_view state_word(PlaceState state);

}  // namespace stripwright::page
