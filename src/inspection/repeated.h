#pragma once

#include <span>

#include "shop/shop.h"

namespace stripwright::inspection {

/// Readings of one height at one place: as many as were taken, their mean and how they scatter.
struct Repeated {
  Length mean;
  Length spread;  ///< experimental standard deviation, 0 for a single reading
  long count = 0;

  bool read() const { return count > 0; }
};

/// Mean and experimental standard deviation s (n - 1 below the sum) of one or more readings
/// (JCGM 100:2008, 4.2.1 and 4.2.2; from memory). Of none, nothing: count 0.
Repeated repeated(std::span<const Length> readings);

/// The part of a mean's uncertainty that more readings make smaller:
///   u_r² = max(resolution²/12, s²)/n.
/// The step of the reading counts as rectangular (JCGM 100:2008, F.2.2.1; from memory) and is
/// in s already where s is the larger.
Length scatter_uncertainty(Gauge const& gauge, Repeated const& readings);

/// Standard uncertainty of the mean of repeated readings, u² = u_gauge² + u_r²: u_gauge is
/// common to all readings of one gauge and stays whole.
Length standard_uncertainty(Gauge const& gauge, Repeated const& readings);

/// √(x² + y²).
Length root_of_squares(Length x, Length y);

}  // namespace stripwright::inspection
