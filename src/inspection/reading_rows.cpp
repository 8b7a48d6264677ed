#include "inspection/reading_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <unordered_map>

namespace stripwright::inspection {
namespace {

constexpr std::size_t kLongestName = 100;
constexpr std::size_t kMostSections = 200;

class RowReader {
 public:
  RowReader(files::SourceText const& source, ReadingColumns const& columns,
            SectionChoice const& choice, std::string_view nameless, Problems& problems)
      : source_(source),
        columns_(columns),
        choice_(choice),
        nameless_(nameless),
        problems_(problems) {
    check_internal(choice.sections.size() < kMostSections,
                   "more sections than a row can tell apart");
  }

  ReadingRows read() {
    files::CsvReader reader(source_, problems_, 0, columns_.separator);
    files::CsvRecord record;
    reader.next(record);  // the header
    while (reader.next(record)) {
      ++out_.seen;
      ReadingRow row;
      if (fill(record, row)) out_.rows.push_back(row);
    }
    return std::move(out_);
  }

 private:
  void refuse(std::size_t offset, std::string what, std::string remedy = {}) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  }

  /// False if the row is bad or not asked for.
  bool fill(files::CsvRecord const& record, ReadingRow& row) {
    if (record.fields.size() != columns_.count) {
      const bool more = record.fields.size() > columns_.count;
      refuse(record.offset,
             fmt::format("{} fields under {} columns", record.fields.size(), columns_.count),
             more && columns_.separator == ',' ? "is there a decimal comma? write a point"
             : more                            ? "each row has a field for each column"
             : columns_.separator == ','       ? "leave fields empty, but keep their commas"
                                         : "leave fields empty, but keep what separates them");
      return false;
    }
    row.offset = static_cast<std::uint32_t>(record.offset);
    bool good = name(record, row);
    bool asked_for = true;
    good = section(record, row, asked_for) && good;
    if (!asked_for) {
      ++out_.left_out;
      return false;
    }
    auto const& place = record.fields[columns_.place.column];
    if (const auto length = read(place, columns_.place.unit))
      row.place = *length;
    else
      good = false;
    return values(record, row) && good;
  }

  bool name(files::CsvRecord const& record, ReadingRow& row) {
    auto text = nameless_;
    std::size_t offset = record.offset;
    if (columns_.name) {
      text = files::trimmed(record.fields[*columns_.name].text);
      offset = record.fields[*columns_.name].offset;
    }
    // Rows of one strip mostly stand together.
    if (!out_.names.empty() && out_.names[last_name_] == text) {
      row.name = last_name_;
      return true;
    }
    if (text.empty() || text.size() > kLongestName ||
        text.find_first_of("\r\n") != std::string_view::npos) {
      refuse(offset,
             text.empty() ? "a reading of no name"
                          : "a name that is longer than a line or 100 characters",
             "give each strip a short name of its own");
      return false;
    }
    const auto found = by_name_.find(text);
    if (found != by_name_.end()) {
      row.name = last_name_ = found->second;
      return true;
    }
    row.name = last_name_ = static_cast<std::uint32_t>(out_.names.size());
    by_name_.emplace(out_.names.emplace_back(text), row.name);
    return true;
  }

  bool section(files::CsvRecord const& record, ReadingRow& row, bool& asked_for) {
    if (!columns_.section) return true;
    auto const& field = record.fields[*columns_.section];
    const auto text = files::trimmed(field.text);
    if (text.empty()) return true;
    auto const& sections = choice_.sections;
    const auto found = std::find_if(sections.begin(), sections.end(), [&](Targets const* each) {
      return each->section().name == text;
    });
    if (found != sections.end()) {
      row.section = static_cast<std::uint8_t>(found - sections.begin());
      return true;
    }
    asked_for =
        std::find(choice_.left_out.begin(), choice_.left_out.end(), text) == choice_.left_out.end();
    if (!asked_for) return true;
    std::vector<std::string_view> names;
    for (auto const* each : sections) names.push_back(each->section().name);
    refuse(field.offset, fmt::format("the taper has no section {}", quoted_for_message(text)),
           fmt::format("its sections are {}", fmt::join(names, ", ")));
    return false;
  }

  std::optional<Length> read(files::CsvField const& field, Unit unit) {
    auto parsed = files::csv_length(field.text, unit);
    if (!parsed) refuse(field.offset, std::move(parsed.fault), std::move(parsed.remedy));
    return parsed.value;
  }

  bool values(files::CsvRecord const& record, ReadingRow& row) {
    bool good = true;
    bool any = false;
    row.values.fill(Length::millimetres(std::numeric_limits<double>::quiet_NaN()));
    for (std::size_t i = 0; i < kMostHeights; ++i) {
      auto const& column = columns_.heights[i];
      if (!column) continue;
      auto const& field = record.fields[column->column];
      if (files::trimmed(field.text).empty()) continue;
      any = true;
      const auto length = read(field, column->unit);
      if (length) row.values[i] = *length;
      good = good && length;
    }
    if (!any) refuse(record.offset, "a row without a reading", "fill it in, or take the row out");
    return good && any;
  }

  files::SourceText const& source_;
  ReadingColumns const& columns_;
  SectionChoice const& choice_;
  std::string_view nameless_;
  Problems& problems_;
  ReadingRows out_;
  std::unordered_map<std::string_view, std::uint32_t> by_name_;  // views into out_.names
  std::uint32_t last_name_ = 0;
};

}  // namespace

ReadingRows read_rows(files::SourceText const& source, ReadingColumns const& columns,
                      SectionChoice const& choice, std::string_view nameless, Problems& problems) {
  return RowReader(source, columns, choice, nameless, problems).read();
}

}  // namespace stripwright::inspection
