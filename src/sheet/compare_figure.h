#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"
#include "taper/compare.h"
#include "units/unit.h"

namespace stripwright::sheet {

/// A taper that was held against the first one.
struct ComparedTaper {
  std::string name;
  std::vector<TaperDifference> rows;
};

/// Three plots over the station, one below the other: the differences in flats, in stiffness and in
/// mass up to the station, with a line for each taper; 0 is the taper `first`.
report::Canvas compare_figure(std::string const& first, std::vector<ComparedTaper> const& others,
                              Unit unit);
/// The same as an SVG file.
std::string compare_picture(std::string const& first, std::vector<ComparedTaper> const& others,
                            Unit unit);

}  // namespace stripwright::sheet
