#pragma once

#include <optional>
#include <string>
#include <vector>

#include "section/strip_profile.h"

namespace stripwright::culm {

/// What one section asks of the cane.
struct SectionNeed {
  RodSection section;
  std::size_t strips = 0;  ///< six for each that the rod has
  Length strip_length;     ///< spare at both ends in
  Length strip_height;     ///< the largest as milled, along the strip, spare and all
  Station strip_height_at;
  Length rough_height;  ///< with what is left on the rough triangle
  Length split_width;   ///< of a strip on the culm's outside, with what a split loses
};

/// The rough triangle holds the largest strip and what is left on it: 2 (h_max + over)/√3 wide;
/// each strip loses `split` besides.
SectionNeed section_need(section::StripProfile const& profile, Spare const& spare,
                         RoughAllowance const& rough);

/// The most strips of a width that the outside of a culm of diameter d has room for: floor(π d /
/// width). Width above 0.
std::size_t most_strips(Length diameter, Length width);

/// A count of strips that is reached by splitting every piece into halves or thirds.
struct WholeSplits {
  std::size_t strips = 1;
  /// 2 or 3 for each round of splits. A culm is halved first, if it can be; thirds, which run out
  /// more easily, come next, while the pieces are wide; halves come last.
  std::vector<int> order;
};

/// The largest such count, 2^a 3^b, that is not above `most`; most 1 or more.
WholeSplits largest_whole_splits(std::size_t most);
/// The smallest that is `wanted` or more and not above `most`, if there is one: the fewest splits,
/// and the widest strips.
std::optional<WholeSplits> fewest_whole_splits(std::size_t wanted, std::size_t most);

/// A culm and a section: how the one gives strips for the other.
struct Yield {
  std::size_t most = 0;               ///< strips that there is room for
  WholeSplits splits;                 ///< of the largest count by whole splits
  Length width_each;                  ///< of those, before the loss by splitting
  std::optional<WholeSplits> enough;  ///< the fewest that give all strips the section needs
  bool wall_carries = true;  ///< the wall is as thick as the strip is high; true if unknown
  bool culm_carries = true;  ///< it is stout enough for the strip's face
  /// Sections whose six strips come from one length: none if it does not carry them.
  std::size_t sections() const { return wall_carries && culm_carries ? splits.strips / 6 : 0; }
};

Yield yield_of(SectionNeed const& need, Length diameter, std::optional<Length> wall,
               bool culm_carries);

/// What is left of culm and strip at a station.
struct CaneAt {
  Station at;
  Length strip_milled;
  std::optional<Length> wall_left;  ///< wall less the strip's height, below 0 if it lacks
  Length crown;                     ///< that is still to come off the face at the mill's station
  std::optional<double> power_fibre_share;  ///< of the finished strip's area, 0 to 1
};

/// Of a flat face: 1 - ((h - p)/h)² for p < h, else 1. By similar triangles: what is not power
/// fibre is a triangle of height h - p.
double flat_power_fibre_share(Length h, Length depth);

/// At each station; the round culm's share by clipping polygons, the flat one's by the formula.
std::vector<CaneAt> cane_along(section::StripProfile const& profile,
                               std::vector<Station> const& stations, std::optional<Length> wall,
                               std::optional<Length> power_fibre);

}  // namespace stripwright::culm
