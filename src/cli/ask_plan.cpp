#include "cli/ask_plan.h"

#include <fmt/format.h>

#include <algorithm>

#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::PlaceFrom;
using inspection::ReadingColumns;
using inspection::ReadingKind;

/// The name that stands for what has none, in the plan and in the file's readings.
constexpr std::size_t kLongestName = 100;

std::vector<std::string> split_names(std::string_view text) {
  std::vector<std::string> out;
  while (true) {
    const auto comma = text.find(',');
    auto name = text.substr(0, comma);
    while (name.starts_with(' ')) name.remove_prefix(1);
    while (name.ends_with(' ')) name.remove_suffix(1);
    out.emplace_back(name);
    if (comma == std::string_view::npos) return out;
    text.remove_prefix(comma + 1);
  }
}

/// The n-th strip's or piece's name where none is given.
std::string usual_name(CheckBench const& bench, std::size_t section, long n) {
  return bench.kind() == ReadingKind::strips
             ? fmt::format("s{}", n)
             : fmt::format("{} {}", bench.targets[section]->section().name, n);
}

/// The names that --strips gives; none if it is left out.
std::optional<std::vector<std::string>> given_names(CheckBench const& bench,
                                                    CheckOptions const& options,
                                                    std::size_t section, Problems& problems) {
  constexpr double kMost = 999;
  if (options.strips.empty()) return std::nullopt;
  std::vector<std::string> out;
  if (const auto count = files::plain_decimal(options.strips)) {
    if (*count < 1 || *count > kMost || *count != static_cast<double>(static_cast<long>(*count)))
      problems.error(
          fmt::format("--strips {}: no number of strips", quoted_for_message(options.strips)),
          "1 to 999, or their names with commas between");
    for (long n = 1; static_cast<double>(n) <= std::min(*count, kMost); ++n)
      out.push_back(usual_name(bench, section, n));
    return out;
  }
  out = split_names(options.strips);
  if (static_cast<double>(out.size()) > kMost) {
    problems.error(
        fmt::format("--strips {}: {} names", quoted_for_message(options.strips), out.size()),
        fmt::format("{:.0f} at the most", kMost));
    return std::vector<std::string>();
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    const bool twice = std::find(out.begin(), out.begin() + static_cast<std::ptrdiff_t>(i),
                                 out[i]) != out.begin() + static_cast<std::ptrdiff_t>(i);
    const bool odd = out[i].empty() || out[i].size() > kLongestName ||
                     std::any_of(out[i].begin(), out[i].end(),
                                 [](char c) { return static_cast<unsigned char>(c) < 0x20U; });
    if (twice || odd)
      problems.error(
          fmt::format("--strips {}: {}", quoted_for_message(options.strips),
                      twice ? fmt::format("{} stands there twice", quoted_for_message(out[i]))
                            : "a name that is empty or too long"),
          "names with commas between: s1,s2,s3");
  }
  return out;
}

std::vector<std::string> names_to_ask(CheckBench const& bench, CheckOptions const& options,
                                      std::size_t section, std::vector<KeptReading> const& kept,
                                      Problems& problems) {
  if (bench.kind() == ReadingKind::groove) return {bench.order().nameless};
  if (auto given = given_names(bench, options, section, problems)) return *given;
  std::vector<std::string> out;
  const auto add = [&](std::string const& name) {
    if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
  };
  for (auto const& reading : kept)
    if (reading.section == section) add(reading.name);
  const long made = bench.targets[section]->section().make;
  const long needed = bench.kind() == ReadingKind::strips ? 6 * made : made;
  for (long n = 1; n <= needed && static_cast<long>(out.size()) < needed; ++n)
    add(usual_name(bench, section, n));
  return out;
}

std::vector<Station> stations_to_ask(CheckBench const& bench, std::size_t section) {
  if (!bench.of_groove.empty()) return bench.of_groove[section]->screws();
  return section::table_stations(bench.inputs->taper, bench.targets[section]->section());
}

/// A length as a field: a number in the column's unit if that is the length itself, else with the
/// taper's unit.
std::string length_field(Length length, Unit column, Unit own) {
  auto number = format_short(in_unit(length, column), file_decimals(column));
  if (same_place(*parse_length(number, column).value, length)) return number;
  return format_short(length, own);
}

}  // namespace

