#pragma once

#include <vector>

#include "units/length.h"

namespace stripwright::culm {

/// A stretch of cane that lengths can be cut from: a culm, or what is left of one.
struct StackCulm {
  Length length;
  std::vector<std::size_t> sections_of_piece;  ///< of each section: how many one length of it gives
};

/// A stretch along a culm, from its thin end.
struct Stretch {
  Length from;
  Length to;
};

/// What is left of a culm between the stretches that were cut from it, in whatever order these
/// come and overlap, increasing. Stretches shorter than `least` are left out.
std::vector<Stretch> stretches_left(Length culm, std::vector<Stretch> cut, Length least);

/// How a stack of culms is cut.
struct StackPlan {
  std::size_t rods = 0;                          ///< whole rods
  std::vector<std::size_t> sections;             ///< made of each section
  std::vector<std::vector<std::size_t>> pieces;  ///< of each culm: lengths of each section
};

/// The cutting of a stack that gives the most rods, and of such the most sections in all. A culm
/// is cut into lengths of whole strips, end to end; all strips of a section come from one length.
/// `strip_lengths`, above 0, `make`, how many a rod has, and `already`, how many there are before
/// anything is cut, are of each section. At most 400 culms and six sections: more stop the
/// program.
///
/// Exact: of all that the culms so far can give, only that is kept which no other way of cutting
/// them matches in every section.
StackPlan plan_stack(std::vector<StackCulm> const& culms, std::vector<Length> const& strip_lengths,
                     std::vector<std::size_t> const& make, std::vector<std::size_t> const& already);

}  // namespace stripwright::culm
