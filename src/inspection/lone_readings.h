#pragma once

#include <span>
#include <vector>

#include "inspection/judge.h"

namespace stripwright::inspection {

/// From how many places on, where one height was read, a reading can be said to stand alone.
inline constexpr std::size_t kLeastPlacesForLone = 5;

/// Which readings of strips or sections stand alone, so that they were misread rather than cut so.
///
/// What was milled or planed does not jump at one station and be back at the next. A height's
/// deviation d at a place jumps by
///   p = d - the larger of its neighbours' d, or the smaller of them - d,
/// its neighbours being the places before and behind where that height was read. A step has p = 0
/// at its corner, and so have heights that are over alike. A reading stands alone if
///
/// - the height was read at `kLeastPlacesForLone` places or more, and none of them is the first or
///   the last: what is off at an end may be a real step;
/// - p > max(T + 3 u, 7 u), T the whole tolerance, u the reading's standard uncertainty: two places
///   that are both right differ by T at most;
/// - p > 3.5 times how the strip itself scatters from place to place, by the median, the reading
///   left out (`kOddFrom`, as readings of a rod are held against their neighbours);
/// - no other height that was read there jumps with it, by half of p or more: a real spot is low or
///   high in all heights, for what is planed off a flank lowers all three;
/// - most of two or more other strips read at the same place do not jump with it: a screw that is
///   set wrong makes the same jump in all of them;
/// - it is no mean of readings that agree: who has read it twice has not misread it.
///
/// At an end, where there is one neighbour only, it stands alone if the other two heights were read
/// there and both go with theirs, to a quarter of p, and if that neighbour does not jump itself, by
/// a quarter of p or more. The reading farthest from its height's median is named first and left
/// out, and the rest looked at again; a quarter of a height's at most.
///
/// Of strips that are right everywhere, read with the gauge's scatter, fewer than one in a thousand
/// has a reading named (simulated in the tests).
class LoneReadings {
 public:
  /// Keeps a reference to the readings, to look at other strips in them.
  explicit LoneReadings(Readings const& readings) : readings_(readings) {}

  /// Sets `Judged::lone` of the readings that stand alone. The piece is one of the readings'.
  void mark(JudgedPiece& piece);

 private:
  bool others_jump_too(std::uint32_t targets, std::size_t height, double jump_mm);
  void look_at_all();

  Readings const& readings_;
  std::vector<std::vector<double>> jumps_mm_;  // by targets and height; filled when first asked for
};

/// The same of one reading while its piece is being measured: one neighbour that has been read is
/// enough, wherever it lies, and how the strip scatters is not known yet. What it costs is reading
/// once more. `others` are other pieces of its section.
std::optional<Lone> lone_while_measuring(JudgedPiece const& piece, std::size_t place,
                                         std::size_t height, std::span<JudgedPiece const> others);

/// The piece without the readings that stand alone, nor angles that rest on them.
JudgedPiece without_lone(JudgedPiece piece);
bool any_lone(JudgedPiece const& piece);

}  // namespace stripwright::inspection
