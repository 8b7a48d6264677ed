#include "machine/highest_touch.h"

#include <algorithm>
#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

namespace {

/// Two offsets closer than this are equal but for rounding: the cutter touches both places ...
constexpr double kSameOffset = 1e-12;
/// ... if these are further apart than that: closer by, the top of a single touch is as flat.
constexpr double kTwoPlaces = 1e-4;

}  // namespace

void HighestTouch::offer(double touches, double offset, double slope) {
  const bool equal = found_ && std::fabs(offset - offset_) <= kSameOffset &&
                     std::fabs(touches - touches_) > kTwoPlaces;
  const bool better = !found_ || (equal ? preferred(touches) : offset > offset_);
  if (!better) return;
  // Of equals the higher offset stays, so that none is worse by more than rounding.
  offset_ = equal ? std::max(offset, offset_) : offset;
  touches_ = touches;
  slope_ = slope;
  found_ = true;
}

bool HighestTouch::preferred(double touches) const {
  return side_ == section::Side::towards_butt ? touches > touches_ : touches < touches_;
}

CutterContact HighestTouch::contact() const {
  plain::require(found_, "a cutter that touches nothing");
  return {plain::station(touches_), plain::length(offset_), slope_};
}

}  // namespace stripwright::machine
