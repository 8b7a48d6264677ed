#pragma once

#include <optional>
#include <string>
#include <vector>

#include "taper/taper.h"
#include "units/parse.h"

namespace stripwright {

/// For each point, section and ferrule of a taper which one of the taper it was made from it is:
/// what a maker wrote beside that one belongs to this one.
struct Origins {
  using Index = std::optional<std::size_t>;
  std::vector<Index> points;
  std::vector<Index> sections;
  std::vector<Index> ferrules;
};

/// A taper on its way from one to another.
struct DerivedTaper {
  Taper taper;
  Origins from;
  std::vector<std::string> remarks;  ///< what should be known of how it was made
};

/// The taper as it is, all of it from itself.
DerivedTaper derived_from(Taper taper);

/// What came of a change: another taper, or why not, and the way out.
using Change = Parsed<DerivedTaper>;

/// All stations, ends of sections and places of ferrules times a factor above 0, counted from
/// station 0. The flats stay.
Change scale_length(DerivedTaper taper, double factor);
/// All flats times a factor above 0. Ferrules are bought in sizes: their bores stay.
Change scale_flats(DerivedTaper taper, double factor);
/// The same amount on all flats, off them where it is negative. Nothing may be left of a station:
/// that is a fault.
Change add_flats(DerivedTaper taper, Length amount);
/// Moves the whole rod along the stations, towards the butt for an amount above 0.
Change move_stations(DerivedTaper taper, Length by);

/// The flats at other stations, along the taper's own curve (`TaperCurve`); both its ends stay
/// stations. `stations` in any order; those beyond the ends are left out, and said so.
Change at_stations(DerivedTaper taper, std::vector<Station> stations);
/// At all multiples of a step between the ends, counted from station 0, and at both ends. At most
/// `kMostStations` of them.
Change at_every(DerivedTaper taper, Length step);
inline constexpr double kMostStations = 10000;

/// The same lengths in a file of the other unit.
Change in_unit_of_file(DerivedTaper taper, Unit unit);
/// Over varnish of this thickness on each flat where it was bare: D + 2v; or the other way round:
/// D - 2v. A fault where it is of that basis already, or nothing is left.
Change on_basis(DerivedTaper taper, Measured basis, Length varnish);

/// The part between two stations of the taper, which become its ends. Sections are cut with it,
/// those outside and the ferrules outside are left out; at least one section must remain.
Change cut(DerivedTaper taper, Station from, Station to);
/// Another taper behind the butt end of this one: its tip end comes to lie there, whatever station
/// it had. At the joint, where both have a figure, the mean of the two is taken, and said so where
/// they differ. A fault: not the same basis; a section of the same name in both.
Change join(DerivedTaper taper, Taper const& behind);
/// (1 - share) of this taper and `share` (0 to 1) of another, at the stations of this one. A fault:
/// not the same basis; the other one does not reach over all of this one.
Change blend(DerivedTaper taper, Taper const& other, double share);

/// Each figure replaced by what a straight line says there that is fitted, by least squares, to the
/// figures nearer than `reach` (above 0) on both sides, each with the weight 1 - distance/reach. A
/// straight taper stays as it is. A station that has no other within reach stays as it is.
Change smooth(DerivedTaper taper, Length reach);

/// A section by another name. A fault: no such section, a name that another has or that is none.
Change rename_section(DerivedTaper taper, std::string const& name, std::string const& other);

}  // namespace stripwright
