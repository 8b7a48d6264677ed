#include "cli/correct_groove.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "machine/groove.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"

namespace stripwright::cli {
namespace {

using report::Cell;
using report::Json;

/// One gauged place.
struct GaugedPlace {
  MachinePosition machine_at;
  std::optional<std::size_t> screw;  ///< counted from 0; none between screws
  Length target;                     ///< what the gauge shall read
  Length reading;
  Length depth_off;  ///< the groove is so much too deep
  Length low;        ///< the 95 % interval of that
  Length high;

  bool off() const { return low > Length{} || high < Length{}; }
  /// To the groove's depth; nothing where it may well be right.
  Length change() const { return off() ? -depth_off : Length{}; }
};

struct GaugedSection {
  std::string name;
  std::vector<GaugedPlace> places;

  bool any_off(bool at_screws) const {
    return std::any_of(places.begin(), places.end(), [&](GaugedPlace const& place) {
      return place.off() && place.screw.has_value() == at_screws;
    });
  }
};

std::optional<std::size_t> screw_at(PlaningForm const& form, MachinePosition at) {
  const auto found =
      std::find_if(form.screws.begin(), form.screws.end(),
                   [&](MachinePosition each) { return abs(each - at) < kSamePlace; });
  if (found == form.screws.end()) return std::nullopt;
  return static_cast<std::size_t>(found - form.screws.begin());
}

/// On edges a ball's reading changes less than the depth does: depths follow from readings, and so
/// do the ends of the interval.
GaugedPlace gauged(GrooveTargets const& groove, PlaningForm const& form,
                   inspection::StationDeviation const& found) {
  const auto target = *groove.at(found.at)[0];
  const auto too_deep = [&](Length reading_off) {
    return target.flats_off(target.value + reading_off) / 2;
  };
  GaugedPlace out;
  out.machine_at = groove.machine_at(found.at);
  out.screw = screw_at(form, out.machine_at);
  out.target = target.value;
  out.reading = target.value + found.mean;
  out.depth_off = too_deep(found.mean);
  out.low = too_deep(found.low);
  out.high = too_deep(found.high);
  return out;
}

std::vector<GaugedSection> gauged_sections(CheckBench const& bench,
                                           inspection::Readings const& readings) {
  Checker checker(bench, readings, false, false);
  for (auto const& piece : readings.pieces) checker.next(piece);
  auto const& form = std::get<PlaningForm>(bench.machine->kind);
  std::vector<GaugedSection> out;
  for (std::size_t s = 0; s < bench.of_groove.size(); ++s) {
    GaugedSection section{bench.targets[s]->section().name, {}};
    for (auto const& found : checker.totals().groups[s].stations())
      section.places.push_back(gauged(*bench.of_groove[s], form, found));
    if (section.places.empty()) continue;
    std::sort(section.places.begin(), section.places.end(),
              [](auto const& one, auto const& other) { return one.machine_at < other.machine_at; });
    out.push_back(std::move(section));
  }
  return out;
}

std::string turn_words(double turns) {
  const double degrees = std::round(std::fabs(turns) * 360);
  if (degrees == 0) return "0°";
  const double whole = std::floor(degrees / 360);
  return fmt::format("{} {}{:.0f}°", turns > 0 ? "open" : "close",
                     whole > 0 ? fmt::format("{:.0f} turns ", whole) : std::string(),
                     degrees - 360 * whole);
}

report::Table places_table(GaugedSection const& section, PlaningForm const& form) {
  report::Table table{section.name,
                      {{"section", ""},
                       {"screw", "screw"},
                       {"machine_at", "machine at", true},
                       {"target", "gauge shall~be", true},
                       {"gauge", "gauge reads", true},
                       {"depth_deviation", "groove too~deep", true},
                       {"interval_low", "", true},
                       {"interval_high", "", true},
                       {"", "give or~take (95~%)", true},
                       {"add", "", true},
                       {"opening_change", "change opening", true},
                       {"turns", ""},
                       {"", "turn the~screw"}},
                      {}};
  for (auto const& place : section.places) {
    const auto none = Cell(std::monostate{});
    const Length opening = machine::opening_for(place.change());
    const auto turns = place.screw && form.screw_lead
                           ? std::optional(machine::turns_for(opening, *form.screw_lead))
                           : std::nullopt;
    table.rows.push_back(
        {section.name, place.screw ? Cell(static_cast<long>(*place.screw + 1)) : none,
         report::Place{place.machine_at.from_zero()}, place.target, place.reading, place.depth_off,
         place.low, place.high, (place.high - place.low) / 2, place.change(),
         place.screw ? Cell(opening) : none, turns ? Cell(report::Number{*turns, 4, 2}) : none,
         turns ? Cell(turn_words(*turns)) : none});
  }
  return table;
}

std::string advice(std::vector<GaugedSection> const& sections) {
  const auto any = [&](bool at_screws) {
    return std::any_of(sections.begin(), sections.end(),
                       [&](auto const& each) { return each.any_off(at_screws); });
  };
  std::string out;
  if (any(true))
    out =
        "Turn the screws as told, the last bit of each from the same side as ever, and gauge the "
        "groove again: it shall then read as set up, and the settings stay as they are. A screw "
        "moves its neighbours' places a little.";
  if (any(false))
    out += std::string(out.empty() ? "" : " ") +
           "What is off between screws is the bars' own bend: it stays, or is shared between the "
           "two screws beside it.";
  return out.empty()
             ? "The groove is nowhere off by more than the gauge explains: nothing is to be "
               "turned."
             : out;
}

bool corrects(std::vector<GaugedSection> const& sections) {
  return std::any_of(sections.begin(), sections.end(),
                     [](auto const& each) { return each.any_off(true); });
}

std::string groove_text(std::vector<GaugedSection> const& sections, CheckBench const& bench) {
  auto const& form = std::get<PlaningForm>(bench.machine->kind);
  std::string out =
      report::paragraph(fmt::format("{} on the {}: what the gauge says of the set groove",
                                    bench.inputs->taper.name, bench.machine->name),
                        "", "");
  for (auto const& section : sections)
    out += fmt::format("\nSECTION {}\n{}", section.name,
                       report::to_text(places_table(section, form), bench.inputs->unit));
  return out + report::paragraph(advice(sections), "", "");
}

std::string groove_csv(std::vector<GaugedSection> const& sections, CheckBench const& bench) {
  report::Table all;
  for (auto const& section : sections) {
    auto table = places_table(section, std::get<PlaningForm>(bench.machine->kind));
    if (all.columns.empty()) all.columns = table.columns;
    for (auto& row : table.rows) all.rows.push_back(std::move(row));
  }
  return report::to_csv(all, bench.inputs->unit);
}

std::string groove_json(std::vector<GaugedSection> const& sections, CheckBench const& bench) {
  Json out = {{"corrects", corrects(sections)}, {"advice", advice(sections)}};
  Json all = Json::array();
  for (auto const& section : sections)
    all.push_back({{"section", section.name},
                   {"corrects", section.any_off(true)},
                   {"places", report::to_json(
                                  places_table(section, std::get<PlaningForm>(bench.machine->kind)),
                                  bench.inputs->unit)}});
  out["sections"] = std::move(all);
  return report::json_text(out);
}

}  // namespace

ExitStatus correct_groove(CheckBench const& bench, inspection::Readings const& readings,
                          Format format, std::ostream& out) {
  const auto sections = gauged_sections(bench, readings);
  switch (format) {
    case Format::text:
      out << groove_text(sections, bench);
      break;
    case Format::csv:
      out << groove_csv(sections, bench);
      break;
    case Format::json:
      out << groove_json(sections, bench);
      break;
  }
  return ExitStatus::all_well;
}

}  // namespace stripwright::cli
