#include "inspection/one_cause.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "inspection/impossible.h"

namespace stripwright::inspection {
namespace {

constexpr std::size_t kFewest = 6;
constexpr double kNearlyAll = 0.9;

bool nearly_all(std::size_t some, std::size_t of) {
  return some >= kFewest && static_cast<double>(some) >= kNearlyAll * static_cast<double>(of);
}

/// The number that was written, as one of another column's unit.
Length under(Length value, Unit written, Unit other) {
  return of_unit(in_unit(value, written), other);
}

/// Whether a value can be the place of a reading, and the row's place what was read there.
bool fits_swapped(ReadFile const& file, ReadingRow const& row, std::size_t height) {
  auto const& columns = file.columns;
  const Unit of_place = columns.place.unit;
  const Unit of_height = columns.heights[height]->unit;
  const Length place = under(row.values[height], of_height, of_place);
  const Length value = under(row.place, of_place, of_height);
  return std::any_of(file.sections.begin(), file.sections.end(), [&](Targets const* targets) {
    const Station at =
        columns.place_from == PlaceFrom::strip_end ? targets->first() + place : Station(place);
    if (at < targets->first() - kSamePlace || at > targets->last() + kSamePlace) return false;
    const auto wanted = targets->at(at)[height];
    return wanted && can_be(value, wanted->value);
  });
}

/// The height whose column is swapped with that of the places, if one is.
std::optional<std::size_t> swapped_with_places(ReadFile const& file) {
  if (file.columns.kind == ReadingKind::groove) return std::nullopt;
  for (std::size_t h = 0; h < kMostHeights; ++h) {
    std::size_t read = 0;
    std::size_t fit = 0;
    for (auto const& row : file.rows.rows) {
      if (!has(row, h)) continue;
      ++read;
      if (fits_swapped(file, row, h)) ++fit;
    }
    if (nearly_all(fit, read)) return h;
  }
  return std::nullopt;
}

/// Where a column's name stands.
std::size_t heading_at(ReadFile const& file, std::size_t column) {
  Problems none;
  files::CsvReader reader(file.source, none, 0, file.columns.separator);
  files::CsvRecord header;
  return reader.next(header) && column < header.fields.size() ? header.fields[column].offset : 0;
}

Problem swapped(ReadFile const& file, std::size_t height) {
  const auto place = file.columns.place_from == PlaceFrom::strip_end ? "from_end" : "at";
  const auto word = inspection::word(heights_of(file.columns.kind)[height]);
  return file.source.problem(
      heading_at(file, file.columns.place.column),
      fmt::format("are the columns {} and {} swapped? what stands under {} fits as places, and "
                  "what stands under {} as heights",
                  place, word, word, place),
      "name each column by what stands under it");
}

/// The lines that have an error, as far as they were kept.
std::size_t bad_lines(Problems const& found) {
  std::set<std::size_t> lines;
  for (auto const& each : found.list())
    if (each.severity == Severity::error) lines.insert(each.place.line);
  return lines.size();
}

/// `a_in, b_in and c_in`, if the cause is that the numbers are of the other unit.
std::string other_heads(std::string const& remedy, ReadingColumns const& columns) {
  const bool inches = remedy.starts_with("a number in inches ");
  if (!inches && !remedy.starts_with("a number in millimetres ")) return {};
  std::vector<std::string> names;
  for (std::size_t h = 0; h < kMostHeights; ++h)
    if (columns.heights[h])
      names.push_back(fmt::format("{}_{}", inspection::word(heights_of(columns.kind)[h]),
                                  unit_name(inches ? Unit::inch : Unit::millimetre)));
  return fmt::format(" then head the columns {}", fmt::join(names, ", "));
}

/// The way out that nearly all problems have, if there is such a one.
std::string common_remedy(Problems const& found) {
  std::map<std::string, std::size_t> remedies;
  std::size_t errors = 0;
  for (auto const& each : found.list()) {
    if (each.severity != Severity::error) continue;
    ++errors;
    if (!each.remedy.empty()) ++remedies[each.remedy];
  }
  for (auto const& [remedy, count] : remedies)
    if (nearly_all(count, errors)) return remedy;
  return {};
}

}  // namespace

void add_once(Problems const& found, ReadFile const& file, Problems& problems) {
  const std::size_t rows = file.rows.seen;
  const bool all_were_kept = found.errors() <= found.list().size();
  const bool most_are_bad = nearly_all(all_were_kept ? bad_lines(found) : found.errors(), rows);
  if (!most_are_bad) return problems.add_all(found);
  if (const auto height = swapped_with_places(file)) return problems.add(swapped(file, *height));
  const auto remedy = common_remedy(found);
  if (remedy.empty()) return problems.add_all(found);
  std::optional<Problem> first;
  std::size_t others = 0;
  for (auto const& each : found.list()) {
    if (each.severity != Severity::error || each.remedy != remedy) {
      ++others;
      problems.add(each);
    } else if (!first || each.place.line < first->place.line) {
      first = each;
    }
  }
  const std::size_t more = found.errors() - std::min(found.errors(), others + 1);
  first->what += fmt::format("; and {} more, in nearly all rows, are wrong in the same way", more);
  first->remedy += other_heads(remedy, file.columns);
  problems.add(std::move(*first));
}

}  // namespace stripwright::inspection
