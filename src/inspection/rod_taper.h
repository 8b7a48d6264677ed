#pragma once

#include <optional>
#include <vector>

#include "inspection/repeated.h"
#include "inspection/rod_readings.h"
#include "taper/taper.h"
#include "units/parse.h"

namespace stripwright::inspection {

/// A reading that lies off what its neighbours say.
struct OddReading {
  std::size_t index = 0;    ///< of the readings
  Length expected;          ///< what its neighbours say
  double times_spread = 0;  ///< the modified z-score's size
};

/// From what size of the modified z-score a reading is called odd.
inline constexpr double kOddFrom = 3.5;

/// Readings that are off, worst first, by a robust rule. A station is expected to read what the
/// cubic through the medians of four neighbours says there, two on each side (at the rod's ends the
/// parabola through three); each reading's distance from that, divided by √(1 + Σ w²), w the
/// neighbours' weights, scatters alike along the rod. A reading is odd if its modified z-score
/// 0.6745 |d - median| / MAD among the others is over 3.5 (Iglewicz and Hoaglin 1993, by the
/// NIST/SEMATECH e-Handbook 1.3.5.17; from memory), those others taken without it. The worst is
/// taken out and the rest looked at again; a quarter of all at most. A spread, MAD/0.6745, below
/// `least_spread` counts as that.
///
/// Readings by station; with fewer than six stations none is odd that is alone at its own.
std::vector<OddReading> odd_readings(std::vector<FlatsReading> const& readings,
                                     Length least_spread);

/// One station of the rod: its readings, and what the taper says there.
struct RodStation {
  Station at;
  Repeated readings;
  std::optional<Length> u;  ///< of their mean; none where nothing is known of it
  Length flats;             ///< the taper's
};

/// How uncertain one reading is by itself, so that the mean of several is less so: what a gauge
/// adds to all its readings alike is not in it, for it makes no curve rough.
struct ReadingScatter {
  Length floor;   ///< at least, where stations were read more than once
  Length single;  ///< where none was, and the readings cannot tell
};
/// Of a gauge: its step as rectangular, and all of its uncertainty where readings cannot tell.
ReadingScatter scatter_of(Gauge const& gauge);

/// The standard uncertainty of one reading: the spread of readings at one station, pooled over all
/// stations, √(Σ (n-1) s² / Σ (n-1)), but no less than the floor. Odd readings do not belong here.
Length reading_uncertainty(std::vector<FlatsReading> const& readings,
                           ReadingScatter const& scatter);

/// How far the taper may be from a mean, in standard uncertainties: the 95 % of JCGM 100:2008,
/// 6.3.3 (from memory).
inline constexpr double kCoverage = 2;

/// The taper through the readings: with the uncertainty of one reading the smoothest curve that is
/// within `kCoverage` uncertainties of each station's mean (`smoothest_within`; fewer than three
/// stations stay as they are), without one the means. A mean's uncertainty is that of one reading,
/// or the station's own spread if that is more, over √n. Readings by station, at least two
/// stations.
std::vector<RodStation> rod_stations(std::vector<FlatsReading> const& readings,
                                     std::optional<Length> of_one_reading);

/// Whether the taper is thinner at its butt end than at its tip end, and falls at three of four
/// steps or more: what no rod does. Then stations were counted from the other end.
bool falls_all_along(std::vector<RodStation> const& stations);

/// The curve's flats at all multiples of a step, counted from station 0, and at both ends; straight
/// between the means where nothing is smoothed. A fault where `at_every` has one.
Parsed<std::vector<TaperPoint>> flats_at_every(std::vector<RodStation> const& stations, bool smooth,
                                               Length step, Unit unit);

}  // namespace stripwright::inspection
