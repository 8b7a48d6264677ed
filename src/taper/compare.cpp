#include "taper/compare.h"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>

#include "diagnostics/problem.h"
#include "taper/taper_curve.h"

namespace stripwright {
namespace {

/// ∫ D² dx in mm³ between two stations, piece by piece of the taper. On each D is a cubic at most
/// and D² of degree 6: seven points of Gauss are exact to degree 13.
double volume(TaperCurve const& curve, Station from, Station to) {
  double sum = 0;
  const auto piece = [&](Station a, Station b) {
    if (b <= a) return;
    const auto squared = [&](double mm) {
      const double d = curve.flats(Station(Length::millimetres(mm))).in_millimetres();
      return d * d;
    };
    sum += boost::math::quadrature::gauss<double, 7>::integrate(
        squared, a.from_zero().in_millimetres(), b.from_zero().in_millimetres());
  };
  Station last = from;
  for (const Station at : curve.points()) {
    if (at <= from || at >= to) continue;
    piece(last, at);
    last = at;
  }
  piece(last, to);
  return sum;
}

}  // namespace

std::optional<Stretch> common_stretch(std::span<const Taper> tapers) {
  check_internal(!tapers.empty(), "no taper to compare");
  Stretch out{tapers.front().tip_end(), tapers.front().butt_end()};
  for (auto const& taper : tapers) {
    out.from = std::max(out.from, taper.tip_end());
    out.to = std::min(out.to, taper.butt_end());
  }
  return out.to > out.from + kSamePlace ? std::optional(out) : std::nullopt;
}

std::vector<Station> common_stations(std::span<const Taper> tapers, Stretch stretch) {
  std::vector<Station> all = {stretch.from, stretch.to};
  for (auto const& taper : tapers)
    for (auto const& point : taper.points)
      if (point.at > stretch.from && point.at < stretch.to) all.push_back(point.at);
  std::sort(all.begin(), all.end());
  all.erase(
      std::unique(all.begin(), all.end(), [](Station a, Station b) { return same_place(a, b); }),
      all.end());
  return all;
}

std::vector<TaperDifference> compare_tapers(Taper const& first, Taper const& second,
                                            std::span<const Station> stations) {
  check_internal(first.measured == Measured::bare && second.measured == Measured::bare,
                 "tapers over varnish compared");
  const TaperCurve a(first);
  const TaperCurve b(second);
  std::vector<TaperDifference> out;
  double mass_a = 0;
  double mass_b = 0;
  for (const Station at : stations) {
    TaperDifference row{at, a.flats(at), b.flats(at), 0, std::nullopt};
    row.stiffness_percent = 100 * (std::pow(row.second / row.first, 4) - 1);
    if (!out.empty()) {
      mass_a += volume(a, out.back().at, at);
      mass_b += volume(b, out.back().at, at);
      row.mass_percent = 100 * (mass_b / mass_a - 1);
    }
    out.push_back(row);
  }
  return out;
}

}  // namespace stripwright
