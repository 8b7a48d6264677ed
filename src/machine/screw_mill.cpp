#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "machine/best_fit.h"
#include "machine/cutter_curve.h"
#include "machine/screw_settings.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

/// The nearest figure of the dial; halves go away from 0, and what lies within a
/// millionth of a division of a half counts as the half.
Length nearest_division(Length figure, Length division) {
  const double count = std::fabs(figure / division);
  const double whole = std::floor(count + 0.5 + 1e-6);
  return division * std::copysign(whole, figure.in_millimetres());
}

class MillSetter {
 public:
  MillSetter(ScrewMill const& mill, Job const& job, Problems& problems)
      : mill_(mill), job_(job), problems_(problems) {}

  MillPass set(Pass const& pass) {
    const auto [from, to] = reach();
    const CutterCurve curve(*pass.strip, mill_.cutter_radius, from, to);
    std::vector<MillScrew> screws;
    for (auto const& place : screw_places(mill_.screws, job_))
      screws.push_back({place, curve.height(place.taper_at), {}, {}, {}, {}});
    const BarShape bar = bend_bar(screws, curve);
    for (auto& screw : screws) dial_in(screw);
    tell_out_of_range(screws, pass);
    const auto shown = job_.passes.size() > 1 ? std::optional(pass.number) : std::nullopt;
    return {pass, screws, bar_report(bar, curve, job_, shown, problems_)};
  }

 private:
  /// The stretch of the rod that screws and strip cover.
  std::pair<Station, Station> reach() const {
    const Station a = job_.placement.station_at(mill_.screws.front());
    const Station b = job_.placement.station_at(mill_.screws.back());
    return {std::min({a, b, job_.placement.strip_tip_end()}),
            std::max({a, b, job_.placement.strip_butt_end()})};
  }

  BarShape bend_bar(std::vector<MillScrew>& screws, CutterCurve const& curve) const {
    std::vector<ScrewPlace> places;
    for (auto const& screw : screws) places.push_back(screw.place);
    const auto free = free_screws(places, job_.placement);
    std::vector<FitSupport> supports;
    for (std::size_t i = 0; i < screws.size(); ++i)
      supports.push_back({screws[i].place.taper_at, screws[i].offset, free[i], {}});
    const bool backwards = supports.size() > 1 && supports[1].at < supports[0].at;
    if (backwards) std::reverse(supports.begin(), supports.end());
    const BarKind kind = mill_.bar == Bar::spring ? BarKind::spring : BarKind::straight;
    std::vector<Support> settings;
    if (mill_.fit == Fit::best) {
      settings =
          best_fit(kind, supports, curve, job_.strip->section().from, job_.strip->section().to)
              .supports;
      for (std::size_t i = 0; i < screws.size(); ++i)
        screws[i].offset = settings[backwards ? screws.size() - 1 - i : i].height;
    } else {
      for (auto const& support : supports) settings.push_back({support.at, support.height});
    }
    return bar_through(kind, std::move(settings));
  }

  double per_offset() const { return mill_.dial.sense * mill_.dial.dial_per_offset; }
  /// What the dial would show, if it could be read that finely and went that far.
  Length figure_for(Length offset) const { return mill_.dial.zero + per_offset() * offset; }

  void dial_in(MillScrew& screw) const {
    auto const& dial = mill_.dial;
    if (dial.screw_lead) screw.turns = screw.turns_dialled = screw.offset / *dial.screw_lead;
    const Length exact = figure_for(screw.offset);
    const Length shown = dial.division ? nearest_division(exact, *dial.division) : exact;
    if (dial.range &&
        (shown < dial.range->lowest - kSamePlace || shown > dial.range->highest + kSamePlace))
      return;
    screw.dial = shown;
    screw.residual = (exact - shown) / per_offset();
    if (dial.screw_lead) screw.turns_dialled = (screw.offset - *screw.residual) / *dial.screw_lead;
  }

  void tell_out_of_range(std::vector<MillScrew> const& screws, Pass const& pass) {
    std::vector<std::string> places;
    for (auto const& screw : screws)
      if (screw.place.on_strip && !screw.dial)
        places.push_back(fmt::format("screw {} (wants {})", screw.place.screw,
                                     format_short(figure_for(screw.offset), job_.unit)));
    if (places.empty()) return;
    problems_.unmet(
        fmt::format("section '{}'{}: the dial goes from {} to {}, but not to what is wanted at {}",
                    job_.strip->section().name,
                    job_.passes.size() > 1 ? fmt::format(", pass {}", pass.number) : "",
                    format_short(mill_.dial.range->lowest, job_.unit),
                    format_short(mill_.dial.range->highest, job_.unit), fmt::join(places, ", ")),
        "shift the dial's zero, pack the bed, or correct dial: range");
  }

  ScrewMill const& mill_;
  Job const& job_;
  Problems& problems_;
};

}  // namespace

std::vector<MillPass> set_screw_mill(ScrewMill const& mill, Job const& job, Problems& problems) {
  check_reach(mill.screws, job, problems);
  MillSetter setter(mill, job, problems);
  std::vector<MillPass> out;
  for (auto const& pass : job.passes) out.push_back(setter.set(pass));
  return out;
}

}  // namespace stripwright::machine
