#pragma once

#include <optional>

#include "units/amount.h"

namespace stripwright::bending {

/// The first 30 ft of a fly line, a level tip left out.
inline constexpr Length kWeighedLength = Length::inches(360);

/// What those weigh by the line's number: the target of the trade's standard (AFTMA 1959/61, now
/// AFFTA), in grains. Nothing for a number that is none of 1 to 15.
std::optional<Mass> line_weight(long number);

/// What so much line outside the tip weighs. Up to 30 ft as if its weight were spread evenly over
/// them, beyond as if it went on like that: an assumption, for lines taper.
std::optional<Mass> line_out(long number, Length out);

}  // namespace stripwright::bending
