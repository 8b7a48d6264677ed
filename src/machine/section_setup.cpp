#include "machine/section_setup.h"

#include <fmt/format.h>

#include <cmath>

#include "diagnostics/overloaded.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

/// The passes as the machine is set for them. They are planned on the strip itself, for it is the
/// cane that is cut; what the machine was found to be off is made up for in each of them.
std::vector<Pass> corrected(std::vector<Pass> passes, SectionCorrection const& correction) {
  for (auto& pass : passes)
    for (auto* curve : {&pass.strip, &pass.before})
      if (*curve) *curve = std::make_shared<const CorrectedCurve>(*curve, correction);
  return passes;
}

Settings settings_of(Machine const& machine, Job const& job, std::vector<Station> const& stations,
                     Length rough_height, Problems& problems) {
  return std::visit(
      Overloaded{
          [&](PlaningForm const& form) -> Settings {
            return set_planing_form(form, job, problems);
          },
          [&](ScrewMill const& mill) -> Settings { return set_screw_mill(mill, job, problems); },
          [&](PatternMill const& mill) -> Settings {
            return set_pattern_mill(mill, job, stations, rough_height, problems);
          },
          [&](CncMill const& mill) -> Settings {
            return set_cnc_mill(mill, job, stations, rough_height, problems);
          }},
      machine.kind);
}

/// The first and the last step of a gauge within readings that prove a strip right; none if there
/// are none. Each as it is printed at the bench, and where that would lie outside of what proves,
/// as it may in another unit than the gauge's, a last digit further in.
std::optional<inspection::Limits> proven_steps(inspection::Limits const& proven, Length resolution,
                                               Unit unit) {
  // A step that lies on the border but for a double's rounding is within.
  constexpr double kHair = 1e-9;
  const int decimals = bench_decimals(unit);
  const Length digit = of_unit(std::pow(10, -decimals), unit);
  const auto printed = [&](Length step) {
    return of_unit(round_to_decimals(in_unit(step, unit), decimals), unit);
  };
  inspection::Limits steps = proven;
  if (resolution > Length{}) {
    steps = {resolution * std::ceil(proven.low / resolution - kHair),
             resolution * std::floor(proven.high / resolution + kHair)};
    if (steps.low > steps.high) return std::nullopt;
  }
  inspection::Limits out{printed(steps.low), printed(steps.high)};
  if (out.low < proven.low - digit * kHair) out.low += digit;
  if (out.high > proven.high + digit * kHair) out.high -= digit;
  return out.low > out.high ? std::nullopt : std::optional(out);
}

/// A bore that the section's end cannot fill once the varnish, if the taper was measured over it,
/// is off.
void check_ferrules(Taper const& taper, TaperCurve const& curve, section::LedgerRules const& rules,
                    Unit unit, Problems& problems) {
  for (auto const& ferrule : taper.ferrules) {
    const Length flats = curve.flats(ferrule.at);
    const Length bare = rules.at(flats)[section::Step::bare];
    // A bore over the taper's own flats has been told when the file was read.
    if (ferrule.bore <= bare || ferrule.bore > flats) continue;
    problems.warn(fmt::format("the ferrule at {} has a bore of {} over {} across flats of bare "
                              "cane: none is left to turn down",
                              format_short(ferrule.at.from_zero(), unit),
                              format_short(ferrule.bore, unit), format_short(bare, unit)),
                  "take a smaller ferrule, or check the taper there");
  }
}

/// How far from where a machine stands round tools may touch: the cutter, and the follower on its
/// pattern; 0 where there is neither.
Length tools_reach(Machine const& machine) {
  return std::visit(
      Overloaded{[](PlaningForm const&) { return Length{}; },
                 [](PatternMill const& mill) { return mill.cutter_radius + mill.follower_radius; },
                 [](auto const& mill) { return mill.cutter_radius; }},
      machine.kind);
}