std::string new_header(CheckBench const& bench, CheckOptions const& options) {
  const Unit unit = options.readings_unit.empty() ? bench.inputs->taper.unit
                                                  : *parse_unit(options.readings_unit).value;
  const auto in_that_unit = [&](std::string_view word) {
    return fmt::format("{}_{}", word, unit_name(unit));
  };
  std::vector<std::string> columns;
  if (bench.kind() == ReadingKind::strips) columns.emplace_back("strip");
  if (bench.kind() == ReadingKind::sections) columns.emplace_back("piece");
  if (bench.targets.size() > 1) columns.emplace_back("section");
  columns.push_back(in_that_unit(bench.kind() == ReadingKind::groove ? "machine_at" : "at"));
  for (const auto height : inspection::heights_of(bench.kind()))
    columns.push_back(in_that_unit(inspection::word(height)));
  return fmt::format("{}", fmt::join(columns, ","));
}

std::vector<KeptReading> kept_readings(CheckBench const& bench, files::SourceText const& source,
                                       ReadingColumns const& columns, Problems& problems) {
  const auto order = bench.order();
  const auto rows = inspection::read_rows(source, columns, order.choice, order.nameless, problems);
  std::vector<KeptReading> out;
  for (auto const& row : rows.rows) {
    if (!row.section && bench.targets.size() > 1) continue;
    const std::size_t section = row.section.value_or(0);
    auto const& targets = *bench.targets[section];
    const Station at = columns.place_from == PlaceFrom::rod_tip ? Station(row.place)
                       : columns.place_from == PlaceFrom::strip_end
                           ? targets.first() + row.place
                           : targets.station_at(MachinePosition(row.place));
    std::size_t values = 0;
    for (std::size_t h = 0; h < inspection::kMostHeights; ++h)
      if (has(row, h)) ++values;
    for (std::size_t h = 0; h < inspection::kMostHeights; ++h)
      if (has(row, h))
        out.push_back(
            {section, rows.names[row.name], at, h, row.values[h], row.offset, values == 1});
  }
  return out;
}

std::vector<AskedReading> plan_asking(CheckBench const& bench, CheckOptions const& options,
                                      ReadingColumns const& columns,
                                      std::vector<KeptReading> const& kept, Problems& problems) {
  std::vector<AskedReading> out;
  if (bench.kind() != ReadingKind::strips && !options.heights.empty())
    problems.error("--heights is for strips",
                   "of sections f1, f2 and f3 are asked for, of a groove the gauge");
  if (bench.targets.size() > 1 && !columns.section)
    problems.error("the file has no column section, and the taper has several",
                   "call with --section, once for each file");
  const std::size_t heights = bench.kind() == ReadingKind::strips && options.heights != "abc"
                                  ? 1
                                  : inspection::heights_of(bench.kind()).size();
  for (std::size_t h = 0; h < heights; ++h)
    if (!columns.heights[h])
      problems.error(fmt::format("the file has no column for {}",
                                 inspection::word(inspection::heights_of(bench.kind())[h])),
                     bench.kind() == ReadingKind::strips
                         ? "call with --heights a, or name another file"
                         : "name another file");
  for (std::size_t s = 0; s < bench.targets.size(); ++s)
    for (auto const& name : names_to_ask(bench, options, s, kept, problems))
      for (const Station at : stations_to_ask(bench, s))
        for (std::size_t h = 0; h < heights; ++h) out.push_back({s, name, at, h});
  return out;
}

std::string row_of(CheckBench const& bench, ReadingColumns const& columns,
                   AskedReading const& asked, std::string_view typed) {
  std::vector<std::string> fields(columns.count);
  auto const& targets = *bench.targets[asked.section];
  if (columns.name) fields[*columns.name] = files::csv_quoted(asked.name);
  if (columns.section) fields[*columns.section] = files::csv_quoted(targets.section().name);
  const Length place = columns.place_from == PlaceFrom::strip_end
                           ? asked.at - targets.first()
                           : bench.place(asked.section, asked.at);
  fields[columns.place.column] = length_field(place, columns.place.unit, bench.inputs->taper.unit);
  fields[columns.heights[asked.height]->column] = typed;
  return fmt::format("{}", fmt::join(fields, std::string_view(&columns.separator, 1)));
}

}  // namespace stripwright::cli
