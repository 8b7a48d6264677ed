#pragma once

#include <string>
#include <vector>

#include "files/source_text.h"
#include "taper/derive.h"
#include "taper/taper.h"

namespace stripwright {

/// A length as a number for a file of this unit, as short as it is exact: with the fewest decimals
/// that are within 2 nm of it, up to one more than `file_decimals`, so that what came from the
/// other unit's file goes back to the same figure. With `computed`, what was reckoned and not only
/// carried over, up to `file_decimals`.
std::string taper_number(Length length, Unit unit, bool computed);

/// A new taper file: remarks as comments on top, then the taper. It reads as the taper does, up to
/// the last decimal of `taper_number` (flats and stations count as carried over). A name or an
/// about that is empty is left out, and so are sections that are only the one called `rod` over the
/// whole taper.
std::string new_taper_text(Taper const& taper, std::vector<std::string> const& remarks);

/// A maker's file with another taper in it. Only what differs is written: numbers in their places,
/// in the units they have where their value stays; lines of stations, sections and ferrules taken
/// out or put in. The maker's comments, order and spelling stay, and `remarks` are put as comments
/// above the first key. `old` is what `bytes` hold; `to_name` is the new file's name, for its rod's
/// name where the file gives none.
///
/// What comes out is read again and must be the wanted taper, to half the last decimal written;
/// else nothing, and a problem. So where the wanted taper is none that may stand in a file.
std::optional<std::string> derived_taper_text(std::string const& from_name,
                                              std::string const& bytes, Taper const& old,
                                              DerivedTaper const& wanted,
                                              std::string const& to_name,
                                              std::vector<std::string> const& remarks,
                                              Problems& problems);

}  // namespace stripwright
