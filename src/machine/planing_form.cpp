#include <fmt/format.h>

#include <algorithm>

#include "machine/best_fit.h"
#include "machine/screw_settings.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

GaugePoint gauge_point(DepthGauge const& gauge) {
  switch (gauge.tip) {
    case GaugeTip::sharp:
      return {GaugePoint::Kind::sharp, {}};
    case GaugeTip::flat:
      return {GaugePoint::Kind::flat, gauge.diameter};
    case GaugeTip::ball:
      return {GaugePoint::Kind::ball, gauge.diameter};
  }
  return {};
}

/// The closed depth along the form, as a curve over the rod.
BarShape closed_curve(PlaningForm const& form, Placement const& placement) {
  std::vector<Support> ends = {
      {placement.station_at(form.screws.front()), form.closed_depth->at_first_screw},
      {placement.station_at(form.screws.back()), form.closed_depth->at_last_screw}};
  if (ends[1].at < ends[0].at) std::swap(ends[0], ends[1]);
  return BarShape::straight_between(std::move(ends));
}

class FormSetter {
 public:
  FormSetter(PlaningForm const& form, Job const& job, Problems& problems)
      : form_(form), job_(job), problems_(problems) {
    if (form.closed_depth) closed_ = closed_curve(form, job.placement);
  }

  FormPass set(Pass const& pass) {
    std::vector<FormScrew> screws;
    for (auto const& place : screw_places(form_.screws, job_))
      screws.push_back({place, pass.strip->height(place.taper_at), true, {}, {}, {}});
    tell_depths_below_closed(screws, pass);
    const BarShape bar = bend_bars(screws, pass);
    for (auto& screw : screws) finish(screw);
    tell_unread(screws, pass);
    tell_dips(bar, pass);
    // Where a screw could not be set the bars' miss is only its echo.
    Problems echo;
    const bool all_set = std::all_of(screws.begin(), screws.end(),
                                     [](FormScrew const& screw) { return screw.can_be_set; });
    auto report = bar_report(bar, *pass.strip, job_, shown_pass(pass), all_set ? problems_ : echo);
    const Station worst = report.greatest.at;
    if (form_.depth_gauge)
      report.gauge_there =
          gauge_reading({bar.height(worst), closed_at(worst)}, gauge_point(*form_.depth_gauge))
              .reading;
    return {pass, screws, std::move(report)};
  }

 private:
  std::string show(Length l) const { return format_short(l, job_.unit); }
  std::optional<Length> closed_at(Station at) const {
    return closed_ ? std::optional(closed_->height(at)) : std::nullopt;
  }
  std::optional<long> shown_pass(Pass const& pass) const {
    return job_.passes.size() > 1 ? std::optional(pass.number) : std::nullopt;
  }
  std::string where(Pass const& pass) const {
    return fmt::format("section '{}'{}", job_.strip->section().name,
                       job_.passes.size() > 1 ? fmt::format(", pass {}", pass.number) : "");
  }

  /// Screws whose depth the form cannot close to: on the strip they cannot be set, beyond it
  /// they are set as near as the form allows.
  void tell_depths_below_closed(std::vector<FormScrew>& screws, Pass const& pass) {
    std::vector<std::string> places;
    Length most;
    for (auto& screw : screws) {
      const auto closed = closed_at(screw.place.taper_at);
      if (!closed || screw.depth >= *closed - kSamePlace) continue;
      if (!screw.place.on_strip) {
        screw.depth = *closed;
        continue;
      }
      screw.can_be_set = false;
      most = std::max(most, *closed - screw.depth);
      places.push_back(fmt::format("screw {} (wants {}, closes to {})", screw.place.screw,
                                   show(screw.depth), show(*closed)));
    }
    if (!places.empty())
      problems_.unmet(
          fmt::format("{}: the groove cannot close so far at {}", where(pass),
                      fmt::join(places, ", ")),
          fmt::format("use a form whose closed groove is at least {} shallower there{}", show(most),
                      thinnest_wanted(screws) > thinnest_closed()
                          ? ", or move strip_at towards its thin end"
                          : ""));
  }

