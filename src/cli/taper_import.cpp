#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

#include "cli/check.h"
#include "cli/command_line.h"
#include "cli/import_readings.h"
#include "cli/taper_commands.h"
#include "diagnostics/paragraph.h"
#include "report/json.h"
#include "taper/read_taper.h"
#include "taper/write_taper.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Table;

std::vector<std::string> remarks_of(ImportOptions const& options, files::SourceText const& source,
                                    Imported const& all) {
  const Unit unit = all.taper.unit;
  std::vector<std::string> out = {fmt::format("Imported by {} from {}{}.", program_in_remark(),
                                              named_in_remark(source), date_in_remark())};
  const auto left_out = options.leave_out ? all.odd.size() : 0;
  out.push_back(fmt::format("{} readings at {} stations{}.",
                            all.readings.readings.size() - left_out, all.stations.size(),
                            left_out > 0 ? fmt::format(", {} left out as off", left_out) : ""));
  out.push_back(fmt::format("Across flats: {}.", all.made_by));
  if (all.scatter)
    out.push_back(fmt::format("Standard uncertainty of a reading: {}.",
                              format_length(*all.uncertainty, unit, bench_decimals(unit) + 1)));
  if (!options.leave_out && !all.odd.empty())
    out.push_back(fmt::format("Off what their neighbours say, and kept: {}.", all.odd.size()));
  if (options.from_butt) out.emplace_back("Stations were counted from the butt end.");
  return out;
}

Table station_table(Imported const& all) {
  Table table{"stations",
              {{"at", "station", true},
               {"readings", "readings"},
               {"mean", "mean", true},
               {"uncertainty", "standard uncertainty", true},
               {"flats", "taper", true},
               {"off", "taper less~mean", true}},
              {}};
  for (auto const& station : all.stations)
    table.rows.push_back({report::Place{station.at.from_zero()}, station.readings.count,
                          station.readings.mean,
                          station.u ? report::Cell(*station.u) : report::Cell(std::monostate{}),
                          station.flats, station.flats - station.readings.mean});
  return table;
}

std::string printed(ImportOptions const& options, Imported const& all) {
  const Unit unit = all.taper.unit;
  const auto table = station_table(all);
  switch (format_of(options.common)) {
    case Format::csv:
      return report::to_csv(table, unit);
    case Format::json:
      return report::json_text({{"file", options.to.path},
                                {"unit", unit_name(unit)},
                                {"stations", report::to_json(table, unit)}});
    case Format::text:
      break;
  }
  return fmt::format("{}: {} stations, {}\n\n", options.to.path, all.taper.points.size(),
                     all.made_by) +
         report::to_text(table, unit) +
         (all.sections_by.empty() ? "" : "\n" + paragraph(all.sections_by, "", ""));
}

ExitStatus run_import(ImportOptions const& options, Streams streams) {
  Problems problems;
  const auto finish = [&] {
    streams.err << problems.text();
    return status_of(problems);
  };
  may_be_written(options.to, problems);
  const auto source = open_readings(options.readings, problems);
  if (!source) return finish();
  const auto all = import_readings(options, *source, problems);
  if (!all || problems.any_error()) return finish();
  const auto text = new_taper_text(all->taper, remarks_of(options, *source, *all));
  // What is odd in the new file is told at once.
  if (!read_taper(files::SourceText(options.to.path, text), problems)) return finish();
  std::string copy;
  const auto written = write_file(options.to, text, copy, problems);
  if (written == ExitStatus::all_well) {
    streams.out << printed(options, *all);
    if (!copy.empty()) streams.err << fmt::format("{} as it was: {}\n", options.to.path, copy);
  }
  return std::max(written, finish());
}

}  // namespace

void add_taper_import(Command group, Run& run) {
  auto options = std::make_shared<ImportOptions>();
  auto command = group.add_subcommand(
      "import", "a taper from a table of two columns, or from readings of a rod");
  command.manual(
      {{"stripwright taper import rod.csv --to rod.yaml --uncertainty 0.0005in"},
       {"READINGS: two columns, station and across flats, or piece, at, f1, f2, f3; separated by "
        "commas, tabs or semicolons; the unit in the headings (at_in) or by --unit"},
       "written",
       ""});
  command.add_option("READINGS", options->readings, "the table, or - for standard input")
      .required();
  command.add_option("--to", options->to.path, "the new file, its name ending in .yaml").required();
  command.add_option("--columns", options->columns,
                     "station and across flats, by name or number: at,flats or 1,3");
  command.add_option("--piece", options->pieces, "only this piece of the readings; may be repeated")
      .one_value_each_time();
  command.add_option("--unit", options->unit, "in or mm, where the headings do not say")
      .one_of({"in", "mm"});
  command
      .add_option("--units", options->common.units,
                  "in or mm for the new file; the table's own if left out")
      .one_of({"in", "mm"});
  command
      .add_option("--section", options->sections,
                  "a section of the rod, NAME=FROM:TO, or NAME=FROM:TO:2 where two are to be made; "
                  "by the pieces that were measured if left out")
      .one_value_each_time();
  command.add_option("--ferrule", options->ferrules, "a ferrule, AT=BORE: 45=13/64in")
      .one_value_each_time();
  command.add_flag("--from-butt", options->from_butt, "stations are counted from the butt end");
  command.add_option("--length", options->rod_length,
                     "from tip end to butt end, for --from-butt; the farthest station if left out");
  command.add_option(
      "--uncertainty", options->uncertainty,
      "standard uncertainty of one reading, at least: the taper is smoothed within it");
  command.add_option("--shop", options->common.shop, "a shop file, for its gauge");
  command.add_option("--gauge", options->common.gauge, "which gauge it was measured with");
  command.add_option("--stations", options->stations,
                     "stations at every such step, and both ends; as measured if left out");
  command.add_flag("--leave-out-outliers", options->leave_out,
                   "leave out the readings that are named as off");
  command.add_option("--measured", options->measured, "bare (default) or varnished")
      .one_of({"bare", "varnished"});
  command.add_option("--between", options->between, "linear (default) or smooth, between stations")
      .one_of({"linear", "smooth"});
  command.add_option("--name", options->name,
                     "what the rod is called; the file's name if left out");
  command.add_option("--about", options->about, "what it is for, where it comes from");
  command.add_flag("--force", options->to.force,
                   "replace a file that is there; a copy of it is kept beside it");
  command.add_option("--format", options->common.format, "text, csv or json on the terminal")
      .one_of({"text", "csv", "json"});
  command.on_given(run, [options](Streams streams) { return run_import(*options, streams); });
}

}  // namespace stripwright::cli
