#pragma once

#include "machine/drawing.h"
#include "machine/section_setup.h"

namespace stripwright::machine {

/// What a set-up is for, in words that go on drawings and into programs.
struct SetupNames {
  std::string taper;
  std::string about;  ///< the taper's; may be empty
  std::string shop;
  std::string machine;
  std::string correction;  ///< the file of the correction that was taken; empty without one
};

/// The pattern of one section at full size: x is the machine position, y the pattern's height.
/// Its curved edge closed by a straight one, which lies at height 0, or 10 mm or more from the
/// curve where the pattern would be less than 5 mm deep otherwise; below the curve, or above it
/// for a pattern under a lifted strip. Stations and the ends of section and strip are marked along
/// the straight edge, each with the depth from there to the curve; there is a rule of 100 mm to
/// check a print by.
///
/// The set-up has to be a pattern mill's (else std::logic_error).
Drawing pattern_drawing(SectionSetup const& setup, PatternMill const& mill, SetupNames const& names,
                        Unit unit);

}  // namespace stripwright::machine
