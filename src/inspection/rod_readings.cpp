#include "inspection/rod_readings.h"

#include <fmt/format.h>

#include <algorithm>

#include "units/format.h"

namespace stripwright::inspection {
namespace {

constexpr std::string_view kHowTo =
    "two columns, station and across flats: at_in,flats_in; or readings: "
    "piece,at_in,f1_in,f2_in,f3_in; with _mm for millimetres";
constexpr std::string_view kNameUnit =
    "name the column with it, at_in, or call with --unit in (or mm)";
constexpr Length kThickest = Length::millimetres(100);

struct Column {
  std::size_t index = 0;
  std::string name;
  Unit unit = Unit::inch;
};

struct Columns {
  std::size_t count = 0;
  std::optional<std::size_t> piece;
  Column at;
  std::vector<Column> flats;
  bool of_sections = false;
};

/// A number, or what is nearly one: no heading.
bool looks_like_a_number(std::string_view text) {
  const auto first = text.find_first_not_of(" -.");
  return first != std::string_view::npos && text[first] >= '0' && text[first] <= '9';
}

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c == '_' ? ' ' : c;
  });
  return out;
}

/// Whether a heading, without its unit, is a word for the station, or for the flats.
bool says_station(std::string_view heading) {
  const auto name = lower(heading);
  return name == "at" || name == "from tip" || name == "position" || name == "x" ||
         name.starts_with("station");
}
bool says_flats(std::string_view heading) {
  const auto name = lower(heading);
  return name.starts_with("flat") || name.starts_with("across") || name == "f" || name == "d" ||
         name.starts_with("diameter");
}

class TableReader {
 public:
  TableReader(files::SourceText const& source, RodTable const& table, Problems& problems)
      : source_(source),
        table_(table),
        problems_(problems),
        separator_(files::csv_separator(source.text())),
        rows_(source, problems, 0, separator_) {}

  std::optional<RodReadings> read() {
    const auto errors_before = problems_.errors();
    files::CsvRecord record;
    if (!rows_.next(record)) {
      if (problems_.errors() == errors_before)
        problems_.add(
            {Severity::error, {source_.name(), 0, 0}, "holds no rows", std::string(kHowTo), {}});
      return std::nullopt;
    }
    const bool headings = std::none_of(record.fields.begin(), record.fields.end(),
                                       [](auto const& f) { return looks_like_a_number(f.text); });
    find_columns(record, headings);
    if (problems_.errors() > errors_before) return std::nullopt;
    if (!headings) row(record);
    while (rows_.next(record)) row(record);
    check_pieces();
    if (problems_.errors() == errors_before && out_.readings.empty())
      refuse(record.offset, "no row with a reading", std::string(kHowTo));
    if (problems_.errors() > errors_before) return std::nullopt;
    count_from_the_tip();
    if (problems_.errors() == errors_before && !columns_.of_sections) refuse_duplicates();
    if (problems_.errors() > errors_before) return std::nullopt;
    out_.unit = columns_.at.unit;
    out_.of_sections = columns_.of_sections;
    return std::move(out_);
  }

