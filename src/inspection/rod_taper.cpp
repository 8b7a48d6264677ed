#include "inspection/rod_taper.h"

#include <algorithm>
#include <boost/math/statistics/univariate_statistics.hpp>
#include <cmath>

#include "taper/derive.h"
#include "taper/smoothing_spline.h"

namespace stripwright::inspection {
namespace {

using boost::math::statistics::median;

/// The normal distribution's upper quartile: MAD / 0.6745 is its standard deviation.
constexpr double kQuartile = 0.6745;
constexpr std::size_t kNeighbours = 4;

/// The readings of one station, by index.
using Group = std::vector<std::size_t>;

std::vector<Group> groups_of(std::vector<FlatsReading> const& readings,
                             std::vector<bool> const& out) {
  std::vector<Group> groups;
  Station at;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (!out.empty() && out[i]) continue;
    if (groups.empty() || !same_place(readings[i].at, at)) {
      groups.emplace_back();
      at = readings[i].at;
    }
    groups.back().push_back(i);
  }
  return groups;
}

/// The stations of what is left of the readings, each with the median of its own.
struct Medians {
  std::vector<Group> groups;
  std::vector<double> x;  // mm
  std::vector<double> y;
};

Medians medians_of(std::vector<FlatsReading> const& readings, std::vector<bool> const& out) {
  Medians all;
  all.groups = groups_of(readings, out);
  for (auto const& group : all.groups) {
    std::vector<double> values;
    for (const auto i : group) values.push_back(readings[i].flats.in_millimetres());
    all.x.push_back(readings[group.front()].at.from_zero().in_millimetres());
    all.y.push_back(median(values));
  }
  return all;
}

struct Expected {
  double flats = 0;
  double noise = 1;  ///< √(1 + Σ w²)
};

/// What the neighbours' medians say at a place (Lagrange): the cubic through four, or at an end of
/// the rod the parabola through three, for a cubic drawn on beyond its points magnifies their
/// scatter eightfold.
Expected expected(Medians const& all, double at) {
  const auto apart = [&](std::size_t i) {
    return !same_place(Length::millimetres(all.x[i]), Length::millimetres(at));
  };
  std::vector<std::size_t> others;
  std::size_t before = 0;
  for (std::size_t i = 0; i < all.x.size(); ++i) {
    if (!apart(i)) continue;
    others.push_back(i);
    if (all.x[i] < at) ++before;
  }
  const bool end = before == 0 || before == others.size();
  const std::size_t count = end ? 3 : 4;
  const std::size_t first = std::min(before < 2 ? 0 : before - 2, others.size() - 4);
  const auto begin =
      others.begin() + static_cast<std::ptrdiff_t>(before == 0 ? 0 : first + 4 - count);
  const std::vector<std::size_t> near(begin, begin + static_cast<std::ptrdiff_t>(count));
  Expected out;
  double squares = 1;
  for (const auto i : near) {
    double w = 1;
    for (const auto j : near)
      if (j != i) w *= (at - all.x[j]) / (all.x[i] - all.x[j]);
    out.flats += w * all.y[i];
    squares += w * w;
  }
  out.noise = std::sqrt(squares);
  return out;
}

/// How far a reading is from what is expected there, in the scatter of a single one.
struct Off {
  std::size_t index;
  double by;
};

std::vector<Off> all_off(std::vector<FlatsReading> const& readings, Medians const& all) {
  std::vector<Off> out;
  for (std::size_t k = 0; k < all.groups.size(); ++k) {
    const auto here = expected(all, all.x[k]);
    for (const auto i : all.groups[k])
      out.push_back({i, (readings[i].flats.in_millimetres() - here.flats) / here.noise});
  }
  return out;
}

double middle_of(std::vector<Off> const& off) {
  std::vector<double> values;
  for (auto const& each : off) values.push_back(each.by);
  return median(values);
}

double spread_of(std::vector<Off> const& off, double middle) {
  std::vector<double> values;
  for (auto const& each : off) values.push_back(std::abs(each.by - middle));
  return median(values) / kQuartile;
}

/// The reading that is most off, if any is odd. Each of those that are farthest off is held against
/// the scatter of the others without it, so that it does not hide in what it does to them.
std::optional<OddReading> most_odd(std::vector<FlatsReading> const& readings,
                                   std::vector<bool> const& out, double least_spread) {
  constexpr std::size_t kLookedAt = 20;
  const auto now = medians_of(readings, out);
  if (now.groups.size() <= kNeighbours) return std::nullopt;
  auto off = all_off(readings, now);
  const double middle_now = middle_of(off);
  const auto farther = [&](Off const& a, Off const& b) {
    return std::abs(a.by - middle_now) > std::abs(b.by - middle_now);
  };
  std::stable_sort(off.begin(), off.end(), farther);
  OddReading worst;
  for (std::size_t c = 0; c < std::min(kLookedAt, off.size()); ++c) {
    const auto i = off[c].index;
    auto without = out;
    without[i] = true;
    const auto rest = medians_of(readings, without);
    if (rest.groups.size() <= kNeighbours) continue;
    const auto others = all_off(readings, rest);
    const double middle = middle_of(others);
    const double spread = std::max(spread_of(others, middle), least_spread);
    const auto here = expected(rest, readings[i].at.from_zero().in_millimetres());
    const double by = (readings[i].flats.in_millimetres() - here.flats) / here.noise;
    const double times = spread > 0 ? std::abs(by - middle) / spread : 0;
    if (times > worst.times_spread) worst = {i, Length::millimetres(here.flats), times};
  }
  return worst.times_spread > kOddFrom ? std::optional(worst) : std::nullopt;
}

/// The stations with their means.
std::vector<RodStation> means_of(std::vector<FlatsReading> const& readings) {
  std::vector<RodStation> out;
  for (auto const& group : groups_of(readings, {})) {
    std::vector<Length> values;
    for (const auto i : group) values.push_back(readings[i].flats);
    RodStation station;
    station.at = readings[group.front()].at;
    station.readings = repeated(values);
    station.flats = station.readings.mean;
    out.push_back(station);
  }
  return out;
}

}  // namespace

