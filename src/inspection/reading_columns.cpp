#include "inspection/reading_columns.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace stripwright::inspection {
namespace {

constexpr std::string_view kHowToHead =
    "strips: strip,at_in,a_in,b_in,c_in; sections: piece,at_in,f1_in,f2_in,f3_in; the groove: "
    "machine_at_in,gauge_in; with _mm for millimetres";

/// A column's word, what it belongs to, and whether it holds lengths.
struct Word {
  std::string_view word;
  std::optional<ReadingKind> kind;  ///< none: of several
  bool lengths = true;
};

constexpr std::array<Word, 15> kWords = {{{"strip", ReadingKind::strips, false},
                                          {"density", ReadingKind::strips, false},
                                          {"mass", ReadingKind::strips, false},
                                          {"piece", ReadingKind::sections, false},
                                          {"section", std::nullopt, false},
                                          {"at", std::nullopt, true},
                                          {"from_end", ReadingKind::strips, true},
                                          {"machine_at", ReadingKind::groove, true},
                                          {"a", ReadingKind::strips, true},
                                          {"b", ReadingKind::strips, true},
                                          {"c", ReadingKind::strips, true},
                                          {"f1", ReadingKind::sections, true},
                                          {"f2", ReadingKind::sections, true},
                                          {"f3", ReadingKind::sections, true},
                                          {"gauge", ReadingKind::groove, true}}};

std::string_view kind_words(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::strips:
      return "strips";
    case ReadingKind::sections:
      return "sections";
    case ReadingKind::groove:
      return "a groove";
  }
  return "";
}

class HeaderReader {
 public:
  HeaderReader(files::SourceText const& source, std::optional<Unit> unit, Problems& problems)
      : source_(source), unit_(unit), problems_(problems) {}

  std::optional<ReadingColumns> read(files::CsvRecord const& header) {
    const auto errors_before = problems_.errors();
    if (!looks_like_a_header(header)) return std::nullopt;
    columns_.count = header.fields.size();
    for (std::size_t i = 0; i < header.fields.size(); ++i) column(header.fields[i], i);
    if (problems_.errors() == errors_before) check_complete(header);
    if (problems_.errors() > errors_before) return std::nullopt;
    return columns_;
  }

