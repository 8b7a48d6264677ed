#include <fmt/format.h>

#include <algorithm>

#include "cli/bend.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Cell;
using report::Json;
using report::Number;
using report::Table;

/// Two standard uncertainties: about 95 %.
constexpr double kCoverage = 2;
constexpr double kSquareMillimetresPerSquareMetre = 1e6;

/// By how much flats are taken to be off at one station, for the bench.
Length a_little(Unit unit) {
  return unit == Unit::inch ? Length::inches(0.001) : Length::millimetres(0.01);
}

std::vector<std::size_t> rows_of(BendReport const& report) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < report.target.places.size(); ++i)
    if (std::any_of(report.stations.begin(), report.stations.end(),
                    [&](Station s) { return same_place(s, report.target.places[i].at); }))
      out.push_back(i);
  return out;
}

Number stress(bending::BentPlace const& place) { return {place.stress.in_megapascals(), 4, 1}; }

/// How far a rod bends is no matter of thousandths.
constexpr int bend_decimals(Unit unit) { return unit == Unit::inch ? 2 : 1; }

std::string bench_heading(std::string_view words, Unit unit) {
  return fmt::format("{} {}", words, unit_name(unit));
}

Number at_bench(Length length, Unit unit, int finer = 0) {
  return {in_unit(length, unit), 0, bend_decimals(unit) + finer};
}

Table target_table(BendReport const& report) {
  const Unit unit = report.inputs.unit;
  Table table{"target",
              {{"at", "station", true},
               {"flats_bare", "flats bare", true},
               {"stiffness_Nm2", "EI N~m²"},
               {"out", "", true},
               {"", bench_heading("out", unit)},
               {"down", "", true},
               {"", bench_heading("down", unit)},
               {"slope_degrees", "slope °"},
               {"stress_MPa", "stress MPa"},
               {"tip_moves_per_flats", ""},
               {"", bench_heading("tip moves", unit)}},
              {}};
  const auto rows = rows_of(report);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const auto i = rows[r];
    auto const& place = report.target.places[i];
    table.rows.push_back({report::Place{place.at.from_zero()}, report.flats[i],
                          Number{report.stiffness[i] / kSquareMillimetresPerSquareMetre, 8, 3},
                          place.out, at_bench(place.out, unit), place.down,
                          at_bench(place.down, unit), Number{place.slope.in_degrees(), 5, 1},
                          stress(place), Number{report.tip_moves[r], 4, 1},
                          at_bench(report.tip_moves[r] * a_little(unit), unit, 1)});
  }
  return table;
}

Table milled_table(BendReport const& report) {
  const Unit unit = report.inputs.unit;
  Table table{"as milled",
              {{"at", "station", true},
               {"flats_off", "flats off", true},
               {"stiffness_pct", "EI~off %"},
               {"milled_out", "", true},
               {"", bench_heading("out", unit)},
               {"milled_down", "", true},
               {"", bench_heading("down", unit)},
               {"down_more", "", true},
               {"", bench_heading("lower by", unit)},
               {"down_uncertainty", "", true},
               {"", bench_heading("give or~take", unit)},
               {"milled_stress_MPa", "stress MPa"}},
              {}};
  auto const& milled = *report.milled;
  for (const auto i : rows_of(report)) {
    const double ratio = 1 + milled.flats_off[i] / report.flats[i];
    auto const& place = milled.bent.places[i];
    const Length more = place.down - report.target.places[i].down;
    const Length reach = kCoverage * milled.uncertainty[i];
    table.rows.push_back({report::Place{place.at.from_zero()}, milled.flats_off[i],
                          Number{100 * (ratio * ratio * ratio * ratio - 1), 4, 1}, place.out,
                          at_bench(place.out, unit), place.down, at_bench(place.down, unit), more,
                          at_bench(more, unit, 1), reach, at_bench(reach, unit, 1), stress(place)});
  }
  return table;
}

bending::BentPlace const& most_stressed(bending::Bent const& bent) {
  return *std::max_element(bent.places.begin(), bent.places.end(),
                           [](auto const& a, auto const& b) { return a.stress < b.stress; });
}

/// The whole rod in figures, target and as milled side by side.
struct Whole {
  Length drop, shortening;
  Angle slope;
  Mass mass;
  Station centre;
  bending::BentPlace most;
};

