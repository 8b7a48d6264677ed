#include "cli/choose_tables.h"

#include <fmt/format.h>

#include "report/json.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Cell;
using report::Json;
using report::Number;
using report::Table;
using selection::kPairs;
using selection::kRingSize;

std::string node_list(std::vector<selection::Nanometres> const& nodes, Unit unit) {
  std::vector<std::string> out;
  for (const auto node : nodes)
    out.push_back(
        format_short(in_unit(selection::to_length(node), unit), unit == Unit::inch ? 2 : 0));
  return fmt::format("{}", fmt::join(out, " "));
}

}  // namespace

Table ring_table(ChosenSection const& section, std::size_t r, Unit unit) {
  Table table{"ring",
              {{"place", "place"},
               {"strip", "strip"},
               {"opposite", "opposite"},
               {"shift", "moved", true},
               {"density", section.pool.pool.densities_known() ? "density" : ""},
               {"nodes", section.nodes_known() ? "nodes at" : ""}},
              {}};
  auto const& ring = section.found.rings[r];
  for (std::size_t i = 0; i < kRingSize; ++i) {
    auto const& candidate = section.pool.pool.candidates[ring[i]];
    auto const& density = section.pool.pool.strips[candidate.strip].density;
    table.rows.push_back(
        {static_cast<long>(i + 1), section.strip_name(ring[i]),
         section.strip_name(ring[(i + kPairs) % kRingSize]), report::Place{candidate.shift},
         density ? Cell(Number{static_cast<double>(*density) / 1e6, 6, 3}) : Cell(),
         node_list(candidate.nodes, unit)});
  }
  return table;
}

Table prediction_table(selection::RingReport const& ring) {
  Table table{"stations",
              {{"at", "station", true},
               {"flats_glued", "target", true},
               {"f1", "f1", true},
               {"f2", "f2", true},
               {"f3", "f3", true},
               {"deviation", "largest deviation", true},
               {"out_of_round", "out of round", true},
               {"stiffness_pct", "EI %"}},
              {}};
  for (auto const& here : ring.stations)
    table.rows.push_back({report::Place{here.at.from_zero()}, here.target, here.flats[0],
                          here.flats[1], here.flats[2], here.worst_deviation(), here.out_of_round(),
                          Number{100 * here.stiffness_change, 4, 1}});
  return table;
}

Table proof_table(ChosenSection const& section, Unit unit) {
  auto const& [rings, value, proven, bound] = section.found;
  Table table{"proof", {{"aim", "aim"}, {"found", "found"}, {"bound", "best possible"}}, {}};
  // Aims count one after the other: once one is open, nothing is known of the next.
  bool open = false;
  const auto add = [&](std::string aim, std::int64_t found, std::int64_t least, auto const& text) {
    table.rows.push_back({std::move(aim), text(found),
                          open             ? std::string("not known yet")
                          : found == least ? std::string("proven: no less")
                                           : fmt::format("not below {}", text(least))});
    open = open || found != least;
  };
  const auto fine = [&](std::int64_t nm) {
    return format_length(selection::to_length(nm), unit, bench_decimals(unit));
  };
  const auto along = [&](std::int64_t nm) {
    return fmt::format(
        "{} {}", format_short(in_unit(selection::to_length(nm), unit), unit == Unit::inch ? 2 : 1),
        unit_name(unit));
  };
  if (section.nodes_known()) add("node rules lack", value.shortfall, bound.shortfall, along);
  add("largest deviation", value.deviation, bound.deviation, fine);
  add("out of round", value.out_of_round, bound.out_of_round, fine);
  if (section.pool.pool.densities_known())
    add("balance of density", value.imbalance, bound.imbalance, [](std::int64_t millionths) {
      return format_short(static_cast<double>(millionths) / 1e6, 4);
    });
  return table;
}

std::string moved_words(Length shift, Unit unit) {
  if (abs(shift) < kSamePlace) return "not moved";
  return fmt::format("{} {} towards the {}",
                     format_short(in_unit(abs(shift), unit), unit == Unit::inch ? 3 : 1),
                     unit_name(unit), shift > Length{} ? "tip" : "butt");
}

