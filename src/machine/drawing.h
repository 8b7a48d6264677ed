#pragma once

#include <string>
#include <vector>

#include "units/length.h"

namespace stripwright::machine {

/// A place on a drawing: to the right and upwards.
struct DrawingPlace {
  Length x, y;
};

struct DrawingLine {
  DrawingPlace from, to;
};

/// Which end of the words stands at their place.
enum class TextStands { from_place, up_to_place };

/// A line of text on its base line.
struct DrawingText {
  DrawingPlace at;
  Length height;  ///< of capital letters
  std::string words;
  TextStands stands = TextStands::from_place;
  bool upwards = false;  ///< read from below, turned a quarter to the left
};

/// What is drawn at full size: closed outlines to be cut out, and marks and words beside them.
/// It knows nothing of strips; SVG and DXF are made from it.
struct Drawing {
  std::string title;
  DrawingPlace lowest, highest;  ///< corners of the sheet
  std::vector<std::vector<DrawingPlace>> outlines;
  std::vector<DrawingLine> marks;
  std::vector<DrawingText> texts;
};

/// SVG 1.1 whose one unit is a millimetre, at its true size; the outlines are polygons of class
/// `outline`, all else is in the group `marks`.
std::string to_svg(Drawing const& drawing);

/// DXF of release 12 (AC1009), ASCII, in millimetres, x and y as in the drawing: outlines are
/// closed POLYLINEs on layer OUTLINE_MM, marks LINEs and words TEXTs on layer MARKS_MM.
std::string to_dxf(Drawing const& drawing);

/// About how wide words are in the letters that are drawn: generous, for no two may overlap.
Length width_of(std::string const& words, Length height);

}  // namespace stripwright::machine
