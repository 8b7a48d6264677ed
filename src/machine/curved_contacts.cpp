#include "machine/curved_contacts.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "machine/plain.h"
#include "machine/straight_profile.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

/// A smooth piece's slope is looked at in so many parts.
constexpr int kLooks = 8;
/// For a cubic, whose slope is a parabola, its greatest value is missed by less than a
/// sixty-fourth of the slope's range over the piece; this covers other curves of a like
/// smoothness with room to spare.
constexpr double kSteeper = 1.5;
/// For a cubic, whose bend is linear, the greatest bend is above that of the parts by a
/// fourteenth of the parts' range; again with room to spare.
constexpr double kTighter = 0.25;
/// A piece may bend as much as the cutter and, so that rounding does not decide, this much more: a
/// follower of exactly R/k runs over arcs of the cutter's. g' then falls but for stretches of some
/// hundredths of R, where g is level to 1e-10 mm.
constexpr double kGentle = 1 + 1e-6;
/// Far above what is equal but for rounding, far below what can be seen.
constexpr double kClearlyLower = 1e-9;

}  // namespace

bool makes_hollow(Length radius, double slope_before, double slope_after) {
  const double apart = plain::contact_shift(mm(radius), slope_after) -
                       plain::contact_shift(mm(radius), slope_before);
  return apart > mm(kSamePlace);
}

CurvedContacts::CurvedContacts(const HeightCurve& profile, Length radius)
    : profile_(&profile), radius_(mm(radius)), hollows_{0}, tight_pieces_{0} {
  const auto corners = profile.corners();
  plain::require(!corners.empty(), "a profile without a corner");
  plain::require(radius_ > 0, "a cutter without a radius on a curved profile");
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const double before = profile.slope(corners[i], Side::towards_tip);
    const double after = profile.slope(corners[i], Side::towards_butt);
    hollows_.push_back(hollows_.back() + (makes_hollow(radius, before, after) ? 1 : 0));
    if (i + 1 == corners.size()) break;
    const Piece piece = look_at_piece(mm(corners[i]), mm(corners[i + 1]));
    steepest_.push_back(piece.steepest);
    tight_pieces_.push_back(tight_pieces_.back() + (piece.gentle ? 0 : 1));
  }
}

double CurvedContacts::offset(double x, double u) const {
  return mm(profile_->height(plain::station(u))) - plain::arc_drop(radius_, u - x);
}

double CurvedContacts::gain(double x, double u, Side side) const {
  return profile_->slope(plain::station(u), side) - plain::arc_slope(radius_, u - x);
}

CurvedContacts::Piece CurvedContacts::look_at_piece(double a, double b) const {
  double before = profile_->slope(plain::station(a), Side::towards_butt);
  double steepest = std::fabs(before);
  double most_bend = -std::numeric_limits<double>::infinity(), least_bend = -most_bend;
  for (int k = 1; k <= kLooks; ++k) {
    const double u = k == kLooks ? b : a + (b - a) * k / kLooks;
    const double slope = profile_->slope(plain::station(u), Side::towards_tip);
    const double bend = (slope - before) / ((b - a) / kLooks);
    steepest = std::max(steepest, std::fabs(slope));
    most_bend = std::max(most_bend, bend);
    least_bend = std::min(least_bend, bend);
    before = slope;
  }
  const double bend = most_bend + kTighter * (most_bend - least_bend);
  return {kSteeper * steepest, bend <= kGentle / radius_};
}

/// An upper bound for |h'| on the pieces between corners that reach into a to b, 0 where there are
/// none. A steep place further off does not widen the search.
double CurvedContacts::steepest_between(double a, double b) const {
  const auto corners = profile_->corners();
  const auto after = std::upper_bound(corners.begin(), corners.end(), plain::station(a));
  const auto end = std::lower_bound(after, corners.end(), plain::station(b));
  // Piece i ends at corner i + 1.
  const auto pieces = static_cast<std::ptrdiff_t>(steepest_.size());
  const auto first = std::max<std::ptrdiff_t>(after - corners.begin() - 1, 0);
  const auto last = std::min<std::ptrdiff_t>(end - corners.begin(), pieces);
  double steepest = 0;
  for (auto i = first; i < last; ++i)
    steepest = std::max(steepest, steepest_[static_cast<std::size_t>(i)]);
  return steepest;
}