Table leftover_table(ChosenSection const& section) {
  Table table{"leftovers", {{"strip", "strip"}, {"why", ""}, {"use", "what for"}}, {}};
  for (auto const& each : section.leftovers) table.rows.push_back({each.name, each.why, each.use});
  return table;
}

std::string choose_csv(ChooseReport const& report) {
  Table all;
  for (auto const& section : report.sections)
    for (std::size_t r = 0; r < section.found.rings.size(); ++r) {
      auto table = ring_table(section, r, report.unit());
      if (all.columns.empty()) {
        all.columns = {{"section", ""}, {"ring", ""}};
        all.columns.insert(all.columns.end(), table.columns.begin(), table.columns.end());
      }
      for (auto& row : table.rows) {
        row.insert(row.begin(), {Cell(section.section.name), Cell(section.ring_name(r))});
        all.rows.push_back(std::move(row));
      }
    }
  if (all.columns.empty())
    all.columns = {{"section", ""},  {"ring", ""},        {"place", ""},   {"strip", ""},
                   {"opposite", ""}, {"shift", "", true}, {"density", ""}, {"nodes", ""}};
  return report::to_csv(all, report.unit());
}

namespace {

Json value_json(selection::RingValue const& value, bool with_density, Unit unit) {
  const auto length = [&](selection::Nanometres nm) {
    return report::json_length(selection::to_length(nm), unit);
  };
  return {{"node_shortfall", length(value.shortfall)},
          {"largest_deviation", length(value.deviation)},
          {"out_of_round", length(value.out_of_round)},
          {"density_imbalance",
           with_density ? Json(static_cast<double>(value.imbalance) / 1e6) : Json()}};
}

Json section_json(ChosenSection const& section, Unit unit) {
  const bool densities = section.pool.pool.densities_known();
  Json rings = Json::array();
  for (std::size_t r = 0; r < section.rings.size(); ++r)
    rings.push_back(
        {{"ring", section.ring_name(r)},
         {"value", value_json(section.rings[r].value, densities, unit)},
         {"within_limits", section.rings[r].within_limits},
         {"largest_step_of_neighbours",
          report::json_length(section.rings[r].worst_seam.step, unit)},
         {"nearest_nodes", section.rings[r].nearest_nodes
                               ? report::json_length(section.rings[r].nearest_nodes->gap, unit)
                               : Json()},
         {"places", report::to_json(ring_table(section, r, unit), unit)},
         {"stations", report::to_json(prediction_table(section.rings[r]), unit)}});
  Json shifts = Json::array();
  for (const Length shift : section.order.shifts)
    shifts.push_back(report::json_length(shift, unit));
  Json clear = Json::array();
  for (const Station place : section.order.rules.places)
    clear.push_back(report::json_length(place.from_zero(), unit));
  Json out = {{"section", section.section.name},
              {"strips_measured", section.strips_measured()},
              {"strips_to_choose_from", section.pool.pool.strips.size()},
              {"rings_wanted", section.wanted},
              {"shifts", std::move(shifts)},
              {"node_rules",
               section.nodes_known()
                   ? Json{{"min_gap", report::json_length(section.order.rules.min_gap, unit)},
                          {"keep_clear", report::json_length(section.order.rules.keep_clear, unit)},
                          {"places", std::move(clear)}}
                   : Json()},
              {"proven", section.found.proven}};
  if (!section.found.rings.empty()) {
    out["value"] = value_json(section.found.value, densities, unit);
    out["bound"] = value_json(section.found.bound, densities, unit);
  }
  out["rings"] = std::move(rings);
  out["leftovers"] = report::to_json(leftover_table(section), unit);
  out["of_the_rest"] =
      section.of_the_rest ? value_json(*section.of_the_rest, densities, unit) : Json();
  return out;
}

}  // namespace

std::string choose_json(ChooseReport const& report) {
  Json sections = Json::array();
  for (auto const& section : report.sections)
    sections.push_back(section_json(section, report.unit()));
  return report::json_text({{"taper", report.inputs().taper.name},
                            {"shop", report.inputs().shop.name},
                            {"unit", unit_name(report.unit())},
                            {"stage", inspection::word(report.bench.stage)},
                            {"assumed_zero", report.inputs().shop.allowances.assumed},
                            {"sections", std::move(sections)},
                            {"folder", report.folder},
                            {"files", report.file_names}});
}

}  // namespace stripwright::cli
