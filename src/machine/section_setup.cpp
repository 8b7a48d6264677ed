#include "machine/section_setup.h"

#include "section/crossing.h"
#include "section/triangle.h"

namespace stripwright::machine {
namespace {

RoughStrip rough_strip(section::StripProfile const& strip, Placement const& placement, Machine const& machine, RoughAllowance const& rough) {
  Length height = section::extent(strip, placement.strip_tip_end(), placement.strip_butt_end()).highest + rough.over;
  if (machine.passes)
    if (auto const* cuts = std::get_if<PassesByCut>(&*machine.passes)) height = cuts->rough_height.value_or(height - rough.over + cuts->rough_over);
  const Length face = section::face_width(height);
  return {height, face, face + rough.split};
}

template <class... F>
struct Overloaded : F... {
  using F::operator()...;
};

Settings settings_of(Machine const& machine, Job const& job, Problems& problems) {
  return std::visit(Overloaded{[&](PlaningForm const& form) -> Settings { return set_planing_form(form, job, problems); },
                               [&](ScrewMill const& mill) -> Settings { return set_screw_mill(mill, job, problems); },
                               [&](auto const&) -> Settings {
                                 problems.error("no set-up for a machine of this kind");
                                 return std::vector<MillPass>{};
                               }},
                    machine.kind);
}

}  // namespace

std::vector<StationRow> station_rows(section::StripProfile const& strip, std::vector<Station> const& stations, Shop const& shop, std::optional<Gauge> const& gauge) {
  std::vector<StationRow> out;
  out.reserve(stations.size());
  // Tolerance and gauge are the same everywhere, and so is how far a reading may be off.
  auto const& tolerance = shop.tolerances.strip;
  std::optional<inspection::Limits> reach;
  if (gauge) reach = inspection::readings_that_prove(inspection::limits_around({}, tolerance), inspection::standard_uncertainty(*gauge));
  for (const Station at : stations) {
    StationRow row{at, strip.ledger(at), {}, {}};
    const Length target = row.ledger[section::Step::strip_milled];
    row.strip = inspection::limits_around(target, tolerance);
    if (reach) row.proven = inspection::Limits{target + reach->low, target + reach->high};
    out.push_back(row);
  }
  return out;
}

std::vector<SectionSetup> set_up(SetupOrder const& order, Problems& problems) {
  const auto curve = std::make_shared<const TaperCurve>(order.taper);
  const section::LedgerRules rules(order.taper.measured, order.shop.allowances);
  std::vector<SectionSetup> out;
  for (auto const& section : order.sections) {
    const auto errors_before = problems.errors();
    auto strip = std::make_shared<const section::StripProfile>(curve, section, rules);
    const Placement placement(order.machine, section, order.shop.spare);
    const auto stations = section::table_stations(order.taper, section);
    section::check_section(*strip, stations, order.unit, problems);
    if (problems.errors() > errors_before) continue;
    Job job{strip, placement, plan_passes(strip, order.machine.passes, placement, order.unit, problems), order.shop.tolerances.strip, order.unit};
    if (problems.errors() > errors_before) continue;
    out.push_back({section, strip, placement, station_rows(*strip, stations, order.shop, order.gauge), rough_strip(*strip, placement, order.machine, order.shop.rough),
                   settings_of(order.machine, job, problems)});
  }
  return out;
}

}  // namespace stripwright::machine