  Length thinnest_closed() const {
    return std::min(form_.closed_depth->at_first_screw, form_.closed_depth->at_last_screw);
  }
  static Length thinnest_wanted(std::vector<FormScrew> const& screws) {
    Length thinnest = Length::millimetres(1e9);
    for (auto const& screw : screws)
      if (!screw.can_be_set) thinnest = std::min(thinnest, screw.depth);
    return thinnest;
  }

  /// The bars as they stand: through each screw's depth, or as near as it closes.
  BarShape bend_bars(std::vector<FormScrew>& screws, Pass const& pass) {
    std::vector<ScrewPlace> places;
    for (auto const& screw : screws) places.push_back(screw.place);
    const auto free = free_screws(places, job_.placement);
    std::vector<FitSupport> supports;
    for (std::size_t i = 0; i < screws.size(); ++i) {
      const auto closed = closed_at(screws[i].place.taper_at);
      supports.push_back({screws[i].place.taper_at,
                          closed ? std::max(*closed, screws[i].depth) : screws[i].depth, free[i],
                          closed.value_or(Length{})});
    }
    const bool backwards = supports.size() > 1 && supports[1].at < supports[0].at;
    if (backwards) std::reverse(supports.begin(), supports.end());
    std::vector<Support> settings;
    if (form_.fit == Fit::best) {
      settings = best_fit(BarKind::spring, supports, *pass.strip, job_.strip->section().from,
                          job_.strip->section().to)
                     .supports;
      for (std::size_t i = 0; i < screws.size(); ++i)
        if (screws[i].can_be_set)
          screws[i].depth = settings[backwards ? screws.size() - 1 - i : i].height;
    } else {
      for (auto const& support : supports) settings.push_back({support.at, support.height});
    }
    return BarShape::spring(std::move(settings));
  }

  void finish(FormScrew& screw) const {
    if (!screw.can_be_set) return;
    const Groove groove{screw.depth, closed_at(screw.place.taper_at)};
    if (form_.depth_gauge) screw.gauge = gauge_reading(groove, gauge_point(*form_.depth_gauge));
    screw.opening = opening(groove);
    // What a nanometre of rounding makes negative is closed.
    if (screw.opening) screw.opening = std::max(*screw.opening, Length{});
    if (screw.opening && form_.screw_lead)
      screw.turns = turns_for(*screw.opening, *form_.screw_lead);
  }

  void tell_unread(std::vector<FormScrew> const& screws, Pass const& pass) {
    std::vector<std::string> places;
    for (auto const& screw : screws) {
      if (!screw.place.on_strip || !screw.gauge || screw.gauge->reading) continue;
      const Groove groove{screw.depth, closed_at(screw.place.taper_at)};
      const auto balls = balls_that_bear(groove);
      const bool dropped = screw.gauge->on == Bearing::slot;
      places.push_back(fmt::format(
          "screw {} ({}; balls from {} to {} bear)", screw.place.screw,
          dropped ? "drops between the bars"
                  : fmt::format("the groove is {} wide at the top", show(top_width(groove))),
          show(balls.least), show(balls.most)));
    }
    if (!places.empty())
      problems_.unmet(
          fmt::format("{}: the depth gauge's point, {} across, cannot read the groove at {}",
                      where(pass), show(form_.depth_gauge->diameter), fmt::join(places, ", ")),
          "use a sharper point or a ball of that size, and change depth_gauge");
  }

  void tell_dips(BarShape const& bar, Pass const& pass) {
    if (!closed_) return;
    for (auto const& dip :
         dips_below(bar, *closed_, job_.placement.strip_tip_end(), job_.placement.strip_butt_end()))
      problems_.warn(fmt::format("{}: from station {} to {} the bars would have to be closer than "
                                 "touching, by {} of depth",
                                 where(pass), show(dip.from.from_zero()), show(dip.to.from_zero()),
                                 show(abs(dip.deepest.amount))),
                     "the groove stays deeper there; prove it with the gauge between the screws");
  }

  PlaningForm const& form_;
  Job const& job_;
  Problems& problems_;
  std::optional<BarShape> closed_;
};

}  // namespace

std::vector<FormPass> set_planing_form(PlaningForm const& form, Job const& job,
                                       Problems& problems) {
  check_reach(form.screws, job, problems);
  FormSetter setter(form, job, problems);
  std::vector<FormPass> out;
  for (auto const& pass : job.passes) out.push_back(setter.set(pass));
  return out;
}

}  // namespace stripwright::machine
