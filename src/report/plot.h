#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"

namespace stripwright::report {

/// One line of a plot, its name written at its end.
struct Series {
  std::string name;
  std::vector<Spot> points;  ///< in the plot's own values, y upwards
  Pen pen = Pen::thick;
  bool dots = false;  ///< a dot at every point
};

/// A stretch of height across the plot that is shaded: limits, a tolerance.
struct Band {
  double low;
  double high;
  std::string name;
};

/// A plot of lines over one axis. It knows values and their names, nothing of rods.
struct Plot {
  std::string title;
  std::string x_name;  ///< with its unit: `station, in`
  std::string y_name;
  std::vector<Series> series;
  std::vector<Band> bands = {};
  std::vector<double> x_marks = {};  ///< places on the x axis that get a fine line
  bool y_from_zero = false;
  bool x_in_fractions = false;  ///< ticks in inch fractions
};

/// The plot as a drawing, 720 by `height` units.
Canvas draw(Plot const& plot, double height = 300);

}  // namespace stripwright::report
