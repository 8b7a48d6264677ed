#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/command.h"
#include "cli/options.h"
#include "cli/profiles.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "taper/read_taper.h"
#include "taper/taper_curve.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Table;

std::string section_names(Taper const& taper) {
  std::vector<std::string> names;
  for (auto const& section : taper.sections)
    names.push_back(section.make > 1 ? fmt::format("{} x{}", section.name, section.make)
                                     : section.name);
  return fmt::format("{}", fmt::join(names, ", "));
}

std::string feet_or_metres(Length length, Unit unit) {
  if (unit == Unit::millimetre) return format_short(length, unit);
  const double inches = length.in_inches();
  const long feet = static_cast<long>(inches / 12);
  const auto rest = format_short(inches - 12.0 * static_cast<double>(feet), 2);
  return rest == "0" ? fmt::format("{} ft", feet) : fmt::format("{} ft {} in", feet, rest);
}

std::string print(Table const& table, Format format, Unit unit) {
  switch (format) {
    case Format::text:
      return report::to_text(table, unit);
    case Format::csv:
      return report::to_csv(table, unit);
    case Format::json:
      return report::json_text(report::to_json(table, unit));
  }
  return {};
}

ExitStatus list(CommonOptions const& options, Streams streams) {
  Table table{"tapers",
              {{"taper", "taper"},
               {"name", "name"},
               {"length", "length"},
               {"sections", "sections"},
               {"unit", "unit"},
               {"file", "file"}},
              {}};
  for (auto const& file : list_profiles(ProfileKind::taper)) {
    Problems unread;
    const auto source = files::read_source(file.path, unread);
    const auto taper = source ? read_taper(*source, unread) : std::nullopt;
    if (taper)
      table.rows.push_back(
          {file.name, taper->name,
           feet_or_metres(taper->sections.back().to - taper->sections.front().from, taper->unit),
           section_names(*taper), std::string(unit_name(taper->unit)), file.path});
    else
      table.rows.push_back({file.name, std::string("(not a sound taper file: see taper lint)"),
                            std::string(), std::string(), std::string(), file.path});
  }
  if (table.rows.empty() && format_of(options) == Format::text)
    streams.out << fmt::format("no tapers in {}\n",
                               fmt::join(search_folders(ProfileKind::taper), ", "));
  else
    streams.out << print(table, format_of(options), Unit::inch);
  return ExitStatus::all_well;
}

std::string section_at(Taper const& taper, Station at) {
  std::vector<std::string> names;
  for (auto const& section : taper.sections)
    if (at > section.from - kSamePlace && at < section.to + kSamePlace)
      names.push_back(section.name);
  return fmt::format("{}", fmt::join(names, ", "));
}

Table taper_table(Taper const& taper) {
  Table table{"taper",
              {{"at", "station", true},
               {"flats", "across flats", true},
               {"rise", "rise to~the next", true},
               {"section", "section"}},
              {}};
  for (std::size_t i = 0; i < taper.points.size(); ++i) {
    auto const& point = taper.points[i];
    table.rows.push_back({report::Place{point.at.from_zero()}, point.flats,
                          i + 1 < taper.points.size()
                              ? report::Cell(taper.points[i + 1].flats - point.flats)
                              : report::Cell(std::monostate{}),
                          section_at(taper, point.at)});
  }
  return table;
}

std::string show_text(Taper const& taper, Unit unit) {
  std::string out = taper.name + "\n";
  if (!taper.about.empty()) out += report::paragraph(taper.about, "", "");
  out += fmt::format("Measured {}, {} between the stations.\n",
                     taper.measured == Measured::bare ? "on bare cane" : "over varnish",
                     taper.between == Between::linear ? "straight lines" : "a monotone cubic");
  for (auto const& section : taper.sections)
    out += fmt::format("Section {}: {} to {}, {} to make\n", section.name,
                       format_short(section.from.from_zero(), unit),
                       format_short(section.to.from_zero(), unit), section.make);
  for (auto const& ferrule : taper.ferrules)
    out += fmt::format("Ferrule at {}: bore {}\n", format_short(ferrule.at.from_zero(), unit),
                       format_length(ferrule.bore, unit, bench_decimals(unit)));
  return out + "\n" + report::to_text(taper_table(taper), unit);
}

report::Json show_json(Taper const& taper, Unit unit) {
  report::Json out = {{"name", taper.name}, {"about", taper.about}, {"unit", unit_name(unit)}};
  out["measured"] = taper.measured == Measured::bare ? "bare" : "varnished";
  out["between"] = taper.between == Between::linear ? "linear" : "smooth";
  report::Json sections = report::Json::array();
  for (auto const& s : taper.sections)
    sections.push_back({{"section", s.name},
                        {"from", report::json_length(s.from.from_zero(), unit)},
                        {"to", report::json_length(s.to.from_zero(), unit)},
                        {"make", s.make}});
  out["sections"] = std::move(sections);
  out["stations"] = report::to_json(taper_table(taper), unit);
  return out;
}

ExitStatus show(CommonOptions const& options, Streams streams) {
  Problems problems;
  const auto source = open_profile(options.taper, ProfileKind::taper, problems);
  const auto taper = source ? read_taper(*source, problems) : std::nullopt;
  if (taper) {
    const Unit unit = options.units.empty() ? taper->unit : *parse_unit(options.units).value;
    switch (format_of(options)) {
      case Format::text:
        streams.out << show_text(*taper, unit);
        break;
      case Format::csv:
        streams.out << report::to_csv(taper_table(*taper), unit);
        break;
      case Format::json:
        streams.out << report::json_text(show_json(*taper, unit));
        break;
    }
  }
  streams.err << problems.text();
  return status_of(problems);
}

ExitStatus lint(CommonOptions const& options, Streams streams) {
  Problems problems;
  const auto source = open_profile(options.taper, ProfileKind::taper, problems);
  const auto taper = source ? read_taper(*source, problems) : std::nullopt;
  if (taper && problems.empty()) streams.out << fmt::format("{}: in order\n", source->name());
  streams.err << problems.text();
  return status_of(problems);
}

using Action = ExitStatus (*)(CommonOptions const&, Streams);

void on_callback(CLI::App& command, std::shared_ptr<CommonOptions> const& options, Run& run,
                 Action action) {
  command.callback([options, &run, action] {
    run = [options, action](Streams streams) { return action(*options, streams); };
  });
}

}  // namespace

void add_taper(CLI::App& program, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto* group = program.add_subcommand("taper", "the tapers: list, show, lint");
  group->require_subcommand(1);
  auto* list_command = group->add_subcommand("list", "the tapers that a bare name finds");
  list_command->add_option("--format", options->format, "text, csv or json")
      ->check(CLI::IsMember({"text", "csv", "json"}));
  on_callback(*list_command, options, run, list);
  auto* show_command = group->add_subcommand("show", "one taper as a table");
  add_taper_argument(*show_command, *options);
  add_output_options(*show_command, *options);
  on_callback(*show_command, options, run, show);
  auto* lint_command = group->add_subcommand("lint", "what is wrong or odd in a taper file");
  add_taper_argument(*lint_command, *options);
  on_callback(*lint_command, options, run, lint);
}

}  // namespace stripwright::cli
