#pragma once

#include <algorithm>
#include <vector>

#include "machine/cutter_curve.h"
#include "machine/screw_settings.h"

namespace stripwright::machine {

/// How far straight lines between the points of a table may lie off the exact curve:
/// 0.0001 mm, of which the rounding of the figures in files (up to half of 0.00001 mm or of
/// 0.000001 in, and as much again for the place, on a slope) leaves this.
inline constexpr Length kPointTolerance = Length::millimetres(0.00008);
/// A rest that the cutter leaves, or a miss of the follower, is told from here on.
inline constexpr Length kLeastTold = Length::millimetres(0.0001);

/// One point of a cutter's way over a strip.
struct CutterPoint {
  MachinePosition machine_at;
  Station taper_at;
  Length strip_milled;      ///< the final strip
  Length offset;            ///< cutter offset
  bool on_strip = true;     ///< false where the cutter runs in or out beyond the strip's ends
  bool at_station = false;  ///< at a station of the table or an end of section or strip
};

/// The stations that are among a table's points whatever the curve does: the table's own, the
/// section's ends and the strip's, increasing.
std::vector<Station> places_told(Job const& job, std::vector<Station> const& stations);

/// Puts points in the order of the machine's positions.
template <class Point>
void by_machine_position(std::vector<Point>& points, Placement const& placement) {
  if (placement.feeds() == Feeds::butt_first) std::reverse(points.begin(), points.end());
}

/// What is too much of something left or missed inside the section, told as unmet:
/// `what` begins the sentence, each place is told with its amount.
struct Shortfall {
  Station at;
  Length amount;
};
void tell_shortfalls(std::vector<Shortfall> const& shortfalls, Length allowed,
                     std::string const& what, std::string const& remedy, Job const& job,
                     Problems& problems);

/// Unmet if the cutter leaves more standing anywhere in the section than a strip may be over.
void tell_rests(std::vector<Rest> const& rests, Length cutter_radius, Job const& job,
                Problems& problems);

}  // namespace stripwright::machine
