#include <algorithm>

#include "files/slug.h"
#include "taper/derive.h"
#include "taper/derive_faults.h"

namespace stripwright {

using derive::differing_basis;
using derive::done;
using derive::fault;
using derive::show;

Change cut(DerivedTaper taper, Station from, Station to) {
  Taper const& old = taper.taper;
  if (to <= from + kSamePlace || from < old.tip_end() - kSamePlace ||
      to > old.butt_end() + kSamePlace)
    return fault(
        fmt::format("no part of the taper lies from {} to {}", show(from, old), show(to, old)),
        fmt::format("it goes from {} to {}", show(old.tip_end(), old), show(old.butt_end(), old)));
  std::vector<RodSection> sections;
  std::vector<Origins::Index> sections_from;
  for (std::size_t i = 0; i < old.sections.size(); ++i) {
    auto section = old.sections[i];
    section.from = std::max(section.from, from);
    section.to = std::min(section.to, to);
    if (section.to <= section.from + kSamePlace) continue;
    sections.push_back(section);
    sections_from.push_back(taper.from.sections[i]);
  }
  if (sections.empty())
    return fault(fmt::format("no section lies from {} to {}", show(from, old), show(to, old)),
                 "cut where there is one");
  std::vector<Station> stations;
  for (auto const& point : old.points)
    if (point.at > from && point.at < to) stations.push_back(point.at);
  stations.push_back(from);
  stations.push_back(to);
  std::vector<Ferrule> ferrules;
  std::vector<Origins::Index> ferrules_from;
  for (std::size_t i = 0; i < old.ferrules.size(); ++i) {
    if (old.ferrules[i].at < from - kSamePlace || old.ferrules[i].at > to + kSamePlace) continue;
    ferrules.push_back(old.ferrules[i]);
    ferrules_from.push_back(taper.from.ferrules[i]);
  }
  taper.taper.sections = std::move(sections);
  taper.from.sections = std::move(sections_from);
  taper.taper.ferrules = std::move(ferrules);
  taper.from.ferrules = std::move(ferrules_from);
  auto change = at_stations(std::move(taper), stations);
  auto& points = change.value->taper.points;
  auto& points_from = change.value->from.points;
  for (std::size_t i = points.size(); i-- > 0;) {
    if (points[i].at >= from - kSamePlace && points[i].at <= to + kSamePlace) continue;
    points.erase(points.begin() + static_cast<std::ptrdiff_t>(i));
    points_from.erase(points_from.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return change;
}

Change join(DerivedTaper taper, Taper const& behind) {
  Taper& front = taper.taper;
  if (auto differing = differing_basis(front, behind)) return *differing;
  for (auto const& section : behind.sections)
    for (auto const& other : front.sections)
      if (files::file_slug(section.name) == files::file_slug(other.name))
        return fault(fmt::format("both tapers have a section '{}'", section.name),
                     "give one of them another name first: --rename-section rod=tip");
  if (front.between != behind.between)
    taper.remarks.push_back(fmt::format(
        "{} now runs {} between its stations, as {} does", quoted_for_message(behind.name),
        front.between == Between::linear ? "straight" : "smooth", quoted_for_message(front.name)));
  const Station joint = front.butt_end();
  const Length by = joint - behind.tip_end();
  auto& at_joint = front.points.back();
  const Length step = behind.points.front().flats - at_joint.flats;
  if (abs(step) > kSamePlace) {
    taper.remarks.push_back(fmt::format(
        "at the joint, {}, one has {} across flats and the other {}: the mean of the two "
        "is taken",
        show(joint, front), show(at_joint.flats, front), show(behind.points.front().flats, front)));
    at_joint.flats += step / 2;
  }
  for (std::size_t i = 1; i < behind.points.size(); ++i) {
    front.points.push_back({behind.points[i].at + by, behind.points[i].flats});
    taper.from.points.emplace_back();
  }
  for (auto section : behind.sections) {
    section.from = section.from + by;
    section.to = section.to + by;
    front.sections.push_back(section);
    taper.from.sections.emplace_back();
  }
  for (auto ferrule : behind.ferrules) {
    ferrule.at = ferrule.at + by;
    const bool known = std::any_of(front.ferrules.begin(), front.ferrules.end(),
                                   [&](auto const& f) { return same_place(f.at, ferrule.at); });
    if (known) continue;
    front.ferrules.push_back(ferrule);
    taper.from.ferrules.emplace_back();
  }
  return done(std::move(taper));
}

}  // namespace stripwright
