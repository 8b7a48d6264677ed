#pragma once

#include <string>
#include <vector>

#include "report/canvas.h"

namespace stripwright::report {

/// What stands in one field of a map. They differ in shape, so that a copier or a colour-blind
/// eye tells them apart.
enum class GridSign {
  none,     ///< nothing known: empty
  fine,     ///< a small dot
  over,     ///< a hollow triangle, point up
  under,    ///< a black triangle, point down
  unknown,  ///< a question mark
};

/// A map of rows by columns. It knows signs and their names, nothing of what they stand for.
struct GridMap {
  std::string title;
  std::string columns_name;  ///< over the columns' labels
  std::vector<std::string> columns;
  std::vector<std::string> rows;
  std::vector<std::vector<GridSign>> signs;  ///< of each row, one a column
  /// What the signs mean, in this order: fine, over, under, unknown.
  std::vector<std::string> meanings;
};

/// The map as a drawing, 480 units wide.
Canvas draw(GridMap const& map);

}  // namespace stripwright::report