Whole whole(BendReport const& report, bending::Bent const& bent) {
  const Length straight = report.setting.loading.clamp - report.setting.loading.tip;
  return {bent.drop(), straight - bent.tip().out, bent.tip().slope,
          bent.mass,   bent.centre_of_mass,       most_stressed(bent)};
}

std::string figures(BendReport const& report) {
  const Unit unit = report.inputs.unit;
  const auto length = [&](Length l) { return format_length(l, unit, bend_decimals(unit)); };
  const auto target = whole(report, report.target);
  std::optional<Whole> milled;
  if (report.milled) milled = whole(report, report.milled->bent);
  std::string out = fmt::format("{:<38}{:>14}", "", "target");
  if (milled) out += fmt::format("{:>14}", "as milled");
  out += "\n";
  const auto line = [&](std::string_view what, auto const& show) {
    out += fmt::format("{:<38}{:>14}", what, show(target));
    if (milled) out += fmt::format("{:>14}", show(*milled));
    out += "\n";
  };
  const bool above = target.drop < Length{};
  line(above ? "tip above the clamp" : "tip below the clamp",
       [&](Whole const& w) { return length(above ? -w.drop : w.drop); });
  line("tip nearer than when straight", [&](Whole const& w) { return length(w.shortening); });
  line("tip points below level, degrees",
       [](Whole const& w) { return format_fixed(w.slope.in_degrees(), 1); });
  line("greatest stress, MPa",
       [](Whole const& w) { return format_fixed(w.most.stress.in_megapascals(), 1); });
  line("  at station",
       [&](Whole const& w) { return format_length(w.most.at.from_zero(), unit, 1); });
  line("mass of what bends, g", [](Whole const& w) { return format_fixed(w.mass.in_grams(), 1); });
  line("  balances at station",
       [&](Whole const& w) { return format_length(w.centre.from_zero(), unit, 1); });
  return out;
}

std::string verdict(BendReport const& report) {
  auto const& milled = *report.milled;
  const Unit unit = report.inputs.unit;
  const Length more = milled.bent.drop() - report.target.drop();
  const Length reach = kCoverage * milled.uncertainty.front();
  const auto show = [&](Length l) { return format_length(l, unit, bend_decimals(unit) + 1); };
  std::string out =
      abs(more) <= reach
          ? fmt::format(
                "As milled the tip comes to rest where the target's does, as far as these "
                "readings can tell: {} {}, give or take {}.",
                show(abs(more)), more < Length{} ? "higher" : "lower", show(reach))
          : fmt::format(
                "As milled the rod is {}: its tip hangs {} {}, give or take {} (about 95 %, "
                "from the readings alone).",
                more < Length{} ? "stiffer" : "softer", show(abs(more)),
                more < Length{} ? "higher" : "lower", show(reach));
  if (!milled.not_measured.empty())
    out += fmt::format(" Not measured, and taken to be on target: {}.",
                       fmt::join(milled.not_measured, ", "));
  if (milled.left_out > 0)
    out += fmt::format(" Readings of other sections, left out: {}.", milled.left_out);
  return out;
}

Json whole_json(BendReport const& report, bending::Bent const& bent) {
  const auto w = whole(report, bent);
  const Unit unit = report.inputs.unit;
  const auto key = [&](std::string_view name) {
    return fmt::format("{}_{}", name, unit_name(unit));
  };
  return {{key("tip_down"), report::json_length(w.drop, unit)},
          {key("tip_nearer"), report::json_length(w.shortening, unit)},
          {"tip_slope_degrees", round_to_decimals(w.slope.in_degrees(), 5)},
          {"greatest_stress_MPa", round_to_decimals(w.most.stress.in_megapascals(), 4)},
          {key("greatest_stress_at"), report::json_length(w.most.at.from_zero(), unit)},
          {"mass_g", round_to_decimals(w.mass.in_grams(), 4)},
          {key("centre_of_mass_at"), report::json_length(w.centre.from_zero(), unit)},
          {"strain_energy_Nmm", round_to_decimals(bent.strain_energy, 6)}};
}

}  // namespace