 private:
  void refuse(std::size_t offset, std::string what, std::string remedy = std::string(kHowToHead)) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  }

  bool looks_like_a_header(files::CsvRecord const& header) {
    auto const& first = header.fields.front();
    if (first.text.starts_with("format:")) {
      refuse(first.offset, "a YAML file where readings are expected",
             "readings are a table; " + std::string(kHowToHead));
      return false;
    }
    const bool number =
        std::any_of(header.fields.begin(), header.fields.end(),
                    [](auto const& field) { return files::plain_decimal(field.text).has_value(); });
    if (number) refuse(header.offset, "a number where the names of the columns are expected");
    return !number;
  }

  void column(files::CsvField const& field, std::size_t index) {
    auto name = files::trimmed(field.text);
    std::optional<Unit> unit;
    for (const Unit each : {Unit::inch, Unit::millimetre}) {
      const auto suffix = fmt::format("_{}", unit_name(each));
      if (!unit && name.ends_with(suffix)) {
        unit = each;
        name.remove_suffix(suffix.size());
      }
    }
    const auto word =
        std::find_if(kWords.begin(), kWords.end(), [&](Word const& w) { return w.word == name; });
    if (word == kWords.end() || (unit && !word->lengths)) return unknown(field);
    if (std::find(seen_.begin(), seen_.end(), name) != seen_.end())
      return refuse(field.offset, fmt::format("a second column {}", quoted_for_message(name)),
                    "keep one of them");
    seen_.push_back(word->word);
    if (!of_one_kind(field, *word)) return;
    if (name == "density" || name == "mass") {
      if (columns_.density)
        return refuse(field.offset, "density and mass both", "keep one of them");
      columns_.density = index;
      return;
    }
    if (!word->lengths) {
      (name == "section" ? columns_.section : columns_.name) = index;
      return;
    }
    if (!unit && !unit_)
      return refuse(
          field.offset, fmt::format("the column {} says no unit", quoted_for_message(name)),
          fmt::format("name it {0}_in or {0}_mm, or call with --readings-unit in (or mm)", name));
    if (unit && unit_ && *unit != *unit_)
      return refuse(
          field.offset,
          fmt::format("the column {} says {}, but --readings-unit {}",
                      quoted_for_message(field.text), unit_name(*unit), unit_name(*unit_)),
          "leave --readings-unit out: the header says it");
    put(*word, {index, unit ? *unit : *unit_});
  }

  void unknown(files::CsvField const& field) {
    std::vector<std::string> names;
    for (auto const& word : kWords)
      for (const std::string_view suffix : {"", "_in", "_mm"})
        if (word.lengths == !suffix.empty())
          names.push_back(fmt::format("{}{}", word.word, suffix));
    const auto near = nearest_word(files::trimmed(field.text), {names.begin(), names.end()});
    refuse(field.offset, fmt::format("the unknown column {}", quoted_for_message(field.text)),
           near.empty() ? std::string(kHowToHead) : fmt::format("is {} meant?", near));
  }

  bool of_one_kind(files::CsvField const& field, Word const& word) {
    if (!word.kind) return true;
    if (kind_ && *kind_ != *word.kind) {
      refuse(field.offset,
             fmt::format("the column {} of {} in a file of {}", quoted_for_message(field.text),
                         kind_words(*word.kind), kind_words(*kind_)));
      return false;
    }
    kind_ = word.kind;
    return true;
  }

  void put(Word const& word, ReadingColumns::Lengths where) {
    const auto place = [&](PlaceFrom from) {
      columns_.place_from = from;
      columns_.place = where;
      ++places_;
    };
    if (word.word == "at") return place(PlaceFrom::rod_tip);
    if (word.word == "from_end") return place(PlaceFrom::strip_end);
    if (word.word == "machine_at") return place(PlaceFrom::machine_zero);
    const auto heights = heights_of(*word.kind);
    for (std::size_t i = 0; i < heights.size(); ++i)
      if (inspection::word(heights[i]) == word.word) columns_.heights[i] = where;
  }

  void check_complete(files::CsvRecord const& header) {
    const auto missing = [&](std::string_view what) {
      refuse(header.offset, fmt::format("no column {}", what));
    };
    if (!kind_) return missing("says what was measured");
    columns_.kind = *kind_;
    if (*kind_ != ReadingKind::groove && !columns_.name)
      missing(*kind_ == ReadingKind::strips ? "strip" : "piece");
    if (places_ == 0)
      missing(*kind_ == ReadingKind::groove ? "machine_at" : "at");
    else if (places_ > 1)
      refuse(header.offset, "two columns for the place", "keep one of at, from_end and machine_at");
    else if ((*kind_ == ReadingKind::groove) != (columns_.place_from == PlaceFrom::machine_zero))
      missing("machine_at, the place on the machine");
    if (std::none_of(columns_.heights.begin(), columns_.heights.end(),
                     [](auto const& h) { return h.has_value(); }))
      missing("with a reading");
  }

  files::SourceText const& source_;
  std::optional<Unit> unit_;
  Problems& problems_;
  ReadingColumns columns_;
  std::vector<std::string_view> seen_;
  std::optional<ReadingKind> kind_;
  int places_ = 0;
};

}  // namespace

std::optional<ReadingColumns> read_columns(files::SourceText const& source,
                                           std::optional<Unit> unit, Problems& problems) {
  if (!files::check_csv_bytes(source, problems)) return std::nullopt;
  const auto errors_before = problems.errors();
  const char separator = files::csv_separator(source.text());
  files::CsvReader reader(source, problems, 0, separator);
  files::CsvRecord header;
  const bool found = reader.next(header);
  if (problems.errors() > errors_before) return std::nullopt;
  if (!found) {
    problems.add(
        {Severity::error, {source.name(), 0, 0}, "holds no readings", std::string(kHowToHead), {}});
    return std::nullopt;
  }
  auto columns = HeaderReader(source, unit, problems).read(header);
  if (columns) columns->separator = separator;
  return columns;
}

}  // namespace stripwright::inspection
