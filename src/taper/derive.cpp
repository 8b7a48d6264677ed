#include "taper/derive.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "files/map_reader.h"
#include "files/slug.h"
#include "taper/derive_faults.h"
#include "taper/taper_curve.h"

namespace stripwright {

using derive::basis_word;
using derive::differing_basis;
using derive::done;
using derive::fault;
using derive::show;

namespace {

/// All places along the rod by one rule.
template <class Rule>
void move_places(Taper& taper, Rule const& rule) {
  for (auto& point : taper.points) point.at = rule(point.at);
  for (auto& section : taper.sections) {
    section.from = rule(section.from);
    section.to = rule(section.to);
  }
  for (auto& ferrule : taper.ferrules) ferrule.at = rule(ferrule.at);
}

Change factor_fault(double factor) {
  return fault(fmt::format("a factor of {:g}", factor),
               "a factor is above 0: 1.05 makes it 5 % larger, 0.95 makes it 5 % smaller");
}

/// Other flats at the same stations; a fault where one is not above 0.
template <class Rule>
Change change_flats(DerivedTaper taper, Rule const& rule) {
  for (std::size_t i = 0; i < taper.taper.points.size(); ++i) {
    auto& point = taper.taper.points[i];
    const Length flats = rule(point, i);
    if (flats <= Length{})
      return fault(fmt::format("nothing is left at station {}: {} across flats, and then {}",
                               show(point.at, taper.taper), show(point.flats, taper.taper),
                               show(flats, taper.taper)),
                   "take off less");
    point.flats = flats;
  }
  return done(std::move(taper));
}

std::vector<Origins::Index> counted(std::size_t n) {
  std::vector<Origins::Index> out(n);
  for (std::size_t i = 0; i < n; ++i) out[i] = i;
  return out;
}

}  // namespace

DerivedTaper derived_from(Taper taper) {
  Origins from{counted(taper.points.size()), counted(taper.sections.size()),
               counted(taper.ferrules.size())};
  return {std::move(taper), std::move(from), {}};
}

Change scale_length(DerivedTaper taper, double factor) {
  if (!(factor > 0)) return factor_fault(factor);
  move_places(taper.taper, [&](Station at) { return Station(at.from_zero() * factor); });
  return done(std::move(taper));
}

Change scale_flats(DerivedTaper taper, double factor) {
  if (!(factor > 0)) return factor_fault(factor);
  return change_flats(std::move(taper),
                      [&](TaperPoint const& point, std::size_t) { return point.flats * factor; });
}

Change add_flats(DerivedTaper taper, Length amount) {
  return change_flats(std::move(taper),
                      [&](TaperPoint const& point, std::size_t) { return point.flats + amount; });
}

Change move_stations(DerivedTaper taper, Length by) {
  move_places(taper.taper, [&](Station at) { return at + by; });
  return done(std::move(taper));
}

Change at_stations(DerivedTaper taper, std::vector<Station> stations) {
  Taper const& old = taper.taper;
  const Station tip = old.tip_end();
  const Station butt = old.butt_end();
  const auto outside = std::erase_if(
      stations, [&](Station at) { return at < tip - kSamePlace || at > butt + kSamePlace; });
  if (outside > 0)
    taper.remarks.push_back(
        fmt::format("{} stations beyond the taper's ends are left out", outside));
  stations.push_back(tip);
  stations.push_back(butt);
  std::sort(stations.begin(), stations.end());
  const TaperCurve curve(old);
  std::vector<TaperPoint> points;
  std::vector<Origins::Index> from;
  for (const Station at : stations) {
    if (!points.empty() && same_place(points.back().at, at)) continue;
    const auto near =
        std::lower_bound(old.points.begin(), old.points.end(), at - kSamePlace,
                         [](TaperPoint const& point, Station where) { return point.at < where; });
    if (near != old.points.end() && same_place(near->at, at)) {
      points.push_back(*near);
      from.push_back(taper.from.points[static_cast<std::size_t>(near - old.points.begin())]);
    } else {
      points.push_back({at, curve.flats(at)});
      from.emplace_back();
    }
  }
  taper.taper.points = std::move(points);
  taper.from.points = std::move(from);
  return done(std::move(taper));
}

Change at_every(DerivedTaper taper, Length step) {
  if (step <= Length{}) return fault("a step of 0 or below between stations", "write 5 in, say");
  const double first = std::ceil(taper.taper.tip_end().from_zero() / step - 1e-9);
  const double last = std::floor(taper.taper.butt_end().from_zero() / step + 1e-9);
  if (last - first > kMostStations)
    return fault(fmt::format("a step of {} makes more than {} stations", show(step, taper.taper),
                             kMostStations),
                 "take a larger step");
  std::vector<Station> stations;
  // Counted, so that the hundredth station is where a hundred steps lead.
  for (auto k = static_cast<long>(first); k <= static_cast<long>(last); ++k)
    stations.emplace_back(step * static_cast<double>(k));
  return at_stations(std::move(taper), std::move(stations));
}

Change in_unit_of_file(DerivedTaper taper, Unit unit) {
  taper.taper.unit = unit;
  return done(std::move(taper));
}

Change on_basis(DerivedTaper taper, Measured basis, Length varnish) {
  if (taper.taper.measured == basis)
    return fault(fmt::format("the taper is measured {} already", basis_word(basis)),
                 "leave --basis out");
  taper.taper.measured = basis;
  return add_flats(std::move(taper), basis == Measured::varnished ? 2 * varnish : -2 * varnish);
}

Change blend(DerivedTaper taper, Taper const& other, double share) {
  Taper const& first = taper.taper;
  if (auto differing = differing_basis(first, other)) return *differing;
  if (!(share >= 0 && share <= 1))
    return fault(fmt::format("a share of {:g}", share),
                 "a share is 0 to 1: 0.25 takes a quarter of the other taper");
  if (other.tip_end() > first.tip_end() + kSamePlace ||
      other.butt_end() < first.butt_end() - kSamePlace)
    return fault(fmt::format("{} goes from {} to {}, and so does not reach over all of {}, from {} "
                             "to {}",
                             quoted_for_message(other.name), show(other.tip_end(), first),
                             show(other.butt_end(), first), quoted_for_message(first.name),
                             show(first.tip_end(), first), show(first.butt_end(), first)),
                 "cut this one first with --cut, or make the other one longer");
  const TaperCurve curve(other);
  return change_flats(std::move(taper), [&](TaperPoint const& point, std::size_t) {
    return (1 - share) * point.flats + share * curve.flats(point.at);
  });
}

// With weights w, distances d from the station and flats y, the line's value at d = 0 is
//   (S2 T0 - S1 T1) / (S0 S2 - S1²),  Sk = Σ w d^k,  Tk = Σ w d^k y.
Change smooth(DerivedTaper taper, Length reach) {
  if (reach <= Length{})
    return fault("smoothing over 0 or less", "write how far it reaches to either side: 10 in, say");
  const auto points = taper.taper.points;
  return change_flats(std::move(taper), [&](TaperPoint const& point, std::size_t i) {
    double s0 = 0, s1 = 0, s2 = 0;
    Length t0, t1;
    const auto add = [&](TaperPoint const& near) {
      const double d = (near.at - point.at) / reach;
      const double w = 1 - std::abs(d);
      if (w <= 0) return false;
      s0 += w;
      s1 += w * d;
      s2 += w * d * d;
      // From the station's own figure, so that equal figures stay equal to the last bit.
      t0 += w * (near.flats - point.flats);
      t1 += w * d * (near.flats - point.flats);
      return true;
    };
    for (std::size_t k = i; k < points.size() && add(points[k]);) ++k;
    for (std::size_t k = i; k-- > 0 && add(points[k]);) {
    }
    const double determinant = s0 * s2 - s1 * s1;
    return determinant > 0 ? point.flats + (s2 * t0 - s1 * t1) / determinant : point.flats;
  });
}

Change rename_section(DerivedTaper taper, std::string const& name, std::string const& other) {
  auto& sections = taper.taper.sections;
  const auto found = std::find_if(sections.begin(), sections.end(),
                                  [&](RodSection const& each) { return each.name == name; });
  if (found == sections.end())
    return fault(fmt::format("the taper has no section {}", quoted_for_message(name)),
                 "`taper show` names its sections");
  if (!files::is_name(other))
    return fault(fmt::format("{} is no name of a section", quoted_for_message(other)),
                 "a name has letters, digits, blanks and hyphens");
  for (auto const& each : sections)
    if (&each != &*found && files::file_slug(each.name) == files::file_slug(other))
      return fault(fmt::format("the taper has a section '{}' already", each.name),
                   "take another name");
  found->name = other;
  return done(std::move(taper));
}

}  // namespace stripwright
