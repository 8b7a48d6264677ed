#include "machine/straight_profile.h"

#include "machine/plain.h"

namespace stripwright::machine::plain {

StraightProfile straight_profile(const section::HeightCurve& profile) {
  require(profile.straight(), "a curved profile taken for a straight one");
  const auto corners = profile.corners();
  require(!corners.empty(), "a profile without a corner");
  StraightProfile p;
  p.u.reserve(corners.size());
  p.h.reserve(corners.size());
  p.m.reserve(corners.size() + 1);
  p.m.push_back(profile.slope(corners.front(), section::Side::towards_tip));
  for (const Station c : corners) {
    p.u.push_back(mm(c));
    p.h.push_back(mm(profile.height(c)));
    const std::size_t n = p.u.size();
    if (n > 1) p.m.push_back((p.h[n - 1] - p.h[n - 2]) / (p.u[n - 1] - p.u[n - 2]));
  }
  p.m.push_back(profile.slope(corners.back(), section::Side::towards_butt));
  return p;
}

}  // namespace stripwright::machine::plain
