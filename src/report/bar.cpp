#include "report/bar.h"

#include <algorithm>
#include <cmath>

#include "diagnostics/problem.h"

namespace stripwright::report {

std::string bar(double value, double full, int width) {
  check_internal(full > 0 && width > 0, "a bar of no length");
  if (!(value > 0)) return {};
  const double length = std::round(width * std::min(value / full, 1.0));
  return std::string(std::max<std::size_t>(1, static_cast<std::size_t>(length)), '#');
}

}  // namespace stripwright::report