 private:
  void refuse(std::size_t offset, std::string what, std::string remedy) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  }

  std::optional<Column> column(files::CsvRecord const& head, std::size_t index, bool headings) {
    Column out;
    out.index = index;
    std::optional<Unit> unit;
    if (headings) {
      const auto name = files::column_name(head.fields[index].text);
      out.name = name.name;
      unit = name.unit;
    } else {
      out.name = fmt::format("column {}", index + 1);
    }
    if (unit && table_.unit && *unit != *table_.unit) {
      refuse(head.fields[index].offset,
             fmt::format("the column says {}, but --unit {}", unit_name(*unit),
                         unit_name(*table_.unit)),
             "leave --unit out: the heading says it");
      return std::nullopt;
    }
    if (!unit && !table_.unit) {
      refuse(head.fields[index].offset,
             headings ? fmt::format("the column {} says no unit", quoted_for_message(out.name))
                      : "columns without headings, and no unit",
             std::string(kNameUnit));
      return std::nullopt;
    }
    out.unit = unit ? *unit : *table_.unit;
    return out;
  }

  /// The column of a name, with its unit or without, or of a number.
  std::optional<std::size_t> index_of(files::CsvRecord const& head, std::string const& wanted,
                                      bool headings) {
    const auto count = head.fields.size();
    if (headings)
      for (std::size_t i = 0; i < count; ++i)
        if (head.fields[i].text == wanted || files::column_name(head.fields[i].text).name == wanted)
          return i;
    const auto number = parse_number(wanted);
    if (number && *number.value >= 1 && *number.value <= static_cast<double>(count) &&
        *number.value == static_cast<double>(static_cast<std::size_t>(*number.value)))
      return static_cast<std::size_t>(*number.value) - 1;
    std::vector<std::string_view> names;
    for (auto const& field : head.fields) names.push_back(field.text);
    refuse(head.offset, fmt::format("no column {}", quoted_for_message(wanted)),
           headings ? fmt::format("its columns are {}", fmt::join(names, ", "))
                    : fmt::format("it has columns 1 to {}", count));
    return std::nullopt;
  }

  std::optional<std::size_t> named(files::CsvRecord const& head, std::string_view name) const {
    for (std::size_t i = 0; i < head.fields.size(); ++i)
      if (files::column_name(head.fields[i].text).name == name) return i;
    return std::nullopt;
  }

  /// Of two columns: the first is headed as the flats, or the second as the station, and neither
  /// heading says otherwise.
  static bool the_other_way(files::CsvRecord const& head) {
    const auto first = files::column_name(head.fields[0].text).name;
    const auto second = files::column_name(head.fields[1].text).name;
    return (says_flats(first) || says_station(second)) && !says_station(first) &&
           !says_flats(second);
  }

  void find_columns(files::CsvRecord const& head, bool headings) {
    columns_.count = head.fields.size();
    if (head.fields.front().text.starts_with("format:"))
      return refuse(head.offset, "a YAML file where a table is expected", std::string(kHowTo));
    const auto use = [&](std::size_t at, std::vector<std::size_t> const& flats) {
      if (const auto found = column(head, at, headings)) columns_.at = *found;
      for (const auto i : flats)
        if (const auto found = column(head, i, headings)) columns_.flats.push_back(*found);
    };
    if (!table_.columns.empty()) {
      const auto at = index_of(head, table_.columns[0], headings);
      const auto flats = index_of(head, table_.columns[1], headings);
      if (at && flats && *at == *flats)
        return refuse(head.offset, "one column for both, station and flats", std::string(kHowTo));
      if (at && flats) use(*at, {*flats});
      return;
    }
    std::vector<std::size_t> flats;
    for (const std::string_view name : {"f1", "f2", "f3"})
      if (const auto found = headings ? named(head, name) : std::nullopt) flats.push_back(*found);
    const auto at = headings ? named(head, "at") : std::nullopt;
    if (!flats.empty() && at) {
      columns_.of_sections = true;
      columns_.piece = named(head, "piece");
      return use(*at, flats);
    }
    if (head.fields.size() == 2) return headings && the_other_way(head) ? use(1, {0}) : use(0, {1});
    refuse(head.offset,
           fmt::format("{} columns, and none of them said to be station and flats",
                       head.fields.size()),
           head.fields.size() == 1
               ? "separate the columns by commas, tabs or semicolons"
               : fmt::format("say which with --columns, by name or number; or head them so: {}",
                             kHowTo));
  }

  std::optional<Length> length(files::CsvField const& field, Column const& column) {
    const auto parsed = files::csv_length(field.text, column.unit);
    if (parsed) return *parsed.value;
    refuse(field.offset, parsed.fault, parsed.remedy);
    return std::nullopt;
  }

  void row(files::CsvRecord const& record) {
    if (record.fields.size() != columns_.count)
      return refuse(record.offset,
                    fmt::format("not as many fields as columns: {}, and not {}",
                                record.fields.size(), columns_.count),
                    separator_ == ',' && record.fields.size() > columns_.count
                        ? "if commas stand in the numbers, write points; else separate the columns "
                          "by semicolons"
                        : "each row has a field for each column, be it empty");
    const auto at = length(record.fields[columns_.at.index], columns_.at);
    const std::string piece(columns_.piece ? record.fields[*columns_.piece].text
                                           : std::string_view());
    if (std::find(out_.pieces.begin(), out_.pieces.end(), piece) == out_.pieces.end())
      out_.pieces.push_back(piece);
    if (columns_.piece && !table_.pieces.empty() &&
        std::find(table_.pieces.begin(), table_.pieces.end(), piece) == table_.pieces.end())
      return;
    for (auto const& column : columns_.flats) {
      auto const& field = record.fields[column.index];
      if (columns_.of_sections && field.text.find_first_not_of(" \t") == std::string_view::npos)
        continue;
      const auto flats = length(field, column);
      if (flats && (*flats <= Length{} || *flats > kThickest))
        refuse(field.offset,
               fmt::format("{} across flats is out of its range (above 0, up to 100 mm)",
                           quoted_for_message(field.text)),
               "check the figure and its unit");
      else if (flats && at)
        out_.readings.push_back({Station(*at), *flats, piece, column.name, field.offset});
    }
  }

  void check_pieces() {
    for (auto const& wanted : table_.pieces)
      if (std::find(out_.pieces.begin(), out_.pieces.end(), wanted) == out_.pieces.end())
        problems_.error(fmt::format("--piece {}: no row has it", quoted_for_message(wanted)),
                        columns_.piece ? fmt::format("there are {}", fmt::join(out_.pieces, ", "))
                                       : "the table has no column piece");
    if (!table_.pieces.empty()) out_.pieces = table_.pieces;
  }

  void count_from_the_tip() {
    auto& readings = out_.readings;
    if (table_.from_butt) {
      const auto farthest =
          std::max_element(readings.begin(), readings.end(),
                           [](auto const& a, auto const& b) { return a.at < b.at; });
      const auto given = parse_length(table_.length, columns_.at.unit);
      if (!table_.length.empty() && !given)
        return problems_.error("--length " + given.fault, given.remedy);
      const Length rod = given.value.value_or(farthest->at.from_zero());
      if (farthest->at.from_zero() > rod + kSamePlace)
        refuse(farthest->offset,
               fmt::format("{} from the butt end, beyond the tip end of a rod of {}",
                           format_short(farthest->at.from_zero(), columns_.at.unit),
                           format_short(rod, columns_.at.unit)),
               "check --length");
      for (auto& each : readings) each.at = Station(rod - each.at.from_zero());
    }
    std::stable_sort(readings.begin(), readings.end(),
                     [](auto const& a, auto const& b) { return a.at < b.at; });
  }

  void refuse_duplicates() {
    for (std::size_t i = 1; i < out_.readings.size(); ++i) {
      auto const& first = out_.readings[i - 1];
      auto const& second = out_.readings[i];
      if (same_place(first.at, second.at))
        refuse(
            second.offset,
            fmt::format("the station {} a second time, first in line {}",
                        format_short(second.at.from_zero(), columns_.at.unit),
                        source_.place(first.offset).line),
            "keep one of the two rows; for several readings at a station head the columns piece, "
            "at and f1");
    }
  }

  files::SourceText const& source_;
  RodTable const& table_;
  Problems& problems_;
  char separator_;
  files::CsvReader rows_;
  Columns columns_;
  RodReadings out_;
};

}  // namespace

std::optional<RodReadings> read_rod(files::SourceText const& source, RodTable const& table,
                                    Problems& problems) {
  if (!files::check_csv_bytes(source, problems)) return std::nullopt;
  return TableReader(source, table, problems).read();
}

}  // namespace stripwright::inspection
