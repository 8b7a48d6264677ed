#include "cli/import_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/import_sections.h"
#include "cli/profiles.h"
#include "diagnostics/utf8.h"
#include "shop/read_shop.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::OddReading;
using inspection::RodStation;

std::optional<inspection::RodTable> table_of(ImportOptions const& options, Problems& problems) {
  inspection::RodTable table;
  table.pieces = options.pieces;
  table.from_butt = options.from_butt;
  if (!options.unit.empty()) table.unit = *parse_unit(options.unit).value;
  if (!options.columns.empty()) {
    const auto comma = options.columns.find(',');
    if (comma == std::string::npos) {
      problems.error(
          fmt::format("--columns {}: not two columns", quoted_for_message(options.columns)),
          "write station and across flats, by name or number: --columns at,flats");
      return std::nullopt;
    }
    table.columns = {options.columns.substr(0, comma), options.columns.substr(comma + 1)};
  }
  table.length = options.rod_length;
  if (!options.rod_length.empty() && !options.from_butt)
    problems.error("--length without --from-butt", "stations from the tip end need no length");
  return problems.any_error() ? std::nullopt : std::optional(table);
}

/// What is known of a reading by the shop's gauge or by the call; none if nothing is.
std::optional<inspection::ReadingScatter> scatter_of(ImportOptions const& options, Unit unit,
                                                     Problems& problems) {
  const bool of_shop = !options.common.shop.empty() || !options.common.gauge.empty();
  if (!options.uncertainty.empty() && of_shop) {
    problems.error("--uncertainty beside --shop or --gauge", "leave one of them out");
    return std::nullopt;
  }
  if (!options.uncertainty.empty()) {
    const auto u = parse_length(options.uncertainty, unit);
    if (!u)
      problems.error("--uncertainty " + u.fault, u.remedy);
    else if (*u.value <= Length{} || *u.value > Length::millimetres(1))
      problems.error(fmt::format("--uncertainty {} is out of its range",
                                 quoted_for_message(options.uncertainty)),
                     "above 0, up to 1 mm; are inch and millimetre mixed up?");
    else
      return inspection::ReadingScatter{*u.value, *u.value};
    return std::nullopt;
  }
  if (!of_shop) return std::nullopt;
  const auto source = options.common.shop.empty()
                          ? std::optional(embedded_shop_source())
                          : open_profile(options.common.shop, ProfileKind::shop, problems);
  const auto shop = source ? read_shop(*source, problems) : std::nullopt;
  if (!shop) return std::nullopt;
  const auto errors_before = problems.errors();
  const auto gauge = choose_gauge(*shop, options.common, problems);
  if (!gauge && problems.errors() == errors_before)
    problems.error(shop->gauges.empty() ? "the shop has no gauge" : "the shop has several gauges",
                   "choose with --gauge, or say --uncertainty");
  return gauge ? std::optional(inspection::scatter_of(*gauge)) : std::nullopt;
}

/// Below this scatter nothing is odd: what a reading is uncertain by, or where nobody says it five
/// steps of the bench (half a thousandth of an inch), to which most tables are rounded.
Length least_spread(std::optional<inspection::ReadingScatter> const& scatter, Unit unit) {
  const Length step = of_unit(std::pow(10.0, -bench_decimals(unit)), unit);
  return scatter ? std::max(scatter->floor, step) : 5 * step;
}

/// Each odd reading at its place in the file.
void tell_odd(Imported const& all, bool left_out, files::SourceText const& source,
              Problems& problems) {
  const Unit unit = all.readings.unit;
  for (auto const& odd : all.odd) {
    auto const& reading = all.readings.readings[odd.index];
    problems.add(source.problem(
        reading.offset,
        fmt::format("{} at {}{} is off: its neighbours say {}",
                    format_length(reading.flats, unit, bench_decimals(unit)),
                    format_short(reading.at.from_zero(), unit),
                    reading.piece.empty() ? "" : " of " + quoted_for_message(reading.piece),
                    format_length(odd.expected, unit, bench_decimals(unit))),
        left_out ? "left out, as --leave-out-outliers says"
                 : "measure again, or leave it out with --leave-out-outliers",
        Severity::warning));
  }
}

/// Figures that were reckoned are written with one decimal more than the bench has.
void round_reckoned(Taper& taper) {
  for (auto& point : taper.points)
    point.flats =
        of_unit(round_to_decimals(in_unit(point.flats, taper.unit), bench_decimals(taper.unit) + 1),
                taper.unit);
}

