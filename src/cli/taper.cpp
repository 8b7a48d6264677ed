#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/options.h"
#include "cli/profiles.h"
#include "cli/sheet_head.h"
#include "cli/taper_commands.h"
#include "report/bar.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "sheet/taper_page.h"
#include "taper/read_taper.h"
#include "taper/taper_curve.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Table;

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

/// The table with a bar for each station's flats, for the terminal.
Table drawn(Table table, Taper const& taper) {
  constexpr int kWidth = 36;
  Length thickest;
  for (auto const& point : taper.points) thickest = std::max(thickest, point.flats);
  table.columns.push_back({"", "drawn"});
  for (std::size_t i = 0; i < table.rows.size(); ++i)
    table.rows[i].emplace_back(report::bar(taper.points[i].flats / thickest, 1, kWidth));
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
  return out + "\n" + report::to_text(drawn(taper_table(taper), taper), unit);
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

/// The taper in one of the formats of `show`, which has pictures too.
std::string shown(std::string const& format, files::SourceText const& source, Taper const& taper,
                  Unit unit) {
  if (format == "svg") return sheet::taper_picture(taper, unit);
  if (format == "html")
    return sheet::taper_page(taper_head(source, taper, unit), taper, taper_table(taper));
  if (format == "csv") return report::to_csv(taper_table(taper), unit);
  if (format == "json") return report::json_text(show_json(taper, unit));
  return show_text(taper, unit);
}

ExitStatus show(CommonOptions const& options, Streams streams) {
  Problems problems;
  const auto source = open_profile(options.taper, ProfileKind::taper, problems);
  const auto taper = source ? read_taper(*source, problems) : std::nullopt;
  if (taper) {
    const Unit unit = options.units.empty() ? taper->unit : *parse_unit(options.units).value;
    streams.out << shown(options.format, *source, *taper, unit);
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

void on_callback(Command command, std::shared_ptr<CommonOptions> const& options, Run& run,
                 Action action) {
  command.on_given(run, [options, action](Streams streams) { return action(*options, streams); });
}

}  // namespace

void add_taper(Command program, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto group =
      program.add_subcommand("taper", "the tapers: list, show, lint, import, derive, compare");
  group.require_subcommand();
  add_taper_list(group, run);
  auto show_command = group.add_subcommand("show", "one taper as a table");
  add_taper_argument(show_command, *options);
  add_output_options(show_command, *options);
  // It has pictures too.
  show_command.remove_option("--format");
  show_command.add_option("--format", options->format, "text, csv, json, or a picture: svg, html")
      .one_of({"text", "csv", "json", "svg", "html"});
  show_command.manual({{"stripwright taper show yarrow --units mm",
                        "stripwright taper show yarrow --format svg > yarrow.svg"},
                       {},
                       "all is well",
                       ""});
  on_callback(show_command, options, run, show);
  auto lint_command = group.add_subcommand("lint", "what is wrong or odd in a taper file");
  add_taper_argument(lint_command, *options);
  lint_command.manual({{"stripwright taper lint longer.yaml"}, {}, "nothing is wrong", ""});
  on_callback(lint_command, options, run, lint);
  add_taper_derive(group, run);
  add_taper_import(group, run);
  add_taper_compare(group, run);
}

}  // namespace stripwright::cli