std::vector<OddReading> odd_readings(std::vector<FlatsReading> const& readings,
                                     Length least_spread) {
  std::vector<bool> out(readings.size(), false);
  std::vector<OddReading> found;
  while (found.size() < readings.size() / 4) {
    const auto odd = most_odd(readings, out, least_spread.in_millimetres());
    if (!odd) break;
    out[odd->index] = true;
    found.push_back(*odd);
  }
  return found;
}

ReadingScatter scatter_of(Gauge const& gauge) {
  const Repeated one{{}, {}, 1};
  return {scatter_uncertainty(gauge, one), standard_uncertainty(gauge, one)};
}

Length reading_uncertainty(std::vector<FlatsReading> const& readings,
                           ReadingScatter const& scatter) {
  double squares = 0;
  double freedom = 0;
  for (auto const& station : means_of(readings)) {
    const double s = station.readings.spread.in_millimetres();
    const auto more = static_cast<double>(station.readings.count - 1);
    squares += more * s * s;
    freedom += more;
  }
  if (freedom == 0) return scatter.single;
  return std::max(scatter.floor, Length::millimetres(std::sqrt(squares / freedom)));
}

std::vector<RodStation> rod_stations(std::vector<FlatsReading> const& readings,
                                     std::optional<Length> of_one_reading) {
  auto out = means_of(readings);
  if (!of_one_reading) return out;
  const Length u = *of_one_reading;
  for (auto& station : out)
    station.u = std::max(u, station.readings.spread) /
                std::sqrt(static_cast<double>(station.readings.count));
  if (out.size() < 3 || !(u > Length{})) return out;
  std::vector<MeasuredFlats> points;
  for (auto const& station : out) points.push_back({station.at, station.readings.mean, *station.u});
  const auto curve = smoothest_within(points, kCoverage);
  for (auto& station : out) station.flats = curve.flats(station.at);
  return out;
}

bool falls_all_along(std::vector<RodStation> const& stations) {
  if (stations.size() < 2 || stations.back().readings.mean >= stations.front().readings.mean)
    return false;
  std::size_t falling = 0;
  for (std::size_t i = 1; i < stations.size(); ++i)
    if (stations[i].readings.mean < stations[i - 1].readings.mean) ++falling;
  return 4 * falling >= 3 * (stations.size() - 1);
}

Parsed<std::vector<TaperPoint>> flats_at_every(std::vector<RodStation> const& stations, bool smooth,
                                               Length step, Unit unit) {
  Taper through;
  through.unit = unit;
  for (auto const& station : stations) through.points.push_back({station.at, station.flats});
  auto change = at_every(derived_from(through), step);
  if (!change) return {std::nullopt, change.fault, change.remedy};
  auto points = std::move(change.value->taper.points);
  if (smooth && stations.size() >= 3) {
    // The same curve again: with λ = 0 a natural spline goes through the fitted points of another.
    std::vector<MeasuredFlats> fitted;
    for (auto const& station : stations)
      fitted.push_back({station.at, station.flats, Length::millimetres(1)});
    const SmoothingSpline curve(fitted, 0);
    for (auto& point : points) point.flats = curve.flats(point.at);
  }
  return {std::move(points), {}, {}};
}

}  // namespace stripwright::inspection
