#include "sheet/sentences.h"

#include <fmt/format.h>

#include "inspection/conformance.h"
#include "machine/setup_tables.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

/// Small amounts with a digit more than on the bench's tables.
std::string fine(Length length, Unit unit) {
  return format_length(length, unit, bench_decimals(unit) + 1);
}

/// A place as near as a finger finds it.
std::string near(Station at, Unit unit) {
  return fmt::format("{} {}",
                     format_short(in_unit(at.from_zero(), unit), unit == Unit::inch ? 1 : 0),
                     unit_name(unit));
}

}  // namespace

std::string miss_sentence(machine::SectionSetup const& setup, Unit unit) {
  auto const* bar = machine::bar_of(setup.settings, machine::pass_count(setup.settings) - 1);
  if (!bar) return {};
  const bool form = std::holds_alternative<std::vector<machine::FormPass>>(setup.settings);
  auto const& miss = bar->greatest;
  const std::string_view way =
      miss.amount > Length{} ? (form ? "deep" : "high") : (form ? "shallow" : "low");
  return fmt::format("Between screws the bar{} at most {} too {}, at station {}.",
                     form ? "s miss by" : " misses by", fine(abs(miss.amount), unit), way,
                     near(miss.at, unit));
}

std::string proven_sentence(machine::SectionSetup const& setup, Shop const& shop,
                            std::optional<Gauge> const& gauge, Unit unit, std::string_view range) {
  if (!gauge)
    return shop.gauges.empty()
               ? "The shop has no gauge: no reading can be proven right."
               : "The shop has several gauges: name one with --gauge to see which readings prove a "
                 "strip right.";
  if (!setup.stations.empty() && !setup.stations.front().proven)
    return fmt::format(
        "The {} (standard uncertainty {}) is too coarse for this tolerance: no reading proves a "
        "strip right. One of {} or better would do.",
        gauge->name, fine(inspection::standard_uncertainty(*gauge), unit),
        fine(inspection::coarsest_uncertainty(setup.stations.front().strip), unit));
  return fmt::format("Readings of a with the {} {} prove the strip right (95 %).", gauge->name,
                     range);
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
