#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"

namespace stripwright::report {

/// How the points of a series are joined: by a line, each to 0 by an upright stem, or not.
enum class Joined { line, stems, apart };

/// One line of a plot.
struct Series {
  std::string name;
  std::vector<Spot> points;  ///< in the plot's own values, y upwards
  Pen pen = Pen::thick;
  bool dots = false;  ///< a dot at every point
  Joined joined = Joined::line;
};

/// A stretch of height across the plot that is shaded: limits, a tolerance.
struct Band {
  double low;
  double high;
  std::string name;
};

/// What lies between two lines over the same places, hatched so that it is told from white without
/// colour: how far a line is uncertain.
struct Area {
  std::string name;  ///< beside a patch of it, below the plot
  std::vector<Spot> upper;
  std::vector<Spot> lower;
};

/// A place on the x axis that gets a fine line, and a word on top of it.
struct Mark {
  double at;
  std::string name;
};

/// A plot of lines over one axis. It knows values and their names, nothing of rods.
struct Plot {
  std::string title;   ///< for who cannot see it; the page has its own words above it
  std::string x_name;  ///< with its unit: `station, in`
  std::string y_name;
  std::vector<Series> series;
  std::vector<Band> bands = {};
  std::vector<Mark> x_marks = {};
  bool y_from_zero = false;
  bool x_in_fractions = false;  ///< ticks in inch fractions
  std::vector<Area> areas = {};
  bool names_at_ends = false;  ///< names, short ones, beside their lines' ends instead of below
};

/// The plot as a drawing, 480 units wide and `height` high, and a line more for each name, areas'
/// after those of lines. Where several lines have names, each has a number at its end that stands
/// before its name below; with `names_at_ends` the name itself stands there.
Canvas draw(Plot const& plot, double height = 270);

/// Where the values of a plot lie on its drawing: the frame, and what its edges stand for.
struct PlotScale {
  Spot upper_left;
  Spot lower_right;
  Spot least;  ///< values at the lower left corner
  Spot most;   ///< and at the upper right one

  /// The values at a spot of the drawing, and the spot of values.
  Spot values_at(Spot spot) const;
  Spot spot_of(Spot values) const;
};
PlotScale scale_of(Plot const& plot, double height = 270);

}  // namespace stripwright::report
