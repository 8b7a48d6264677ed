#pragma once

#include <string>
#include <vector>

#include "units/position.h"
#include "units/unit.h"

namespace stripwright {

/// What the taper's flats were measured on.
enum class Measured { bare, varnished };
/// How flats run between stations: straight, or as a monotone cubic.
enum class Between { linear, smooth };

/// One line of the taper: across flats at a station.
struct TaperPoint {
  Station at;
  Length flats;
};

/// One of the rod's parts between ferrules: ends of the cane before ferrules are fitted.
struct RodSection {
  std::string name;
  Station from;
  Station to;
  long make = 1;  ///< how many of it the rod has (two tips)

  Length length() const { return to - from; }
};

/// A joint whose bore the turned-down cane has to fill.
struct Ferrule {
  Station at;
  Length bore;
};

/// A rod's taper as its file has it: stations increasing, flats above 0, sections
/// tip first, inside the taper and not overlapping.
struct Taper {
  std::string name;
  std::string about;
  Unit unit = Unit::inch;
  Measured measured = Measured::bare;
  Between between = Between::linear;
  std::vector<TaperPoint> points;
  std::vector<RodSection> sections;
  std::vector<Ferrule> ferrules;

  Station tip_end() const { return points.front().at; }
  Station butt_end() const { return points.back().at; }
};

}  // namespace stripwright
