#include "sheet/sentences.h"

#include <fmt/format.h>

#include <algorithm>

#include "inspection/conformance.h"
#include "machine/setup_tables.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

/// Small amounts with a digit more than on the bench's tables.
std::string fine(Length length, Unit unit) {
  return format_length(length, unit, bench_decimals(unit) + 1);
}

std::string bench(Length length, Unit unit) {
  return format_length(length, unit, bench_decimals(unit));
}

/// A place on rod or machine as near as a finger finds it.
template <class Place>
std::string near(Place at, Unit unit) {
  return fmt::format("{} {}",
                     format_short(in_unit(at.from_zero(), unit), unit == Unit::inch ? 1 : 0),
                     unit_name(unit));
}

machine::BarReport const* last_bar(machine::SectionSetup const& setup) {
  return machine::bar_of(setup.settings, machine::pass_count(setup.settings) - 1);
}

/// Where no step of the gauge proves a strip right, in words.
std::string stations_without(machine::SectionSetup const& setup, Unit unit) {
  constexpr std::size_t kNamed = 3;
  std::vector<std::string> places;
  for (auto const& row : setup.stations)
    if (!row.proven) places.push_back(format_short(row.at.from_zero(), unit));
  if (places.size() <= kNamed)
    return fmt::format("at station{} {}", places.size() == 1 ? "" : "s", fmt::join(places, ", "));
  if (places.size() == setup.stations.size()) return "at any station";
  return fmt::format("at {} of {} stations", places.size(), setup.stations.size());
}

}  // namespace

std::string miss_sentence(machine::SectionSetup const& setup, Unit unit) {
  auto const* bar = last_bar(setup);
  if (!bar) return {};
  const bool form = std::holds_alternative<std::vector<machine::FormPass>>(setup.settings);
  auto const& miss = bar->greatest;
  const auto most = fine(abs(miss.amount), unit);
  if (bar->slight)
    return fmt::format("Between screws the bar{} {} at most: too little to {}.",
                       form ? "s miss by" : " misses by", most, form ? "gauge" : "matter");
  const std::string_view way =
      miss.amount > Length{} ? (form ? "deep" : "high") : (form ? "shallow" : "low");
  return fmt::format(
      "Between screws the bar{} at most {} too {}, at station {}, {} on the machine{}.",
      form ? "s miss by" : " misses by", most, way, near(miss.at, unit),
      near(setup.placement.machine_at(miss.at), unit),
      bar->gauge_there ? fmt::format("; the gauge reads {} there", bench(*bar->gauge_there, unit))
                       : "");
}

std::string between_screws_step(machine::SectionSetup const& setup, Unit unit) {
  auto const* bar = last_bar(setup);
  if (!bar || bar->slight) return {};
  const auto reading = bar->gauge_there ? fmt::format(": {}", bench(*bar->gauge_there, unit)) : "";
  return fmt::format(
      "Gauge between the screws too{}, where the greatest miss is, at {} on the "
      "machine{}.",
      machine::pass_count(setup.settings) > 1 ? ", in the last pass" : "",
      near(setup.placement.machine_at(bar->greatest.at), unit), reading);
}

std::string cone_sentence(machine::SectionSetup const& setup, Machine const& machine, Unit unit) {
  auto const* form = std::get_if<PlaningForm>(&machine.kind);
  auto const* passes = std::get_if<std::vector<machine::FormPass>>(&setup.settings);
  if (!form || !passes || !form->depth_gauge || form->depth_gauge->tip == GaugeTip::ball) return {};
  Length widest = form->depth_gauge->tip == GaugeTip::flat ? form->depth_gauge->diameter : Length{};
  std::string where;
  for (auto const& pass : *passes)
    for (auto const& screw : pass.screws) {
      if (!screw.gauge || !screw.gauge->reading || !screw.opening) continue;
      if (*screw.opening <= widest + kSamePlace) continue;
      widest = *screw.opening;
      where = fmt::format("{}screw {}",
                          passes->size() > 1 ? fmt::format("pass {}, ", pass.pass.number) : "",
                          screw.place.screw);
    }
  if (where.empty()) return {};
  return fmt::format(
      "The cone of the depth gauge has to be wider than {}, the widest opening ({}), or it falls "
      "between the bars. It bears on each flank over as much as it is wider.",
      bench(widest, unit), where);
}

std::string turns_sentence(Machine const& machine, Unit unit) {
  auto const* mill = std::get_if<ScrewMill>(&machine.kind);
  if (!mill || !mill->dial.screw_lead) return {};
  return fmt::format("Turns are those to the dial's figure, from where it shows {} (offset 0).",
                     bench(mill->dial.zero, unit));
}

std::string proven_sentence(machine::SectionSetup const& setup, Shop const& shop,
                            std::optional<Gauge> const& gauge, Unit unit, std::string_view range) {
  if (!gauge)
    return shop.gauges.empty()
               ? "The shop has no gauge: no reading can be proven right."
               : "The shop has several gauges: name one with --gauge to see which readings prove a "
                 "strip right.";
  const auto uncertainty = inspection::standard_uncertainty(*gauge);
  const auto limits = inspection::limits_around({}, shop.tolerances.strip);
  const auto reach = inspection::readings_that_prove(limits, uncertainty);
  if (!reach)
    return fmt::format(
        "The {} (standard uncertainty {}) is too coarse for this tolerance: no reading proves a "
        "strip right. One of {} or better would do.",
        gauge->name, fine(uncertainty, unit), fine(inspection::coarsest_uncertainty(limits), unit));
  const auto which =
      fmt::format("Readings of a with the {} {} prove the strip right (95 %).", gauge->name, range);
  const auto blank = static_cast<std::size_t>(std::count_if(
      setup.stations.begin(), setup.stations.end(), [](auto const& row) { return !row.proven; }));
  if (blank == 0) return which;
  return fmt::format(
      "{} No reading of it does {}: only within {} would one prove it, and no step of {} lies "
      "there. Measure with a finer gauge.",
      which, stations_without(setup, unit), fine(reach->high - reach->low, unit),
      format_short(gauge->resolution, unit));
}

std::string moisture_sentence(Shop const& shop) {
  auto const& moisture = shop.allowances.moisture;
  if (!moisture) return {};
  return fmt::format(
      "Flats, glued too, are those at {} % moisture, as in service; the strip's "
      "figures are those at {} %, as milled.",
      moisture->percent_in_service, moisture->percent_at_milling);
}

}  // namespace stripwright::sheet
