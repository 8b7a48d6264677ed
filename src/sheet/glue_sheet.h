#pragma once

#include <array>
#include <string>
#include <vector>

#include "report/canvas.h"
#include "sheet/frame.h"

namespace stripwright::sheet {

/// A strip at its place in a ring.
struct GluedStrip {
  std::string name;
  std::string moved;   ///< `0.25 in towards the tip`, `not moved`
  std::string beside;  ///< `opposite s4; nodes at 4.25, 17.25`
};

/// Across flats at one station, as they are expected when the section is glued.
struct GluedStation {
  Length at;
  Length target;
  std::array<Length, 3> flats;
};

/// One section to be glued.
struct GluedRing {
  std::string name;                  ///< `tip-1`
  std::vector<std::string> remarks;  ///< rules that give, limits that are not kept
  std::array<GluedStrip, 6> strips;
  std::vector<report::Canvas> pictures;  ///< the ring; its nodes where they are known
  std::vector<std::string> captions;     ///< of each picture
  std::vector<GluedStation> stations;
};

/// What a gluing sheet is made from.
struct GlueOrder {
  SheetHead head;
  std::string what;  ///< `Yarrow: strips to glue`
  std::vector<GluedRing> rings;
  std::vector<std::string> cautions;
};

/// The page for the glue bench: for each ring its six strips in their order, how far each is moved,
/// boxes to tick, the pictures, and what the glued section should measure, with blanks for what it
/// does.
std::string glue_sheet(GlueOrder const& order);

}  // namespace stripwright::sheet
