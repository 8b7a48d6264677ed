#include "machine/cutter_curve.h"

#include <algorithm>
#include <cmath>

#include "machine/plain.h"
#include "machine/turning_points.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

/// A piece that bends more than the cutter is looked at in so many parts.
constexpr int kLooks = 32;

}  // namespace

CutterCurve::CutterCurve(const HeightCurve& profile, Length radius, Station from, Station to)
    : profile_(&profile), radius_(radius), from_(from), to_(to), finder_(profile, radius) {
  plain::require(from <= to, "an interval that ends before it begins");
  if (radius == Length()) {
    corners_.assign(profile.corners().begin(), profile.corners().end());
  } else if (profile.straight()) {
    path_.emplace(profile, radius, from, to);
    for (const PathPiece& p : path_->pieces()) corners_.push_back(p.from);
    corners_.push_back(path_->pieces().back().to);
  } else {
    corners_ = corners_over_curve();
  }
}

bool CutterCurve::straight() const { return profile_->straight() && radius_ == Length(); }

Length CutterCurve::height(Station x) const {
  return on_path(x) ? path_->offset(x) : finder_.at(x, Side::towards_butt).offset;
}

double CutterCurve::slope(Station x, Side side) const {
  return on_path(x) ? path_->slope(x, side) : finder_.at(x, side).slope;
}

Station CutterCurve::touches(Station x, Side side) const {
  return on_path(x) ? path_->touches(x, side) : finder_.at(x, side).touches;
}

/// A corner of the profile, where slope or bend jump, makes corners where the cutter begins and
/// ends to touch it, or where the cutter goes over from one side of it to the other.
std::vector<Station> CutterCurve::corners_over_curve() const {
  const double radius = mm(radius_);
  std::vector<Station> corners;
  for (const Station u : profile_->corners()) {
    const double before = profile_->slope(u, Side::towards_tip);
    const double after = profile_->slope(u, Side::towards_butt);
    if (makes_hollow(radius_, before, after)) {
      corners.push_back(takes_over(u));
    } else {
      corners.push_back(u - plain::length(plain::contact_shift(radius, before)));
      if (after < before) corners.push_back(u - plain::length(plain::contact_shift(radius, after)));
    }
  }
  std::sort(corners.begin(), corners.end());
  corners.erase(std::unique(corners.begin(), corners.end()), corners.end());
  return corners;
}

/// The cutter's place at which its touch passes over u; the touch moves only forwards with the
/// cutter.
Station CutterCurve::takes_over(Station u) const {
  double lo = mm(u - radius_), hi = mm(u + radius_);
  // Down to neighbouring doubles: halving takes some 60 steps from any radius.
  double x = lo + (hi - lo) / 2;
  while (lo < x && x < hi) {
    (finder_.at(plain::station(x), Side::towards_butt).touches < u ? lo : hi) = x;
    x = lo + (hi - lo) / 2;
  }
  return plain::station(hi);
}

/// The hollow that u lies in and the most that is left in it; next to nothing if the cutter comes
/// down to u.
CutterCurve::Hollow CutterCurve::hollow_over(Station u) const {
  const Station x = takes_over(u);
  const CutterContact here = finder_.at(x, Side::towards_butt);
  const double place = mm(x), offset = mm(here.offset);
  // Just before the touch passes over u it is still left of it.
  const double left = mm(finder_.at(x - kSamePlace, Side::towards_tip).touches);
  const double right = mm(here.touches);
  const auto gap = [&](double at) {
    return offset + plain::arc_drop(mm(radius_), at - place) -
           mm(profile_->height(plain::station(at)));
  };
  const auto gap_slope = [&](double at, Side side) {
    return plain::arc_slope(mm(radius_), at - place) - profile_->slope(plain::station(at), side);
  };
  const auto inner_slope = [&](double at) { return gap_slope(at, Side::towards_butt); };
  Rest most{u, plain::length(gap(mm(u))), x};
  const auto visit = [&](double at) {
    const Length size = plain::length(gap(at));
    if (size > most.size) most = {plain::station(at), size, x};
  };
  const auto corners = profile_->corners();
  auto corner = std::upper_bound(corners.begin(), corners.end(), plain::station(left));
  for (double a = left; a < right;) {
    const bool more = corner != corners.end() && mm(*corner) < right;
    const double b = more ? mm(*corner++) : right;
    plain::visit_turning_points(gap, inner_slope, {a, gap(a), gap_slope(a, Side::towards_butt)},
                                {b, gap(b), gap_slope(b, Side::towards_tip)}, visit);
    visit(b);
    a = b;
  }
  return {most, here.touches};
}

/// Whether the cutter comes down to u, where the profile has this slope: standing where it would
/// touch u, it touches nothing higher.
bool CutterCurve::reaches(Station u, double slope) const {
  const double shift = plain::contact_shift(mm(radius_), slope);
  const Length touching = profile_->height(u) - plain::length(plain::arc_drop(mm(radius_), shift));
  const Station x = u - plain::length(shift);
  return finder_.at(x, Side::towards_butt).offset - touching < kSamePlace;
}

/// Places that the cutter may not come down to: hollow corners, and places of the pieces that bend
/// more than the cutter. A gentle piece is only missed beside one of those. A cutter between `from`
/// and `to` lies over nothing further out than its radius.
std::vector<Station> CutterCurve::unreached_places() const {
  const auto corners = profile_->corners();
  const CurvedContacts& contacts = *finder_.curved();
  const Station first = from_ - radius_, last = to_ + radius_;
  std::vector<Station> places;
  for (std::size_t i = 0; i < corners.size() && corners[i] <= last; ++i) {
    if (contacts.hollow_corner(i) && corners[i] >= first) places.push_back(corners[i]);
    if (i + 1 == corners.size() || contacts.gentle_piece(i) || corners[i + 1] < first) continue;
    for (int k = 1; k < kLooks; ++k) {
      const Station u =
          corners[i] + (corners[i + 1] - corners[i]) * (static_cast<double>(k) / kLooks);
      if (!reaches(u, profile_->slope(u, Side::towards_butt))) places.push_back(u);
    }
  }
  return places;
}

std::vector<Rest> CutterCurve::rests(Length at_least) const {
  if (path_) return path_->rests(at_least);
  std::vector<Rest> rests;
  if (radius_ == Length()) return rests;
  std::optional<Station> seen_up_to;
  for (const Station u : unreached_places()) {
    if (seen_up_to && u <= *seen_up_to) continue;
    const auto [rest, right] = hollow_over(u);
    seen_up_to = right;
    if (rest.size < std::max(at_least, kSamePlace)) continue;
    if (rest.cutter_at < from_ || rest.cutter_at > to_) continue;
    const bool same = !rests.empty() && same_place(rest.cutter_at, rests.back().cutter_at);
    if (!same) rests.push_back(rest);
  }
  return rests;
}

}  // namespace stripwright::machine
