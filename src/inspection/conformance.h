#pragma once

#include <optional>

#include "shop/shop.h"

namespace stripwright::inspection {

/// The limits a true value has to lie in.
struct Limits {
  Length low;
  Length high;
};

Limits limits_around(Length target, Tolerance const& tolerance);

/// The conformance probability from which a guarded decision is made (ISO 14253-1:2017,
/// the default).
inline constexpr double kProven = 0.95;

/// Standard uncertainty of one reading: u² = u_gauge² + resolution²/12, the step of the
/// reading taken as rectangular (JCGM 100:2008, F.2.2.1; from memory).
Length standard_uncertainty(Gauge const& gauge);

/// The probability that a standard normal value lies between two numbers of standard deviations,
/// Φ(to_high) - Φ(to_low), `to_low` not above `to_high`.
double probability_between(double to_low, double to_high);

/// The probability that the true value lies within the limits when m was read with
/// standard uncertainty u: P = Φ((hi - m)/u) - Φ((lo - m)/u) (JCGM 106:2012, 7.2; from
/// memory). With u = 0 it is 1 or 0.
double conformance_probability(Length measured, Limits const& limits, Length uncertainty);

/// The readings that prove the value right: all m with P >= 0.95. Nothing where the limits
/// lie so close that not even the middle proves it (less than 3.92 u apart).
std::optional<Limits> readings_that_prove(Limits const& limits, Length uncertainty);

/// The greatest standard uncertainty with which a reading in the middle still proves the
/// value right: (hi - lo) / 3.92.
Length coarsest_uncertainty(Limits const& limits);

}  // namespace stripwright::inspection
