#include "machine/cutter_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "machine/plain.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

/// One span with what the cutter does over it.
struct Span {
  double u0, h0, u1, h1, m;
  double rise;          ///< of the moved span over the span
  double turn0, turn1;  ///< the cutter slides from turn0 to turn1; left and right of it, it turns
};

Span make_span(double radius, double u0, double h0, double u1, double h1, double m) {
  const double shift = plain::contact_shift(radius, m);
  return {u0, h0, u1, h1, m, plain::line_rise(radius, m), u0 - shift, u1 - shift};
}

double over(const Span& s, double radius, double x) {
  if (x < s.turn0) return s.h0 - plain::arc_drop(radius, x - s.u0);
  if (x > s.turn1) return s.h1 - plain::arc_drop(radius, x - s.u1);
  return s.h0 + s.m * (x - s.u0) + s.rise;
}

struct Point {
  double u, h;
};

/// Where the arc about b takes over from the arc about a, a.u < b.u: on the perpendicular bisector
/// of a b,
///   x = (a.u + b.u)/2 - (b.h - a.h)/d sqrt(R² - d²/4), d the distance of a from b.
double arc_to_arc(double radius, Point a, Point b) {
  const double du = b.u - a.u, dh = b.h - a.h;
  const double d = std::hypot(du, dh);
  const double across = std::sqrt(std::fmax(0.0, (radius - d / 2) * (radius + d / 2)));
  return a.u + du / 2 - dh / d * across;
}

/// Where the moved line through a span meets the arc about p. With q the height of p over the
/// span's line, square to it, the moved line passes p at the distance R - q, so the two meet
/// sqrt(R² - (R-q)²) = sqrt(q (2R - q)) to either side of the foot of p on the moved line. An arc
/// that comes after the line takes over at the first meeting, one before it gives way at the
/// second.
double line_with_arc(double radius, const Span& line, Point p, bool arc_comes_after) {
  const double along = 1 / std::sqrt(1 + line.m * line.m);
  const double q = (p.h - line.h0 - line.m * (p.u - line.u0)) * along;
  const double foot = p.u - (radius - q) * line.m * along;
  const double aside = std::sqrt(std::fmax(0.0, q * (2 * radius - q))) * along;
  return arc_comes_after ? foot - aside : foot + aside;
}

double line_to_line(const Span& a, const Span& b, double middle) {
  const double gain = b.m - a.m;
  if (gain == 0) return middle;
  const double over_a = a.h0 + a.m * (middle - a.u0) + a.rise;
  const double over_b = b.h0 + b.m * (middle - b.u0) + b.rise;
  return middle + (over_a - over_b) / gain;
}

/// Where b takes over from a, if it does between lo and hi, where neither changes from arc to line.
double crossing_within(double radius, const Span& a, const Span& b, double lo, double hi) {
  const double middle = lo + (hi - lo) / 2;
  const auto arc = [&](const Span& s) -> std::optional<Point> {
    if (middle < s.turn0) return Point{s.u0, s.h0};
    if (middle > s.turn1) return Point{s.u1, s.h1};
    return std::nullopt;
  };
  const auto arc_a = arc(a), arc_b = arc(b);
  double x = middle;
  if (arc_a && arc_b) {
    if (arc_a->u < arc_b->u) x = arc_to_arc(radius, *arc_a, *arc_b);
  } else if (arc_b) {
    x = line_with_arc(radius, a, *arc_b, true);
  } else if (arc_a) {
    x = line_with_arc(radius, b, *arc_a, false);
  } else {
    x = line_to_line(a, b, middle);
  }
  return std::clamp(x, lo, hi);
}

/// Where the later span b takes over from a: where over(b) - over(a), which never falls, reaches 0.
double crossing(double radius, const Span& a, const Span& b) {
  const double lo = b.u0 - radius, hi = a.u1 + radius;
  if (!(lo < hi)) return lo;
  const auto leads = [&](double x) { return over(b, radius, x) >= over(a, radius, x); };
  std::array<double, 4> turns{a.turn0, a.turn1, b.turn0, b.turn1};
  std::sort(turns.begin(), turns.end());
  if (leads(lo)) return lo;
  double from = lo;
  for (const double turn : turns) {
    if (turn <= from || turn >= hi) continue;
    if (leads(turn)) return crossing_within(radius, a, b, from, turn);
    from = turn;
  }
  return leads(hi) ? crossing_within(radius, a, b, from, hi) : hi;
}

struct Lead {
  Span span;
  double from;  ///< the first cutter place where it leads
};

/// The spans that lead somewhere, each with the place where it begins to.
std::vector<Lead> leading_spans(double radius, const plain::StraightProfile& p) {
  std::vector<Lead> leads;
  for (std::size_t i = 0; i + 1 < p.u.size(); ++i) {
    const Span next = make_span(radius, p.u[i], p.h[i], p.u[i + 1], p.h[i + 1], p.m[i + 1]);
    double from = p.u.front() - radius;
    while (!leads.empty()) {
      from = crossing(radius, leads.back().span, next);
      if (from > leads.back().from || leads.size() == 1) break;
      leads.pop_back();
    }
    leads.push_back({next, from});
  }
  return leads;
}