/// A taper that is far too steep at an end (a station half typed) is carried on to a strip that no
/// culm holds, where round tools still reach: no strip has a height there that they could follow.
void check_carried_on(section::StripProfile const& strip, Placement const& placement,
                      Machine const& machine, Unit unit, Problems& problems) {
  const Length reach = tools_reach(machine);
  if (reach == Length{}) return;
  auto const& points = strip.taper().points();
  const auto check = [&](Station at, Station first, Station second) {
    const auto ledger = strip.ledger(at);
    if (ledger.culm_carries) return;
    const auto show = [&](Length length) { return format_short(length, unit); };
    const auto flats = [&](Station x) {
      return fmt::format("{} at {}", show(strip.taper().flats(x)), show(x.from_zero()));
    };
    problems.error(
        fmt::format("section '{}': the taper carried on to station {}, where the tools still "
                    "reach, makes a strip {} high there, which does not fit a culm {} in diameter",
                    strip.section().name, show(at.from_zero()),
                    show(ledger[section::Step::strip_at_milling]),
                    show(2 * strip.rules().round_face()->culm_radius)),
        fmt::format("check the stations at that end of the taper, {} and {}: it goes on as steeply "
                    "as there",
                    flats(first), flats(second)));
  };
  // Twice: a tool that stands off the strip's end by its reach may touch so much further out.
  check(placement.strip_tip_end() - 2 * reach, points[0], points[1]);
  check(placement.strip_butt_end() + 2 * reach, points[points.size() - 2], points.back());
}

}  // namespace

std::vector<StationRow> station_rows(section::StripProfile const& strip,
                                     std::vector<Station> const& stations, Shop const& shop,
                                     std::optional<Gauge> const& gauge, Unit unit) {
  std::vector<StationRow> out;
  out.reserve(stations.size());
  // Tolerance and gauge are the same everywhere, and so is how far a reading may be off.
  auto const& tolerance = shop.tolerances.strip;
  std::optional<inspection::Limits> reach;
  if (gauge)
    reach = inspection::readings_that_prove(inspection::limits_around({}, tolerance),
                                            inspection::standard_uncertainty(*gauge));
  for (const Station at : stations) {
    StationRow row{at, strip.ledger(at), {}, {}};
    const Length target = row.ledger[section::Step::strip_milled];
    row.strip = inspection::limits_around(target, tolerance);
    if (reach)
      row.proven =
          proven_steps({target + reach->low, target + reach->high}, gauge->resolution, unit);
    out.push_back(row);
  }
  return out;
}

std::vector<SectionSetup> set_up(SetupOrder const& order, Problems& problems) {
  const auto curve = std::make_shared<const TaperCurve>(order.taper);
  const section::LedgerRules rules(order.taper.measured, order.shop.allowances);
  check_ferrules(order.taper, *curve, rules, order.unit, problems);
  std::vector<SectionSetup> out;
  for (auto const& section : order.sections) {
    const auto errors_before = problems.errors();
    auto strip = std::make_shared<const section::StripProfile>(curve, section, rules);
    const Placement placement(order.machine, section, order.shop.spare);
    const auto stations = section::table_stations(order.taper, section);
    section::check_section(*strip, stations, order.unit, problems);
    if (problems.errors() > errors_before) continue;
    check_carried_on(*strip, placement, order.machine, order.unit, problems);
    if (problems.errors() > errors_before) continue;
    auto passes =
        plan_passes(strip, section.name, order.machine.passes, placement, order.unit, problems);
    if (auto const* correction = order.correction ? order.correction->of(section.name) : nullptr)
      passes = corrected(std::move(passes), *correction);
    Job job{strip, placement, std::move(passes), order.shop.tolerances.strip, order.unit};
    if (problems.errors() > errors_before) continue;
    const auto rough = rough_strip(*strip, placement, order.machine, order.shop.rough);
    out.push_back({section, strip, placement,
                   station_rows(*strip, stations, order.shop, order.gauge, order.unit), rough,
                   settings_of(order.machine, job, stations, rough.height, problems),
                   order.machine.passes.has_value()});
  }
  return out;
}

}  // namespace stripwright::machine
