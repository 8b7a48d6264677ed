#include "machine/screw_settings.h"

#include <fmt/format.h>

#include "units/format.h"

namespace stripwright::machine {
namespace {

/// From here on figures of the bench show a miss as 0.0002 in or more: less is not gauged.
constexpr Length kSeen = Length::inches(0.00015);

bool slight_miss(Length miss, Length allowed) {
  return miss <= allowed / 10 || (miss < kSeen && miss <= allowed / 4);
}

}  // namespace

std::vector<ScrewPlace> screw_places(std::vector<MachinePosition> const& screws, Job const& job) {
  std::vector<ScrewPlace> out;
  for (const MachinePosition at : screws) {
    const Station station = job.placement.station_at(at);
    out.push_back({static_cast<long>(out.size()) + 1, at, station, job.strip->height(station),
                   job.placement.on_strip(station)});
  }
  return out;
}

void check_reach(std::vector<MachinePosition> const& screws, Job const& job, Problems& problems) {
  const auto begins = job.placement.strip_begins();
  const auto ends = job.placement.strip_ends();
  if (begins > screws.front() - kSamePlace && ends < screws.back() + kSamePlace) return;
  const auto show = [&](Length l) { return format_short(l, job.unit); };
  problems.unmet(
      fmt::format("section '{}': the strip is longer than the screws reach: it lies from {} to {}, "
                  "the screws from {} to {}",
                  job.strip->section().name, show(begins.from_zero()), show(ends.from_zero()),
                  show(screws.front().from_zero()), show(screws.back().from_zero())),
      "move strip_at, shorten the spare, or use a longer machine");
}

BarReport bar_report(BarShape const& bar, section::HeightCurve const& target, Job const& job,
                     std::optional<long> pass, Problems& problems) {
  auto const& section = job.strip->section();
  BarReport report{misses_by_span(bar, target, section.from, section.to),
                   greatest_miss(bar, target, section.from, section.to), false, std::nullopt};
  const Length allowed =
      report.greatest.amount > Length{} ? job.tolerance.over : job.tolerance.under;
  report.slight = slight_miss(abs(report.greatest.amount), allowed);
  if (abs(report.greatest.amount) > allowed)
    problems.warn(fmt::format("section '{}'{}: between its screws the bar misses the strip by {}, "
                              "more than the tolerance, at station {}",
                              section.name, pass ? fmt::format(", pass {}", *pass) : "",
                              format_short(report.greatest.amount, job.unit),
                              format_short(report.greatest.at.from_zero(), job.unit)),
                  "set fit: best, or smooth the taper there");
  return report;
}

std::vector<bool> free_screws(std::vector<ScrewPlace> const& places, Placement const& placement) {
  std::vector<bool> out;
  for (auto const& place : places) out.push_back(place.on_strip);
  // Screws are in order along the machine, so the nearest one beyond an end stands next to
  // the first or last one that the end is still in front of.
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (places[i].on_strip) continue;
    const bool before = places[i].machine_at < placement.strip_begins();
    const std::size_t next = before ? i + 1 : i - 1;
    const bool next_is_beyond_too = before ? next < places.size() && !places[next].on_strip &&
                                                 places[next].machine_at < placement.strip_begins()
                                           : i > 0 && !places[next].on_strip &&
                                                 places[next].machine_at > placement.strip_ends();
    out[i] = !next_is_beyond_too;
  }
  return out;
}

}  // namespace stripwright::machine