/// The profile under cutters that stand from `from` to `to`, cut off where none reaches further.
plain::StraightProfile within_reach(const HeightCurve& profile, double from, double to) {
  const auto corners = profile.corners();
  const auto first = std::upper_bound(corners.begin(), corners.end(), plain::station(from));
  plain::StraightProfile p;
  p.m.push_back(0);
  const auto add = [&](Station at) {
    const double u = mm(at), h = mm(profile.height(at));
    if (!p.u.empty()) p.m.push_back((h - p.h.back()) / (u - p.u.back()));
    p.u.push_back(u);
    p.h.push_back(h);
  };
  add(plain::station(from));
  for (auto c = first; c != corners.end() && mm(*c) < to; ++c) add(*c);
  add(plain::station(to));
  return p;
}

void add_piece(std::vector<PathPiece>& pieces, double from, double to, PathPiece piece) {
  if (!(from < to)) return;
  if (!pieces.empty()) {
    PathPiece& last = pieces.back();
    // Two spans turn about the corner between them in one arc.
    if (last.turns && piece.turns && last.anchor == piece.anchor) {
      last.to = plain::station(to);
      return;
    }
  }
  piece.from = plain::station(from);
  piece.to = plain::station(to);
  pieces.push_back(piece);
}

}  // namespace

CutterPath::CutterPath(const HeightCurve& profile, Length radius, Station from, Station to)
    : radius_(mm(radius)) {
  plain::require(profile.straight(), "a path in pieces over a curved profile");
  plain::require(radius_ > 0 && std::isfinite(radius_), "a path of a cutter without a radius");
  plain::require(from <= to, "an interval that ends before it begins");
  // An interval of one place still gets its piece.
  const double begin = mm(from), end = std::max(mm(to), begin + mm(kSamePlace));
  profile_ = within_reach(profile, begin - radius_, end + radius_);
  const std::vector<Lead> leads = leading_spans(radius_, profile_);
  const auto place = [](double u, double h) {
    return PathPiece{{}, {}, true, plain::station(u), plain::length(h), 0};
  };
  for (std::size_t i = 0; i < leads.size(); ++i) {
    const Span& s = leads[i].span;
    const double a = std::max(begin, i == 0 ? begin : leads[i].from);
    const double b = std::min(end, i + 1 < leads.size() ? leads[i + 1].from : end);
    add_piece(pieces_, a, std::min(b, s.turn0), place(s.u0, s.h0));
    PathPiece slide = place(s.u0, s.h0);
    slide.turns = false;
    slide.slope = s.m;
    add_piece(pieces_, std::max(a, s.turn0), std::min(b, s.turn1), slide);
    add_piece(pieces_, std::max(a, s.turn1), b, place(s.u1, s.h1));
  }
  plain::require(!pieces_.empty(), "a cutter's path without a piece");
}

const PathPiece& CutterPath::piece_at(Station x, Side side) const {
  const auto after = std::partition_point(pieces_.begin(), pieces_.end(), [&](const PathPiece& p) {
    return side == Side::towards_butt ? p.from <= x : p.from < x;
  });
  return after == pieces_.begin() ? pieces_.front() : *(after - 1);
}

double CutterPath::offset_of(const PathPiece& p, double x) const {
  const double s = x - mm(p.anchor);
  if (p.turns) return mm(p.height) - plain::arc_drop(radius_, std::clamp(s, -radius_, radius_));
  return mm(p.height) + p.slope * s + plain::line_rise(radius_, p.slope);
}

double CutterPath::touch_of(const PathPiece& p, double x) const {
  return p.turns ? mm(p.anchor) : x + plain::contact_shift(radius_, p.slope);
}

Length CutterPath::offset(Station x) const {
  return plain::length(offset_of(piece_at(x, Side::towards_butt), mm(x)));
}

double CutterPath::slope(Station x, Side side) const {
  const PathPiece& p = piece_at(x, side);
  return p.turns ? plain::arc_slope(radius_, mm(p.anchor - x)) : p.slope;
}

Station CutterPath::touches(Station x, Side side) const {
  return plain::station(touch_of(piece_at(x, side), mm(x)));
}

std::vector<Rest> CutterPath::rests(Length at_least) const {
  // Between its touches left and right of a hollow the cutter leaves what lies between its
  // underside and the profile: convex along each span, so the most is left at a corner.
  std::vector<Rest> rests;
  std::size_t corner = 0;
  for (std::size_t i = 0; i + 1 < pieces_.size(); ++i) {
    const double x = mm(pieces_[i].to);
    const double left = touch_of(pieces_[i], x), right = touch_of(pieces_[i + 1], x);
    while (corner < profile_.u.size() && profile_.u[corner] <= left) ++corner;
    const double offset = std::max(offset_of(pieces_[i], x), offset_of(pieces_[i + 1], x));
    Rest most{{}, Length(), pieces_[i].to};
    for (; corner < profile_.u.size() && profile_.u[corner] < right; ++corner) {
      const double s = profile_.u[corner] - x;
      if (std::fabs(s) > radius_) continue;
      const Length size = plain::length(offset + plain::arc_drop(radius_, s) - profile_.h[corner]);
      if (size > most.size) most = {plain::station(profile_.u[corner]), size, most.cutter_at};
    }
    if (most.size > Length() && most.size >= at_least) rests.push_back(most);
  }
  return rests;
}

}  // namespace stripwright::machine
