#include <fmt/format.h>

#include "cli/choose_tables.h"
#include "cli/sheet_head.h"
#include "machine/cautions.h"
#include "selection/pictures.h"
#include "sheet/glue_sheet.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

constexpr char kSheetName[] = "glue.html";

std::vector<std::string> ring_remarks(ChooseReport const& report, ChosenSection const& section,
                                      selection::RingReport const& ring) {
  const Unit unit = report.unit();
  std::vector<std::string> out;
  if (ring.value.shortfall > 0)
    out.push_back(
        fmt::format("The node rules give: {} {} is lacking to them, all together.",
                    format_short(in_unit(selection::to_length(ring.value.shortfall), unit), 2),
                    unit_name(unit)));
  if (!ring.within_limits)
    out.push_back(fmt::format(
        "Out of limits: across flats up to {} off the target.",
        format_length(selection::to_length(ring.value.deviation), unit, bench_decimals(unit))));
  if (!section.found.proven) out.emplace_back("Not proven to be the best choice.");
  return out;
}

sheet::GluedRing glued_ring(ChooseReport const& report, ChosenSection const& section,
                            std::size_t r) {
  auto const& ring = section.rings[r];
  sheet::GluedRing out;
  out.name = section.ring_name(r);
  out.remarks = ring_remarks(report, section, ring);
  for (std::size_t i = 0; i < selection::kRingSize; ++i)
    out.strips[i] = {
        section.strip_name(ring.ring[i]),
        moved_words(section.pool.pool.candidates[ring.ring[i]].shift, report.unit()),
        fmt::format("opposite {}",
                    section.strip_name(ring.ring[(i + selection::kPairs) % selection::kRingSize]))};
  const auto picture =
      selection::picture_of(fmt::format("{}, {}", report.inputs().taper.name, out.name),
                            section.pool.pool, section.order, ring.ring, report.unit());
  out.pictures.push_back(selection::draw_ring(picture));
  out.captions.emplace_back("The section from its butt end");
  if (section.nodes_known()) {
    out.pictures.push_back(selection::draw_unrolled(picture));
    out.captions.emplace_back("Where the nodes come to lie, strip by strip");
  }
  for (auto const& here : ring.stations)
    out.stations.push_back({here.at.from_zero(), here.target, here.flats});
  return out;
}

}  // namespace

files::OutputFile choose_sheet(ChooseReport const& report, files::SourceText const& readings) {
  sheet::GlueOrder order;
  order.head = sheet_head(report.inputs(), {});
  order.head.readings_file = file_version(readings);
  order.what = fmt::format("{}: strips to glue", report.inputs().taper.name);
  order.cautions = machine::glue_cautions();
  if (report.options.all)
    order.head.remarks.emplace_back("Strips that are not right may be among these (--all).");
  for (auto const& section : report.sections)
    for (std::size_t r = 0; r < section.rings.size(); ++r)
      order.rings.push_back(glued_ring(report, section, r));
  return {kSheetName, sheet::glue_sheet(order)};
}

}  // namespace stripwright::cli
