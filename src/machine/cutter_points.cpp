#include "machine/cutter_points.h"

#include <fmt/format.h>

#include <algorithm>

#include "units/format.h"

namespace stripwright::machine {

std::vector<Station> places_told(Job const& job, std::vector<Station> const& stations) {
  std::vector<Station> out = stations;
  auto const& section = job.strip->section();
  for (const Station at :
       {section.from, section.to, job.placement.strip_tip_end(), job.placement.strip_butt_end()})
    out.push_back(at);
  std::sort(out.begin(), out.end());
  const auto same = [](Station a, Station b) { return same_place(a, b); };
  out.erase(std::unique(out.begin(), out.end(), same), out.end());
  return out;
}

void tell_shortfalls(std::vector<Shortfall> const& shortfalls, Length allowed,
                     std::string const& what, std::string const& remedy, Job const& job,
                     Problems& problems) {
  auto const& section = job.strip->section();
  std::vector<Shortfall> too_much;
  for (auto const& s : shortfalls)
    if (s.at >= section.from && s.at <= section.to && s.amount > allowed) too_much.push_back(s);
  if (too_much.empty()) return;
  const auto greater = [](auto const& a, auto const& b) { return a.amount > b.amount; };
  std::stable_sort(too_much.begin(), too_much.end(), greater);
  constexpr std::size_t kMostNamed = 4;
  std::vector<std::string> places;
  for (auto const& s : too_much) {
    if (places.size() == kMostNamed) break;
    places.push_back(fmt::format("{} at station {}", format_short(s.amount, job.unit),
                                 format_short(s.at.from_zero(), job.unit)));
  }
  const auto more = too_much.size() > places.size()
                        ? fmt::format(" and {} more places", too_much.size() - places.size())
                        : std::string();
  problems.unmet(fmt::format("section '{}': {}: {}{}; the tolerance is {}", section.name, what,
                             fmt::join(places, ", "), more, format_short(allowed, job.unit)),
                 remedy);
}

void tell_rests(std::vector<Rest> const& rests, Length cutter_radius, Job const& job,
                Problems& problems) {
  std::vector<Shortfall> left;
  for (auto const& rest : rests) left.push_back({rest.at, rest.size});
  tell_shortfalls(left, job.tolerance.over,
                  fmt::format("a cutter of diameter {} is too large for the strip's hollows and "
                              "leaves in them more than the tolerance",
                              format_short(2 * cutter_radius, job.unit)),
                  "use a smaller cutter, or smooth the taper there", job, problems);
}

}  // namespace stripwright::machine
