#include <fmt/format.h>

#include <algorithm>

#include "cli/choose.h"
#include "files/csv_reader.h"

namespace stripwright::cli {
namespace {

std::string_view trimmed(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  return text;
}

/// Where a field stands in its record's text, the comma before it or behind it included.
struct Stretch {
  std::size_t from;
  std::size_t to;
};

Stretch stretch_of(files::CsvRecord const& record, std::size_t column) {
  auto const& fields = record.fields;
  if (column + 1 < fields.size()) return {fields[column].offset, fields[column + 1].offset};
  return {column == 0 ? fields[column].offset : fields[column].offset - 1, record.end};
}

}  // namespace

ReadingsWithDensity take_out_density(files::SourceText source, Problems& problems) {
  // What is wrong with the file otherwise is for the reader of readings to tell.
  Problems not_ours;
  files::CsvReader reader(source, not_ours);
  files::CsvRecord record;
  std::size_t density = 0;
  std::size_t strip = 0;
  const auto column = [&](auto matches) {
    return static_cast<std::size_t>(
        std::find_if(record.fields.begin(), record.fields.end(),
                     [&](auto const& field) { return matches(trimmed(field.text)); }) -
        record.fields.begin());
  };
  if (reader.next(record)) {
    density = column([](auto name) { return name == "density" || name == "mass"; });
    strip = column([](auto name) { return name == "strip"; });
  }
  if (density == record.fields.size() || strip == record.fields.size())
    return {std::move(source), {}};
  std::map<std::string, double> densities;
  std::string rest(source.text());
  std::vector<Stretch> taken = {stretch_of(record, density)};
  while (reader.next(record)) {
    if (record.fields.size() <= std::max(density, strip)) continue;
    taken.push_back(stretch_of(record, density));
    auto const& field = record.fields[density];
    if (trimmed(field.text).empty()) continue;
    const auto value = parse_number(field.text);
    if (!value || *value.value <= 0)
      problems.add(source.problem(field.offset,
                                  value ? "a density that is not above 0" : value.fault,
                                  "write density or mass as a plain number, or leave it empty"));
    else
      densities[std::string(trimmed(record.fields[strip].text))] = *value.value;
  }
  for (auto stretch = taken.rbegin(); stretch != taken.rend(); ++stretch)
    rest.erase(stretch->from, stretch->to - stretch->from);
  return {files::SourceText(source.name(), std::move(rest)), std::move(densities)};
}

}  // namespace stripwright::cli
