#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/profiles.h"
#include "cli/taper_commands.h"
#include "report/json.h"
#include "report/table.h"
#include "taper/line_number.h"
#include "taper/read_taper.h"
#include "units/format.h"

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
  // Rounded first: 95.999 in are 8 ft, and not 7 ft 12 in.
  const double inches = round_to_decimals(length.in_inches(), 2);
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

/// The length tells it, and lines stay within 80 columns.
void leave_out_unit(Table& table) {
  const auto unit = std::find_if(table.columns.begin(), table.columns.end(),
                                 [](auto const& column) { return column.name == "unit"; });
  const auto place = unit - table.columns.begin();
  table.columns.erase(unit);
  for (auto& row : table.rows) row.erase(row.begin() + place);
}

ExitStatus list(CommonOptions const& options, Streams streams) {
  Table table{"tapers",
              {{"taper", "taper"},
               {"name", "name"},
               {"length", "length"},
               {"sections", "sections"},
               {"line", "line"},
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
           section_names(*taper), line_number(taper->about), std::string(unit_name(taper->unit)),
           file.path});
    else
      table.rows.push_back({file.name, std::string("(not a sound taper file: see taper lint)"),
                            std::string(), std::string(), std::string(), std::string(), file.path});
  }
  const auto format = format_of(options);
  if (format == Format::text) leave_out_unit(table);
  if (table.rows.empty() && format == Format::text)
    streams.out << fmt::format("no tapers in {}\n",
                               fmt::join(search_folders(ProfileKind::taper), ", "));
  else
    streams.out << print(table, format, Unit::inch);
  return ExitStatus::all_well;
}

}  // namespace

void add_taper_list(Command group, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto command = group.add_subcommand("list", "the tapers that a bare name finds");
  command.add_option("--format", options->format, "text, csv or json")
      .one_of({"text", "csv", "json"});
  command.manual({{"stripwright taper list"}, {}, "all is well", ""});
  command.on_given(run, [options](Streams streams) { return list(*options, streams); });
}

}  // namespace stripwright::cli