std::string bend_text(BendReport const& report) {
  auto const& setting = report.setting;
  const Unit unit = report.inputs.unit;
  const auto show = [&](Length l) { return format_short(l, unit); };
  const double degrees = setting.loading.upwards.in_degrees();
  std::string out = paragraph(fmt::format("{}, bent", report.what), "", "") + "\n";
  out +=
      paragraph(fmt::format("Held at station {}, {}. {}.", show(setting.loading.clamp.from_zero()),
                            degrees == 0 ? std::string("level")
                                         : fmt::format("pointing {} degrees {} level",
                                                       format_short(std::abs(degrees), 2),
                                                       degrees > 0 ? "above" : "below"),
                            setting.load_words),
                "", "");
  if (setting.joint_mass)
    out += paragraph(
        fmt::format("Joints: {} g each, stiff over {}.",
                    format_short(setting.joint_mass->in_grams(), 2), show(setting.joint_length)),
        "", "");
  if (setting.line_beyond_weighed)
    out += paragraph(
        "ASSUMED: the line beyond its first 30 ft weighs as much a foot as they do; "
        "most lines weigh less there.",
        "", "");
  if (!setting.assumed.empty())
    out += paragraph(
        fmt::format("ASSUMED: {}. Canes differ by a third either way; give your own with --modulus "
                    "and --density. What differs between two rods hangs little on them.",
                    fmt::join(setting.assumed, ", ")),
        "", "");
  out += fmt::format("\n{}", figures(report));
  if (report.milled) out += fmt::format("\n{}", paragraph(verdict(report), "", ""));
  out += fmt::format("\nThe target, station by station\n{}",
                     report::to_text(target_table(report), unit));
  out += paragraph(
      fmt::format("`out` and `down` are counted from the clamp. Stress is the outermost fibre's, "
                  "bent over two flats; over two corners it is 15 % more. `tip moves`: so much "
                  "lower comes the tip for flats {} thicker at that station alone.",
                  show(a_little(unit))),
      "", "");
  if (report.milled)
    out += fmt::format("\nAs milled, station by station\n{}",
                       report::to_text(milled_table(report), unit));
  return out + "\n" +
         paragraph(
             fmt::format("Pictures in {}: {}", report.folder, fmt::join(report.file_names, ", ")),
             "", "");
}

std::string bend_csv(BendReport const& report) {
  auto table = target_table(report);
  if (report.milled) {
    const auto milled = milled_table(report);
    table.columns.insert(table.columns.end(), milled.columns.begin() + 1, milled.columns.end());
    for (std::size_t r = 0; r < table.rows.size(); ++r)
      table.rows[r].insert(table.rows[r].end(), milled.rows[r].begin() + 1, milled.rows[r].end());
  }
  return report::to_csv(table, report.inputs.unit);
}

std::string bend_json(BendReport const& report) {
  auto const& setting = report.setting;
  const Unit unit = report.inputs.unit;
  Json sections = Json::array();
  for (auto const& section : report.inputs.sections) sections.push_back(section.name);
  Json out = {{"taper", report.inputs.taper.name},
              {"sections", std::move(sections)},
              {"modulus_MPa", setting.material.modulus.in_megapascals()},
              {"density_g_per_cm3", setting.material.density.in_grams_per_cubic_centimetre()},
              {"assumed", setting.assumed},
              {"load_N", round_to_decimals(setting.loading.at_tip.in_newtons(), 8)},
              {"raised_degrees", setting.loading.upwards.in_degrees()},
              {fmt::format("clamp_at_{}", unit_name(unit)),
               report::json_length(setting.loading.clamp.from_zero(), unit)}};
  out["target"] = whole_json(report, report.target);
  out["target"]["stations"] = report::to_json(target_table(report), unit);
  if (report.milled) {
    auto const& milled = *report.milled;
    out["as_milled"] = whole_json(report, milled.bent);
    out["as_milled"]["tip_down_uncertainty"] =
        report::json_length(kCoverage * milled.uncertainty.front(), unit);
    out["as_milled"]["measured"] = milled.sections;
    out["as_milled"]["not_measured"] = milled.not_measured;
    out["as_milled"]["verdict"] = verdict(report);
    out["as_milled"]["stations"] = report::to_json(milled_table(report), unit);
  }
  out["folder"] = report.folder;
  out["files"] = report.file_names;
  return report::json_text(out);
}

}  // namespace stripwright::cli
