#pragma once

#include <optional>
#include <string>
#include <vector>

#include "inspection/rod_readings.h"
#include "taper/taper.h"

namespace stripwright::inspection {

/// From where to where a piece was measured.
struct PieceStretch {
  std::string piece;
  Station from;
  Station to;
};

/// Each piece of the readings, in order along the rod; those without a name are one.
std::vector<PieceStretch> piece_stretches(std::vector<FlatsReading> const& readings);

/// Two pieces that were read at the same stations, but are not of the same thickness there, as two
/// tips of one rod would be: each was counted from its own end.
struct PieceClash {
  std::string thinner;
  std::string thicker;
  std::size_t reading = 0;  ///< of the thicker one, at a station of both
};

/// The first two whose means at stations of both differ by more than a quarter, in the median over
/// those stations: a mistyped reading alone makes no clash.
std::optional<PieceClash> clashing_pieces(std::vector<FlatsReading> const& readings);

/// The rod's sections by its pieces, where they follow each other along the rod and overlap
/// nowhere, or the one that was measured. What lies between two of them, under a ferrule say, is
/// shared by halves. Nothing where pieces overlap, or have names that sections cannot have.
std::vector<RodSection> sections_of_pieces(std::vector<PieceStretch> const& pieces);

}  // namespace stripwright::inspection
