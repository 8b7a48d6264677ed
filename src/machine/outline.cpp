#include "machine/outline.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "machine/plain.h"
#include "machine/turning_points.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

struct Place {
  double at;
  bool must;  ///< has to be among the points
};

struct FinePoint {
  double at, height;
  bool must;
};

std::vector<Place> breaks(const HeightCurve& curve, Station from, Station to,
                          std::span<const Station> must_have) {
  std::vector<Place> places{{mm(from), true}, {mm(to), true}};
  for (const Station c : curve.corners()) {
    if (c > from && c < to) places.push_back({mm(c), false});
  }
  for (const Station m : must_have) {
    if (m > from && m < to) places.push_back({mm(m), true});
  }
  // Of equal places the one that has to be there comes first and stays.
  std::sort(places.begin(), places.end(), [](const Place& a, const Place& b) {
    return a.at != b.at ? a.at < b.at : a.must && !b.must;
  });
  places.erase(std::unique(places.begin(), places.end(),
                           [](const Place& a, const Place& b) { return a.at == b.at; }),
               places.end());
  return places;
}

/// The fine points inside one piece.
void refine(const HeightCurve& curve, const plain::Sample& a, const plain::Sample& b, double within,
            std::vector<FinePoint>& points) {
  const plain::HermiteCubic cubic(a, b);
  if (!(cubic.width > plain::kNarrowest)) return;
  const double rise = b.value - a.value;
  const double alpha = cubic.width * a.slope - rise, beta = rise - cubic.width * b.slope;
  const bool flat = std::max(std::fabs(alpha), std::fabs(beta)) / 4 <= within;
  const auto value = [&](double x) { return mm(curve.height(plain::station(x))); };
  if (flat && (curve.straight() || plain::follows(cubic, value, a.at, within / 100))) return;
  const double middle = a.at + cubic.width / 2;
  const plain::Sample m{middle, value(middle),
                        curve.slope(plain::station(middle), Side::towards_butt)};
  refine(curve, a, m, within, points);
  points.push_back({m.at, m.value, false});
  refine(curve, m, b, within, points);
}

std::vector<FinePoint> fine_outline(const HeightCurve& curve, const std::vector<Place>& places,
                                    double within) {
  std::vector<FinePoint> points;
  const auto sample = [&](double x, Side side) {
    const Station at = plain::station(x);
    return plain::Sample{x, mm(curve.height(at)), curve.slope(at, side)};
  };
  for (std::size_t i = 0; i < places.size(); ++i) {
    const plain::Sample here = sample(places[i].at, Side::towards_butt);
    points.push_back({here.at, here.value, places[i].must});
    if (i + 1 == places.size()) break;
    refine(curve, here, sample(places[i + 1].at, Side::towards_tip), within, points);
  }
  return points;
}

}  // namespace

std::vector<OutlinePoint> outline(const HeightCurve& curve, Station from, Station to,
                                  Length tolerance, std::span<const Station> must_have) {
  plain::require(from <= to, "an interval that ends before it begins");
  plain::require(tolerance > Length(), "an outline without a tolerance");
  const double within = mm(tolerance);
  const auto fine = fine_outline(curve, breaks(curve, from, to, must_have), within / 8);
  // A hundredth of the eighth is what the cubics may be off, hence not quite seven eighths.
  const double skip_within = 0.87 * within;
  std::vector<OutlinePoint> points;
  const auto take = [&](const FinePoint& p) {
    points.push_back({plain::station(p.at), plain::length(p.height)});
  };
  take(fine.front());
  std::size_t last = 0;
  // The slopes of the lines from the last point taken that pass all fine points since.
  constexpr double kAny = std::numeric_limits<double>::infinity();
  double least = -kAny, most = kAny;
  for (std::size_t i = 1; i < fine.size(); ++i) {
    double run = fine[i].at - fine[last].at;
    const double slope = (fine[i].height - fine[last].height) / run;
    if (slope < least || slope > most) {
      last = i - 1;
      take(fine[last]);
      least = -kAny;
      most = kAny;
      run = fine[i].at - fine[last].at;
    }
    const double rise = fine[i].height - fine[last].height;
    least = std::max(least, (rise - skip_within) / run);
    most = std::min(most, (rise + skip_within) / run);
    if (fine[i].must) {
      take(fine[i]);
      last = i;
      least = -kAny;
      most = kAny;
    }
  }
  return points;
}

}  // namespace stripwright::machine
