#include "machine/cutter_contact.h"

#include <algorithm>
#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

ContactFinder::ContactFinder(const HeightCurve& profile, Length radius)
    : profile_(&profile), radius_(mm(radius)) {
  plain::require(radius_ >= 0 && std::isfinite(radius_), "a cutter's radius below 0");
  if (profile.straight()) {
    straight_ = plain::straight_profile(profile);
    for (const double m : straight_->m) steepest_ = std::max(steepest_, std::fabs(m));
  } else if (radius_ > 0) {
    curved_.emplace(profile, radius);
  }
}

CutterContact ContactFinder::at(Station x, Side side) const {
  if (radius_ == 0) return {x, profile_->height(x), profile_->slope(x, side)};
  return straight_ ? on_straight(mm(x), side) : curved_->at(x, side);
}

CutterContact ContactFinder::on_straight(double x, Side side) const {
  const auto& us = straight_->u;
  const auto& hs = straight_->h;
  const auto& ms = straight_->m;
  // A trifle wider, so that rounding loses no touch at its very edge.
  const double reach =
      std::min(radius_, plain::contact_shift(radius_, steepest_) * (1 + 1e-9) + 1e-9);
  const auto first = std::lower_bound(us.begin(), us.end(), x - reach);
  const auto last = std::upper_bound(us.begin(), us.end(), x + reach);
  HighestTouch highest(side);
  const auto span = [&](std::size_t k) {
    const double u = x + plain::contact_shift(radius_, ms[k]);
    if ((k > 0 && u < us[k - 1]) || (k < us.size() && u > us[k])) return;
    const std::size_t corner = k == 0 ? 0 : k - 1;
    highest.offer(u, hs[corner] + ms[k] * (x - us[corner]) + plain::line_rise(radius_, ms[k]),
                  ms[k]);
  };
  span(static_cast<std::size_t>(first - us.begin()));
  for (auto corner = first; corner != last; ++corner) {
    const auto i = static_cast<std::size_t>(corner - us.begin());
    const double s = us[i] - x;
    if (std::fabs(s) < radius_) {
      highest.offer(us[i], hs[i] - plain::arc_drop(radius_, s), plain::arc_slope(radius_, s));
    }
    span(i + 1);
  }
  return highest.contact();
}

}  // namespace stripwright::machine
