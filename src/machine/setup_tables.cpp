#include "machine/setup_tables.h"

#include <fmt/format.h>

#include <cmath>

#include "section/triangle.h"

namespace stripwright::machine {
namespace {

using report::Cell;
using report::Column;
using report::Number;
using report::Table;
using section::Step;

constexpr int kTurnDecimals = 4;

Cell optional_cell(std::optional<Length> const& length) { return length ? Cell(*length) : Cell(std::monostate{}); }

Cell turns_cell(std::optional<double> const& turns) {
  return turns ? Cell(Number{*turns, kTurnDecimals, 2}) : Cell(std::monostate{});
}

Cell turns_words(std::optional<double> const& turns) {
  return turns ? Cell(turns_and_degrees(*turns)) : Cell(std::monostate{});
}

std::string bearing_word(Bearing on) {
  switch (on) {
    case Bearing::flanks: return "flanks";
    case Bearing::edges: return "edges";
    case Bearing::slot: return "slot";
    case Bearing::none: return "none";
  }
  return "";
}

std::vector<Cell> station_cells(std::string const& section, StationRow const& row) {
  auto const& ledger = row.ledger;
  const Length side = ledger[Step::side_milled];
  return {section,
          report::Place{row.at.from_zero()},
          ledger[Step::target],
          ledger[Step::bare],
          ledger[Step::flats_glued],
          ledger[Step::strip_glued],
          ledger[Step::strip_ready],
          ledger[Step::strip_milled],
          side,
          section::face_width(side),
          row.strip.low,
          row.strip.high,
          row.proven ? Cell(row.proven->low) : Cell(std::monostate{}),
          row.proven ? Cell(row.proven->high) : Cell(std::monostate{})};
}

Table empty_station_table() {
  return {"stations",
          {{"section", ""},
           {"at", "station", true},
           {"flats_target", "across flats", true},
           {"flats_bare", "", true},
           {"flats_glued", "flats glued", true},
           {"strip_glued", "", true},
           {"strip_ready", "", true},
           {"strip_milled", "strip a", true},
           {"side_milled", "sides b,~c", true},
           {"face_milled", "", true},
           {"strip_low", "lowest a", true},
           {"strip_high", "highest a", true},
           {"", "proven from", true},
           {"", "proven to", true}},
          {}};
}

/// The columns that all kinds of screw settings begin with.
std::vector<Column> screw_columns(bool passes) {
  std::vector<Column> out;
  if (passes) out.push_back({"pass", ""});
  out.push_back({"", "screw"});
  out.push_back({"machine_at", "machine at", true});
  out.push_back({"taper_at", "station", true});
  return out;
}

std::vector<Cell> screw_cells(Pass const& pass, ScrewPlace const& place, bool passes) {
  std::vector<Cell> out;
  if (passes) out.emplace_back(pass.number);
  out.emplace_back(place.screw);
  out.emplace_back(report::Place{place.machine_at.from_zero()});
  out.emplace_back(report::Place{place.taper_at.from_zero()});
  return out;
}

void append(std::vector<Cell>& row, std::initializer_list<Cell> cells) { row.insert(row.end(), cells); }

Table form_table(std::vector<FormPass> const& passes, std::size_t first, std::size_t last) {
  const bool several = passes.size() > 1;
  Table table{"settings", screw_columns(several), {}};
  for (const Column& column : {Column{"strip_milled", "", true}, Column{"cutter_offset", "groove depth", true}, Column{"screw", ""}, Column{"gauge", "gauge", true}, Column{"gauge_on", "gauge bears~on"}, Column{"opening", "opening", true},
                               Column{"turns", ""}, Column{"", "turns + degrees"}})
    table.columns.push_back(column);
  if (several) table.columns.push_back({"cut", "cut", true});
  for (std::size_t p = first; p < last; ++p)
    for (auto const& screw : passes[p].screws) {
      auto row = screw_cells(passes[p].pass, screw.place, several);
      append(row, {screw.place.strip_milled, screw.depth, screw.place.screw, screw.gauge ? optional_cell(screw.gauge->reading) : Cell(std::monostate{}), screw.gauge ? Cell(bearing_word(screw.gauge->on)) : Cell(std::monostate{}), optional_cell(screw.opening),
                   turns_cell(screw.turns), turns_words(screw.turns)});
      if (several) row.push_back(optional_cell(passes[p].pass.cut(screw.place.taper_at)));
      table.rows.push_back(std::move(row));
    }
  return table;
}

Table mill_table(std::vector<MillPass> const& passes, std::size_t first, std::size_t last) {
  const bool several = passes.size() > 1;
  Table table{"settings", screw_columns(several), {}};
  for (const Column& column : {Column{"strip_milled", "strip a", true}, Column{"cutter_offset", "cutter offset", true}, Column{"screw", ""}, Column{"dial", "dial", true}, Column{"residual", "rest", true}, Column{"turns", ""}, Column{"", "turns + degrees"}})
    table.columns.push_back(column);
  if (several) table.columns.push_back({"cut", "cut", true});
  for (std::size_t p = first; p < last; ++p)
    for (auto const& screw : passes[p].screws) {
      auto row = screw_cells(passes[p].pass, screw.place, several);
      append(row, {screw.place.strip_milled, screw.offset, screw.place.screw, optional_cell(screw.dial), optional_cell(screw.residual), turns_cell(screw.turns), turns_words(screw.turns)});
      if (several) row.push_back(optional_cell(passes[p].pass.cut(screw.place.taper_at)));
      table.rows.push_back(std::move(row));
    }
  return table;
}

Table settings_table(Settings const& settings, std::size_t first, std::size_t last) {
  if (auto const* form = std::get_if<std::vector<FormPass>>(&settings)) return form_table(*form, first, last);
  return mill_table(std::get<std::vector<MillPass>>(settings), first, last);
}

}  // namespace

std::string turns_and_degrees(double turns) {
  constexpr long kDegreesInATurn = 360;
  const long degrees = std::lround(std::fabs(turns) * static_cast<double>(kDegreesInATurn));
  return fmt::format("{}{:>2} + {:>3}°", turns < 0 && degrees > 0 ? "-" : "", degrees / kDegreesInATurn, degrees % kDegreesInATurn);
}

Table station_table(SectionSetup const& setup) {
  Table table = empty_station_table();
  for (auto const& row : setup.stations) table.rows.push_back(station_cells(setup.section.name, row));
  return table;
}

Table station_table(std::vector<SectionSetup> const& setups) {
  Table table = empty_station_table();
  for (auto const& setup : setups)
    for (auto const& row : setup.stations) table.rows.push_back(station_cells(setup.section.name, row));
  return table;
}

Table cutter_table(SectionSetup const& setup) { return settings_table(setup.settings, 0, pass_count(setup.settings)); }

Table cutter_table(SectionSetup const& setup, std::size_t pass) { return settings_table(setup.settings, pass, pass + 1); }

std::size_t pass_count(Settings const& settings) {
  return std::visit([](auto const& passes) { return passes.size(); }, settings);
}

Pass const& pass_of(Settings const& settings, std::size_t pass) {
  return std::visit([&](auto const& passes) -> Pass const& { return passes[pass].pass; }, settings);
}

BarReport const& bar_of(Settings const& settings, std::size_t pass) {
  return std::visit([&](auto const& passes) -> BarReport const& { return passes[pass].bar; }, settings);
}

}  // namespace stripwright::machine
