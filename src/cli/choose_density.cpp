#include "cli/choose.h"
#include "files/csv_reader.h"
#include "units/parse.h"

namespace stripwright::cli {
std::map<std::string, double> read_densities(files::SourceText const& source,
                                             inspection::ReadingColumns const& columns,
                                             Problems& problems) {
  std::map<std::string, double> out;
  if (!columns.density || !columns.name) return out;
  // What is wrong with the file otherwise is for the reader of readings to tell.
  Problems not_ours;
  files::CsvReader reader(source, not_ours, 0, columns.separator);
  files::CsvRecord record;
  if (!reader.next(record)) return out;  // the header
  while (reader.next(record)) {
    if (record.fields.size() <= std::max(*columns.density, *columns.name)) continue;
    auto const& field = record.fields[*columns.density];
    if (files::trimmed(field.text).empty()) continue;
    const auto value = parse_number(field.text);
    if (!value || *value.value <= 0)
      problems.add(source.problem(field.offset,
                                  value ? "a density that is not above 0" : value.fault,
                                  "write density or mass as a plain number, or leave it empty"));
    else
      out[std::string(files::trimmed(record.fields[*columns.name].text))] = *value.value;
  }
  return out;
}

}  // namespace stripwright::cli
