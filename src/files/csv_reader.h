#pragma once

#include <array>
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/source_text.h"
#include "units/parse.h"

namespace stripwright::files {

/// One field of a record: its text without the quotes round it, doubled quotes made single.
struct CsvField {
  std::string_view text;
  std::size_t offset = 0;  ///< of its first byte in the source, the opening quote if it has one
};

/// One record: a line, or several where a quoted field holds line ends.
struct CsvRecord {
  std::vector<CsvField> fields;
  std::size_t offset = 0;  ///< of its first byte in the source
  std::size_t end = 0;     ///< behind its last byte, the line end left out
};

/// Reads comma separated values record by record, by RFC 4180: fields in quotes may hold
/// commas, line ends and doubled quotes; blanks belong to the field; the last line end may be
/// missing. Beyond it: lines may end in LF alone, a byte order mark, blank lines and lines
/// that begin with `#` are skipped; another separator may stand in for the comma.
///
/// A record that breaks the rules (a quote inside an unquoted field, something behind a
/// closing quote, a quote that is never closed, a carriage return that ends no line) is told
/// by its line, left out, and reading goes on at the next line.
class CsvReader {
 public:
  /// Begins at a byte where a record begins. Source and problems have to live as long as the
  /// reader and its records.
  CsvReader(SourceText const& source, Problems& problems, std::size_t begin = 0,
            char separator = ',');

  /// Reads the next record, its memory used again; false at the end.
  bool next(CsvRecord& record);

 private:
  enum class FieldEnd { field, record, fault };

  bool skip_unread_lines();
  bool read_record(CsvRecord& record);
  FieldEnd read_plain(CsvRecord& record);
  FieldEnd read_quoted(CsvRecord& record);
  FieldEnd end_field();
  FieldEnd refuse(std::size_t offset, std::string what, std::string remedy);

  SourceText const& source_;
  Problems& problems_;
  std::string_view text_;
  char separator_;
  std::array<bool, 256> stops_plain_field_;  // the bytes that end it or may not stand in it
  std::size_t at_ = 0;
  std::size_t record_end_ = 0;
  std::deque<std::string> unquoted_;  // texts that had doubled quotes
};

/// True if the bytes are text as `check_bytes` wants it, and as fast as it goes for the plain
/// ASCII that such files are made of.
bool check_csv_bytes(SourceText const& source, Problems& problems);

/// A field's text without the blanks round it.
std::string_view trimmed(std::string_view text);

/// The value of a decimal of up to 15 digits, blanks round it: `0.0345`, `.5`, `12`, `-3.1`.
/// The same to the last bit as the grammar of lengths gives. Nothing for whatever else, be it
/// right or wrong: that is for the grammar to say.
std::optional<double> plain_decimal(std::string_view text);

/// The length in a field, by the one grammar, with a short way for plain decimals.
Parsed<Length> csv_length(std::string_view text, std::optional<Unit> bare_number_unit);

/// A column's name without its unit, and the unit: `at_in`, `flats (mm)`, `at in`.
struct ColumnName {
  std::string_view name;
  std::optional<Unit> unit;
};
ColumnName column_name(std::string_view heading);

/// What separates the columns of a text, by its first line that is no remark: the first tab or
/// semicolon outside quotes, else a comma.
char csv_separator(std::string_view text);

/// The text as a field of a record that is written: in quotes, quotes in it doubled.
std::string csv_quoted(std::string_view text);

}  // namespace stripwright::files
