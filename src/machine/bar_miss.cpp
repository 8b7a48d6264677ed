#include "machine/bar_miss.h"

#include <algorithm>
#include <cmath>

#include "machine/plain.h"
#include "machine/turning_points.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

/// Misses that agree to this are the same: the best fit makes several that are equal but for
/// rounding, and the place told should not hang on that.
constexpr double kSameMiss = 1e-9;

void add_corners(std::vector<double>& places, const HeightCurve& curve, Station from, Station to) {
  const auto corners = curve.corners();
  const auto first = std::upper_bound(corners.begin(), corners.end(), from);
  for (auto c = first; c != corners.end() && *c < to; ++c) places.push_back(mm(*c));
}

/// The ends and all corners of both between them, increasing.
std::vector<double> breaks(const HeightCurve& bar, const HeightCurve& target, Station from,
                           Station to) {
  plain::require(from <= to, "an interval that ends before it begins");
  std::vector<double> places{mm(from), mm(to)};
  add_corners(places, bar, from, to);
  add_corners(places, target, from, to);
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  return places;
}

/// Where the difference passes through 0 between two neighbouring candidates; it is monotone there.
double crossing(const HeightCurve& bar, const HeightCurve& limit, const Miss& a, const Miss& b) {
  const auto over = [&](double x) {
    return mm(bar.height(plain::station(x)) - limit.height(plain::station(x)));
  };
  return plain::zero_between(over, mm(a.at), mm(b.at), mm(a.amount), mm(b.amount));
}

}  // namespace

std::vector<Miss> miss_candidates(const HeightCurve& bar, const HeightCurve& target, Station from,
                                  Station to) {
  const auto miss = [&](double x) {
    return mm(bar.height(plain::station(x)) - target.height(plain::station(x)));
  };
  const auto slope = [&](double x, Side side) {
    return bar.slope(plain::station(x), side) - target.slope(plain::station(x), side);
  };
  const auto inner_slope = [&](double x) { return slope(x, Side::towards_butt); };
  std::vector<Miss> found;
  const auto visit = [&](double x) {
    found.push_back({plain::station(x), plain::length(miss(x))});
  };

  const std::vector<double> places = breaks(bar, target, from, to);
  visit(places.front());
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const double a = places[i], b = places[i + 1];
    plain::visit_turning_points(miss, inner_slope, {a, miss(a), slope(a, Side::towards_butt)},
                                {b, miss(b), slope(b, Side::towards_tip)}, visit);
    visit(b);
  }
  return found;
}

Miss greatest_of(std::span<const Miss> candidates) {
  Miss greatest = candidates.front();
  for (const Miss& m : candidates) {
    if (std::fabs(mm(m.amount)) > std::fabs(mm(greatest.amount)) + kSameMiss) greatest = m;
  }
  return greatest;
}

Miss greatest_miss(const HeightCurve& bar, const HeightCurve& target, Station from, Station to) {
  return greatest_of(miss_candidates(bar, target, from, to));
}

std::vector<SpanMiss> misses_by_span(const BarShape& bar, const HeightCurve& target, Station from,
                                     Station to) {
  plain::require(from <= to, "an interval that ends before it begins");
  std::vector<Station> ends{from};
  for (const Support& s : bar.supports()) {
    if (s.at > from && s.at < to) ends.push_back(s.at);
  }
  ends.push_back(to);
  std::vector<SpanMiss> spans;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    spans.push_back({ends[i], ends[i + 1], greatest_miss(bar, target, ends[i], ends[i + 1])});
  }
  return spans;
}

std::vector<Dip> dips_below(const HeightCurve& bar, const HeightCurve& limit, Station from,
                            Station to) {
  const std::vector<Miss> places = miss_candidates(bar, limit, from, to);
  std::vector<Dip> dips;
  bool below = false;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Miss& here = places[i];
    const bool now_below = here.amount < Length();
    if (now_below && !below) {
      const Station start =
          i == 0 ? here.at : plain::station(crossing(bar, limit, places[i - 1], here));
      dips.push_back({start, here.at, here});
    } else if (now_below) {
      dips.back().to = here.at;
      if (here.amount < dips.back().deepest.amount) dips.back().deepest = here;
    } else if (below) {
      dips.back().to = plain::station(crossing(bar, limit, places[i - 1], here));
    }
    below = now_below;
  }
  std::erase_if(dips, [](const Dip& d) { return -d.deepest.amount < kSamePlace; });
  return dips;
}

}  // namespace stripwright::machine