bool set_points(ImportOptions const& options, Imported& all, Problems& problems) {
  auto& taper = all.taper;
  for (auto const& station : all.stations) taper.points.push_back({station.at, station.flats});
  const bool single = std::all_of(all.stations.begin(), all.stations.end(),
                                  [](RodStation const& each) { return each.readings.count == 1; });
  all.made_by = all.scatter ? fmt::format("smoothed within {} standard uncertainties of the means",
                                          inspection::kCoverage)
                : single    ? "as they were read"
                            : "means";
  if (!options.stations.empty()) {
    const auto step = parse_length(options.stations, taper.unit);
    auto points = step ? inspection::flats_at_every(all.stations, all.scatter.has_value(),
                                                    *step.value, taper.unit)
                       : Parsed<std::vector<TaperPoint>>{std::nullopt, step.fault, step.remedy};
    if (!points) {
      problems.error("--stations: " + points.fault, points.remedy);
      return false;
    }
    taper.points = std::move(*points.value);
    all.made_by += fmt::format(", at every {}", format_short(*step.value, taper.unit));
  }
  if (all.scatter || !single || !options.stations.empty()) round_reckoned(taper);
  return true;
}

/// Sections as the call names them, or by the pieces that were measured, or the one whole rod.
void set_sections(ImportOptions const& options, Imported& all, Problems& problems) {
  auto& taper = all.taper;
  taper.ferrules = parse_ferrules(options.ferrules, taper.unit, problems);
  taper.sections = parse_sections(options.sections, taper.unit, problems);
  if (!taper.sections.empty()) return;
  const auto pieces = inspection::piece_stretches(all.readings.readings);
  taper.sections = inspection::sections_of_pieces(pieces);
  if (!taper.sections.empty()) {
    all.sections_by = fmt::format("Sections by the pieces that were measured: {}.",
                                  section_words(taper.sections, taper.unit));
    for (std::size_t i = 1; i < pieces.size(); ++i)
      if (pieces[i].from > pieces[i - 1].to + kSamePlace) {
        all.sections_by +=
            " Between the last station of one and the first of the next the middle is taken; say "
            "better with --section.";
        break;
      }
    return;
  }
  taper.sections = {{"rod", taper.tip_end(), taper.butt_end(), 1}};
  all.sections_by =
      "The rod is one section. If it is made in several, say so with --section NAME=FROM:TO for "
      "each, or add `sections:` to the file.";
}

std::vector<inspection::FlatsReading> without(std::vector<inspection::FlatsReading> readings,
                                              std::vector<OddReading> const& odd) {
  std::vector<bool> out(readings.size(), false);
  for (auto const& each : odd) out[each.index] = true;
  std::size_t at = 0;
  std::erase_if(readings, [&](auto const&) { return out[at++]; });
  return readings;
}

}  // namespace

std::optional<Imported> import_readings(ImportOptions const& options,
                                        files::SourceText const& source, Problems& problems) {
  const auto table = table_of(options, problems);
  auto readings = table ? inspection::read_rod(source, *table, problems) : std::nullopt;
  if (!readings || !counted_from_the_tip(options.from_butt, source, *readings, problems))
    return std::nullopt;
  Imported all;
  all.readings = std::move(*readings);
  const Unit unit = all.readings.unit;
  all.scatter = scatter_of(options, unit, problems);
  if (problems.any_error()) return std::nullopt;
  all.odd = inspection::odd_readings(all.readings.readings, least_spread(all.scatter, unit));
  tell_odd(all, options.leave_out, source, problems);
  const auto clean = without(all.readings.readings, all.odd);
  if (all.scatter) all.uncertainty = inspection::reading_uncertainty(clean, *all.scatter);
  all.stations =
      inspection::rod_stations(options.leave_out ? clean : all.readings.readings, all.uncertainty);
  if (all.stations.size() < 2) {
    problems.error("readings at fewer than two stations",
                   "measure at the tip and the butt at least");
    return std::nullopt;
  }
  all.taper.name = options.name;
  all.taper.about = options.about;
  all.taper.unit = options.common.units.empty() ? unit : *parse_unit(options.common.units).value;
  all.taper.measured = options.measured == "bare" ? Measured::bare : Measured::varnished;
  all.taper.between = options.between == "linear" ? Between::linear : Between::smooth;
  if (!set_points(options, all, problems)) return std::nullopt;
  set_sections(options, all, problems);
  return all;
}

}  // namespace stripwright::cli
