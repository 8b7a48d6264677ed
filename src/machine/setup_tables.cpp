#include "machine/setup_tables.h"

#include <fmt/format.h>

#include <cmath>

#include "diagnostics/overloaded.h"
#include "section/triangle.h"

namespace stripwright::machine {
namespace {

using report::Cell;
using report::Column;
using report::Number;
using report::Table;
using section::Step;

constexpr int kTurnDecimals = 4;

Cell optional_cell(std::optional<Length> const& length) {
  return length ? Cell(*length) : Cell(std::monostate{});
}

Cell turns_cell(std::optional<double> const& turns) {
  return turns ? Cell(Number{*turns, kTurnDecimals, 2}) : Cell(std::monostate{});
}

Cell turns_words(std::optional<double> const& turns) {
  return turns ? Cell(turns_and_degrees(*turns)) : Cell(std::monostate{});
}

std::string bearing_word(Bearing on) {
  switch (on) {
    case Bearing::flanks:
      return "flanks";
    case Bearing::edges:
      return "edges";
    case Bearing::slot:
      return "slot";
    case Bearing::none:
      return "none";
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

/// Which passes a table has, and whether their number and cut are told.
struct Passed {
  std::size_t first, last;
  bool numbered;
};

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

void append(std::vector<Cell>& row, std::initializer_list<Cell> cells) {
  row.insert(row.end(), cells);
}

Table form_table(std::vector<FormPass> const& passes, Passed shown) {
  const bool several = shown.numbered;
  Table table{"settings", screw_columns(several), {}};
  for (const Column& column :
       {Column{"strip_milled", "", true}, Column{"cutter_offset", "groove depth", true},
        Column{"screw", ""}, Column{"gauge", "gauge", true}, Column{"gauge_on", "gauge bears~on"},
        Column{"opening", "opening", true}, Column{"turns", ""}, Column{"", "turns + degrees"}})
    table.columns.push_back(column);
  if (several) table.columns.push_back({"cut", "cut", true});
  for (std::size_t p = shown.first; p < shown.last; ++p)
    for (auto const& screw : passes[p].screws) {
      auto row = screw_cells(passes[p].pass, screw.place, several);
      append(row,
             {screw.place.strip_milled, screw.depth, screw.place.screw,
              screw.gauge ? optional_cell(screw.gauge->reading) : Cell(std::monostate{}),
              screw.gauge ? Cell(bearing_word(screw.gauge->on)) : Cell(std::monostate{}),
              optional_cell(screw.opening), turns_cell(screw.turns), turns_words(screw.turns)});
      if (several) row.push_back(optional_cell(passes[p].pass.cut(screw.place.taper_at)));
      table.rows.push_back(std::move(row));
    }
  return table;
}

Table mill_table(std::vector<MillPass> const& passes, Passed shown) {
  const bool several = shown.numbered;
  Table table{"settings", screw_columns(several), {}};
  for (const Column& column :
       {Column{"strip_milled", "strip a", true}, Column{"cutter_offset", "cutter offset", true},
        Column{"screw", ""}, Column{"dial", "dial", true}, Column{"residual", "rest", true},
        Column{"turns", ""}, Column{"", "turns + degrees"}})
    table.columns.push_back(column);
  if (several) table.columns.push_back({"cut", "cut", true});
  for (std::size_t p = shown.first; p < shown.last; ++p)
    for (auto const& screw : passes[p].screws) {
      auto row = screw_cells(passes[p].pass, screw.place, several);
      append(row, {screw.place.strip_milled, screw.offset, screw.place.screw,
                   optional_cell(screw.dial), optional_cell(screw.residual),
                   turns_cell(screw.turns), turns_words(screw.turns_dialled)});
      if (several) row.push_back(optional_cell(passes[p].pass.cut(screw.place.taper_at)));
      table.rows.push_back(std::move(row));
    }
  return table;
}

/// Points of a way over the strip: all of them in files, those at stations at the bench.
Table way_table(bool numbered, bool cut, bool pattern) {
  Table table{"settings", {}, {}};
  if (numbered) table.columns.push_back({"pass", ""});
  for (const Column& column :
       {Column{"machine_at", "machine at", true}, Column{"taper_at", "station", true},
        Column{"strip_milled", "strip a", true}, Column{"cutter_offset", "cutter offset", true}})
    table.columns.push_back(column);
  if (pattern) table.columns.push_back({"pattern", "pattern", true});
  if (cut) table.columns.push_back({"cut", "cut", true});
  return table;
}

std::vector<Cell> way_cells(Pass const& pass, CutterPoint const& point, bool numbered) {
  std::vector<Cell> out;
  if (numbered) out.emplace_back(pass.number);
  append(out, {report::Place{point.machine_at.from_zero()},
               report::Place{point.taper_at.from_zero()}, point.strip_milled, point.offset});
  return out;
}

Table pattern_table(PatternSettings const& settings, Passed shown, bool at_stations) {
  Table table = way_table(shown.numbered, shown.numbered, true);
  for (std::size_t p = shown.first; p < shown.last; ++p) {
    auto const& pass = settings.passes[p];
    for (auto const& point : pass.points) {
      if (at_stations && !point.cutter.at_station) continue;
      auto row = way_cells(pass.pass, point.cutter, shown.numbered);
      row.emplace_back(point.pattern);
      if (shown.numbered) row.push_back(optional_cell(pass.pass.cut(point.cutter.taper_at)));
      table.rows.push_back(std::move(row));
    }
  }
  return table;
}

/// `pass` stands there even where there is one.
Table cnc_table(CncSettings const& settings, Passed shown, bool at_stations) {
  Table table = way_table(true, shown.numbered, false);
  for (std::size_t p = shown.first; p < shown.last; ++p) {
    auto const& pass = settings.passes[p];
    for (auto const& point : pass.way) {
      if (!point.on_strip || (at_stations && !point.at_station)) continue;
      auto row = way_cells(pass.pass, point, true);
      if (shown.numbered) row.push_back(optional_cell(pass.pass.cut(point.taper_at)));
      table.rows.push_back(std::move(row));
    }
  }
  return table;
}

Table settings_table(Settings const& settings, Passed shown, bool at_bench) {
  return std::visit(
      Overloaded{
          [&](std::vector<FormPass> const& passes) { return form_table(passes, shown); },
          [&](std::vector<MillPass> const& passes) { return mill_table(passes, shown); },
          [&](PatternSettings const& pattern) { return pattern_table(pattern, shown, at_bench); },
          [&](CncSettings const& cnc) { return cnc_table(cnc, shown, at_bench); }},
      settings);
}

/// The passes of the settings, whatever else they hold.
template <class Kind>
std::vector<Kind> const& passes_in(std::vector<Kind> const& passes) {
  return passes;
}
auto const& passes_in(PatternSettings const& settings) { return settings.passes; }
auto const& passes_in(CncSettings const& settings) { return settings.passes; }

}  // namespace

std::string turns_and_degrees(double turns) {
  constexpr long kDegreesInATurn = 360;
  const long degrees = std::lround(std::fabs(turns) * static_cast<double>(kDegreesInATurn));
  return fmt::format("{}{:>2} + {:>3}°", turns < 0 && degrees > 0 ? "-" : "",
                     degrees / kDegreesInATurn, degrees % kDegreesInATurn);
}

Table station_table(SectionSetup const& setup) {
  Table table = empty_station_table();
  for (auto const& row : setup.stations)
    table.rows.push_back(station_cells(setup.section.name, row));
  return table;
}

Table station_table(std::vector<SectionSetup> const& setups) {
  Table table = empty_station_table();
  for (auto const& setup : setups)
    for (auto const& row : setup.stations)
      table.rows.push_back(station_cells(setup.section.name, row));
  return table;
}

Table cutter_table(SectionSetup const& setup) {
  return settings_table(setup.settings, {0, pass_count(setup.settings), setup.in_passes}, false);
}

Table cutter_table(SectionSetup const& setup, std::size_t pass) {
  return settings_table(setup.settings, {pass, pass + 1, setup.in_passes}, true);
}

Table pass_table(SectionSetup const& setup) {
  auto const* pattern = std::get_if<PatternSettings>(&setup.settings);
  Table table{"passes",
              {{"pass", "pass"},
               {"left", "left over~the final~strip", true},
               {"greatest_cut", "greatest cut", true},
               {"greatest_cut_at", "at station", true}},
              {}};
  if (pattern)
    table.columns.insert(table.columns.begin() + 2, {"lift", "raise the~cutter by", true});
  for (std::size_t p = 0; p < pass_count(setup.settings); ++p) {
    auto const& pass = pass_of(setup.settings, p);
    const auto cut = greatest_cut(pass, setup.placement);
    std::vector<Cell> row = {
        pass.number, pass.left, cut ? Cell(cut->amount) : Cell(std::monostate{}),
        cut ? Cell(report::Place{cut->at.from_zero()}) : Cell(std::monostate{})};
    if (pattern) row.insert(row.begin() + 2, pattern->passes[p].lift);
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::size_t pass_count(Settings const& settings) {
  return std::visit([](auto const& its) { return passes_in(its).size(); }, settings);
}

Pass const& pass_of(Settings const& settings, std::size_t pass) {
  return std::visit([&](auto const& its) -> Pass const& { return passes_in(its)[pass].pass; },
                    settings);
}

BarReport const* bar_of(Settings const& settings, std::size_t pass) {
  if (auto const* form = std::get_if<std::vector<FormPass>>(&settings)) return &(*form)[pass].bar;
  if (auto const* mill = std::get_if<std::vector<MillPass>>(&settings)) return &(*mill)[pass].bar;
  return nullptr;
}

}  // namespace stripwright::machine