CutterContact CurvedContacts::at(Station station, Side side) const {
  const double x = mm(station);
  const auto corners = profile_->corners();
  const double first = mm(corners.front()), last = mm(corners.back());
  double steepest = steepest_between(x - radius_, x + radius_);
  bool gentle = true;
  // Far out the reach leaves the corners.
  if (x - radius_ < first) {
    const Piece p = look_at_piece(x - radius_, std::min(first, x + radius_));
    steepest = std::max(steepest, p.steepest);
    gentle = p.gentle;
  }
  if (x + radius_ > last) {
    const Piece p = look_at_piece(std::max(last, x - radius_), x + radius_);
    steepest = std::max(steepest, p.steepest);
    gentle = gentle && p.gentle;
  }
  const double reach = plain::contact_shift(radius_, steepest + 1e-9);
  const auto begin = std::lower_bound(corners.begin(), corners.end(), plain::station(x - reach));
  const auto end = std::upper_bound(begin, corners.end(), plain::station(x + reach));
  const auto from = static_cast<std::size_t>(begin - corners.begin());
  const auto to = static_cast<std::size_t>(end - corners.begin());
  // The pieces that the reach touches begin one corner before and end one after.
  const std::size_t pieces = tight_pieces_.size() - 1;
  gentle = gentle && hollows_[from] == hollows_[to] &&
           tight_pieces_[from == 0 ? 0 : from - 1] == tight_pieces_[std::min(to, pieces)];
  return gentle ? falling(x, reach, side) : any(x, reach, steepest, side);
}

/// g' falls from x - reach to x + reach.
CutterContact CurvedContacts::falling(double x, double reach, Side side) const {
  const auto corners = profile_->corners();
  const auto begin = std::lower_bound(corners.begin(), corners.end(), plain::station(x - reach));
  const auto end = std::upper_bound(begin, corners.end(), plain::station(x + reach));
  const auto next = std::partition_point(
      begin, end, [&](Station c) { return gain(x, mm(c), Side::towards_butt) > 0; });
  HighestTouch highest(side);
  const auto offer = [&](double u) {
    highest.offer(u, offset(x, u), plain::arc_slope(radius_, u - x));
  };
  const double a = next == begin ? x - reach : mm(*(next - 1));
  const double b = next == end ? x + reach : mm(*next);
  const double gain_a = gain(x, a, Side::towards_butt), gain_b = gain(x, b, Side::towards_tip);
  if (gain_a > 0 && gain_b < 0) {
    const auto inner = [&](double u) { return gain(x, u, Side::towards_butt); };
    offer(plain::zero_between(inner, a, b, gain_a, gain_b));
  } else {
    offer(gain_a > 0 ? b : a);
  }
  return highest.contact();
}

/// The most that the offset can be between a and b, where |h'| is `steepest` or less: h rises from
/// its ends no higher than where lines of that slope meet, and the arc hangs lowest at the end that
/// is nearer to the cutter.
double CurvedContacts::most_between(double x, plain::Sample const& a, plain::Sample const& b,
                                    double steepest) const {
  const double drop_a = plain::arc_drop(radius_, a.at - x);
  const double drop_b = plain::arc_drop(radius_, b.at - x);
  const double drop = a.at <= x && x <= b.at ? 0 : std::min(drop_a, drop_b);
  return (a.value + drop_a + b.value + drop_b + steepest * (b.at - a.at)) / 2 - drop;
}

CutterContact CurvedContacts::any(double x, double reach, double steepest, Side side) const {
  const auto value = [&](double u) { return offset(x, u); };
  const auto inner_gain = [&](double u) { return gain(x, u, Side::towards_butt); };
  HighestTouch highest(side);
  const auto offer = [&](double u) {
    highest.offer(u, offset(x, u), plain::arc_slope(radius_, u - x));
  };
  const auto corners = profile_->corners();
  auto corner = std::upper_bound(corners.begin(), corners.end(), plain::station(x - reach));
  // What it touches lies no lower than this; parts that do are not looked into.
  double floor = value(x);
  for (auto c = corner; c != corners.end() && mm(*c) < x + reach; ++c)
    floor = std::max(floor, value(mm(*c)));
  const auto lower = [&](plain::Sample const& a, plain::Sample const& b) {
    return most_between(x, a, b, steepest) < floor - kClearlyLower;
  };
  double a = x - reach;
  offer(a);
  while (a < x + reach) {
    const bool more = corner != corners.end() && mm(*corner) < x + reach;
    const double b = more ? mm(*corner++) : x + reach;
    plain::visit_turning_points(value, inner_gain, {a, value(a), gain(x, a, Side::towards_butt)},
                                {b, value(b), gain(x, b, Side::towards_tip)}, offer, lower);
    offer(b);
    a = b;
  }
  return highest.contact();
}

}  // namespace stripwright::machine
