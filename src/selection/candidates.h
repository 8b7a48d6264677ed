#pragma once

#include <map>

#include "inspection/judge.h"
#include "selection/node_rules.h"

namespace stripwright::selection {

/// What the strips of one section are turned into candidates by.
struct PoolOrder {
  inspection::StageTargets const* targets = nullptr;  ///< of the section, milled or ready
  Shop const* shop = nullptr;
  inspection::Judge judge;
  std::optional<double> percent_moisture_now;  ///< when the strips were measured, if not as milled
  std::vector<Station> stations;               ///< of the section's table, increasing
  std::vector<Length> shifts;                  ///< that a strip may have, the nearest to 0 first
  bool not_right_too = false;                  ///< strips, and shifts of strips
  NodeRules rules;
  std::map<std::string, std::vector<Station>> nodes;  ///< of each strip, as it lies unmoved
  std::map<std::string, double> densities;            ///< of each strip, in whatever unit
};

/// Why a strip is not among those that can be chosen.
enum class LeftOut {
  not_right,      ///< it is thick, thin or unsure somewhere, however it is moved
  too_short,      ///< its readings leave out more than a quarter of the section at an end
  without_height  ///< height a was not measured
};

/// The strips of a section, those that can be chosen and the others.
struct SectionPool {
  Pool pool;
  std::vector<std::size_t> piece_of;  ///< of each strip in the pool: its place in the readings
  struct Other {
    std::size_t piece;
    LeftOut why;
  };
  std::vector<Other> others;
  std::vector<std::size_t> without_nodes;  ///< strips of the pool whose nodes nobody has measured
  bool some_densities = false;             ///< known of some strips, but not of all
};

/// The multiples of a step that a strip can be moved by within its spare, 0 first, then by size, of
/// equal ones that towards the tip first. Only 0 if the step is 0.
std::vector<Length> shifts_within(Spare const& spare, Length step);

/// Height a over its target along the strip as it lies, both as they were measured, at the places
/// where it was read.
class DeviationLine {
 public:
  /// Needs a piece with height a somewhere.
  DeviationLine(inspection::Piece const& piece, inspection::StageTargets const& targets);

  /// Straight between readings; beyond the first and the last as it is there.
  Length at(Station station) const;
  Station first() const { return points_.front().at; }
  Station last() const { return points_.back().at; }

 private:
  struct Point {
    Station at;
    Length deviation;
  };
  std::vector<Point> points_;
};

/// The candidates of a section from its pieces among the readings: each strip with those of its
/// shifts with which all its readings are right where they then lie within the section. (What is
/// cut off does not count.)
///
/// A strip moved by s towards the tip has at x the height that it now has at x + s. With W the
/// target of the strip as it goes to the glue, not less its apex relief, as milled it deviates by
///   W(x + s) - W(x),  and by how it itself was cut,  d(x + s).
/// Both are divided by 1 + K (M - M_service), M the moisture of milling for the first and of
/// the measuring for the second: what remains is by how much it moves the flats of the glued
/// section, h_i + h_j + 2g, off their target. Which also holds where enamel or crown are still on
/// the strip, for then both, reading and target, have them.
SectionPool make_pool(inspection::Readings const& readings, std::size_t section,
                      PoolOrder const& order);

}  // namespace stripwright::selection
