#include "section/crossing.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>

namespace stripwright::section {

std::optional<Station> crossing(std::function<Length(Station)> const& over, Station a, Station b,
                                bool straight) {
  if (b < a) std::swap(a, b);
  const Length at_a = over(a);
  const Length at_b = over(b);
  const Length none;
  if (at_a == none || at_b == none || (at_a < none) == (at_b < none)) return std::nullopt;
  if (straight) return a + (b - a) * (at_a / (at_a - at_b));
  const auto plain = [&](double mm) {
    return over(Station(Length::millimetres(mm))).in_millimetres();
  };
  std::uintmax_t steps = 200;
  const auto bracket = boost::math::tools::toms748_solve(
      plain, a.from_zero().in_millimetres(), b.from_zero().in_millimetres(), at_a.in_millimetres(),
      at_b.in_millimetres(), boost::math::tools::eps_tolerance<double>(52), steps);
  return Station(Length::millimetres((bracket.first + bracket.second) / 2));
}

std::vector<Station> crossings(HeightCurve const& curve, Length level) {
  const auto corners = curve.corners();
  std::vector<Station> borders = {corners.front() - kFarAway};
  borders.insert(borders.end(), corners.begin(), corners.end());
  borders.push_back(corners.back() + kFarAway);
  std::vector<Station> out;
  const auto over = [&](Station at) { return curve.height(at) - level; };
  for (std::size_t i = 0; i + 1 < borders.size(); ++i)
    if (const auto at = crossing(over, borders[i], borders[i + 1], curve.straight()))
      out.push_back(*at);
  return out;
}

Extent extent(HeightCurve const& curve, Station from, Station to) {
  Extent out{from, curve.height(from), curve.height(from)};
  const auto look = [&](Station at) {
    const Length height = curve.height(at);
    if (height < out.lowest) {
      out.lowest = height;
      out.lowest_at = at;
    }
    out.highest = std::max(out.highest, height);
  };
  look(to);
  for (const Station at : curve.corners())
    if (at > from && at < to) look(at);
  return out;
}

}  // namespace stripwright::section
