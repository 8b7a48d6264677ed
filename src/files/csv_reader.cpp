#include "files/csv_reader.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace stripwright::files {
namespace {

constexpr std::size_t kLongestLine = 1'000'000;
constexpr std::size_t kLineEnd = std::string_view::npos;

bool is_blank(char c) { return c == ' ' || c == '\t'; }

/// The bytes that end a plain field or may not stand in one.
std::array<bool, 256> stops_of(char separator) {
  std::array<bool, 256> stops{};
  for (const char c : {separator, '\n', '\r', '"'}) stops[static_cast<unsigned char>(c)] = true;
  return stops;
}

}  // namespace

CsvReader::CsvReader(SourceText const& source, Problems& problems, std::size_t begin,
                     char separator)
    : source_(source),
      problems_(problems),
      text_(source.text()),
      separator_(separator),
      stops_plain_field_(stops_of(separator)),
      at_(begin) {}

/// Passes blank lines and remarks; false where nothing is left.
bool CsvReader::skip_unread_lines() {
  while (at_ < text_.size()) {
    std::size_t first = at_;
    while (first < text_.size() && is_blank(text_[first])) ++first;
    if (first == text_.size()) return false;
    const char c = text_[first];
    const bool blank_line = c == '\n' || (c == '\r' && text_.substr(first, 2) == "\r\n");
    if (!blank_line && c != '#') return true;
    const auto end = text_.find('\n', first);
    if (end == kLineEnd) return false;
    at_ = end + 1;
  }
  return false;
}

bool CsvReader::next(CsvRecord& record) {
  while (skip_unread_lines())
    if (read_record(record)) return true;
  return false;
}

bool CsvReader::read_record(CsvRecord& record) {
  record.fields.clear();
  record.offset = at_;
  auto end = FieldEnd::field;
  while (end == FieldEnd::field)
    end = at_ < text_.size() && text_[at_] == '"' ? read_quoted(record) : read_plain(record);
  record.end = record_end_;
  return end == FieldEnd::record;
}

CsvReader::FieldEnd CsvReader::read_plain(CsvRecord& record) {
  const std::size_t begin = at_;
  while (at_ < text_.size() && !stops_plain_field_[static_cast<unsigned char>(text_[at_])]) ++at_;
  record.fields.push_back({text_.substr(begin, at_ - begin), begin});
  if (at_ < text_.size() && text_[at_] == '"')
    return refuse(at_, "a quote inside a field that does not begin with one",
                  "if it is the mark for inch, write in; else put the whole field in quotes and "
                  "double those inside");
  return end_field();
}

CsvReader::FieldEnd CsvReader::read_quoted(CsvRecord& record) {
  const std::size_t opening = at_++;
  std::size_t begin = at_;
  std::string* joined = nullptr;
  for (;;) {
    const auto quote = text_.find('"', at_);
    if (quote == kLineEnd)
      return refuse(opening, "a quote that is never closed", "close it, or take it out");
    at_ = quote + 1;
    const bool doubled = at_ < text_.size() && text_[at_] == '"';
    if (!doubled) {
      auto piece = text_.substr(begin, quote - begin);
      if (joined) piece = joined->append(piece);
      record.fields.push_back({piece, opening});
      break;
    }
    if (!joined) joined = &unquoted_.emplace_back();
    joined->append(text_.substr(begin, at_ - begin));
    begin = ++at_;
  }
  const bool ends =
      at_ == text_.size() || text_[at_] == separator_ || text_[at_] == '\n' || text_[at_] == '\r';
  if (!ends)
    return refuse(at_, "something behind the closing quote of a field",
                  "a field is either wholly in quotes or not at all; double the quotes inside");
  return end_field();
}

/// What stands behind a field: a comma, a line end or the end of the text.
CsvReader::FieldEnd CsvReader::end_field() {
  record_end_ = at_;
  if (at_ == text_.size()) return FieldEnd::record;
  const char c = text_[at_++];
  if (c == separator_) return FieldEnd::field;
  if (c == '\n') return FieldEnd::record;
  if (at_ < text_.size() && text_[at_] == '\n') {
    ++at_;
    return FieldEnd::record;
  }
  return refuse(at_ - 1, "a carriage return that ends no line",
                "save the file with LF or CRLF line ends");
}

/// Tells the fault and goes on at the line after the one it stands in.
CsvReader::FieldEnd CsvReader::refuse(std::size_t offset, std::string what, std::string remedy) {
  problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  const auto end = text_.find('\n', offset);
  at_ = end == kLineEnd ? text_.size() : end + 1;
  return FieldEnd::fault;
}

ColumnName column_name(std::string_view heading) {
  const auto trim = [&](std::string_view blanks) {
    while (!heading.empty() && blanks.find(heading.back()) != std::string_view::npos)
      heading.remove_suffix(1);
  };
  while (heading.starts_with(' ')) heading.remove_prefix(1);
  trim(" ");
  const auto whole = heading;
  trim(" )]");
  for (const Unit unit : {Unit::inch, Unit::millimetre}) {
    const auto word = unit_name(unit);
    if (!heading.ends_with(word) || heading.size() == word.size()) continue;
    const char before = heading[heading.size() - word.size() - 1];
    if (std::string_view(" _([").find(before) == std::string_view::npos) continue;
    heading.remove_suffix(word.size());
    trim(" _([,");
    return {heading, unit};
  }
  return {whole, std::nullopt};
}

char csv_separator(std::string_view text) {
  while (!text.empty()) {
    const auto line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));
    const auto first = line.find_first_not_of(" \t\r");
    if (first == std::string_view::npos || line[first] == '#') continue;
    bool quoted = false;
    for (const char c : line) {
      if (c == '"') quoted = !quoted;
      if (!quoted && (c == '\t' || c == ';')) return c;
    }
    break;
  }
  return ',';
}

std::string_view trimmed(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  return text;
}

bool check_csv_bytes(SourceText const& source, Problems& problems) {
  const auto text = source.text();
  unsigned odd = 0;
  // Without branches, so that the compiler takes many bytes at a time.
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool control = byte < 0x20U && byte != '\n' && byte != '\r' && byte != '\t';
    odd |= static_cast<unsigned>(control) | static_cast<unsigned>(byte >= 0x7FU);
  }
  // A line that is longer than that covers a whole stretch of half its length.
  bool long_lines = false;
  constexpr std::size_t kStretch = kLongestLine / 2;
  for (std::size_t at = 0; at + kStretch <= text.size() && !long_lines; at += kStretch)
    long_lines = text.substr(at, kStretch).find('\n') == kLineEnd;
  return odd == 0 && !long_lines ? true : check_bytes(source, problems);
}

// With m the digits as a whole number and k the digits behind the point, the value is m / 10^k.
// Both are whole numbers below 2^53, so exact as doubles, and a division of exact numbers is
// rounded once, to the nearest double: what a correct decimal conversion gives, too.
std::optional<double> plain_decimal(std::string_view text) {
  static constexpr std::array<double, 16> kPowersOfTen = {
      1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  const char* at = text.data();
  const char* end = at + text.size();
  while (at != end && *at == ' ') ++at;
  while (at != end && end[-1] == ' ') --end;
  const bool negative = at != end && *at == '-';
  if (negative) ++at;
  // One digit more than can be used shows that there are too many.
  constexpr std::ptrdiff_t kMostDigits = 15;
  std::int64_t m = 0;
  std::ptrdiff_t count = 0;
  const auto take_digits = [&] {
    while (at != end && *at >= '0' && *at <= '9' && count <= kMostDigits) {
      m = m * 10 + (*at++ - '0');
      ++count;
    }
  };
  const bool leading_zero = at != end && *at == '0';
  take_digits();
  if (leading_zero && count > 1) return std::nullopt;
  std::ptrdiff_t k = 0;
  if (at != end && *at == '.') {
    ++at;
    const auto whole_digits = count;
    take_digits();
    k = count - whole_digits;
  }
  if (at != end || count == 0 || count > kMostDigits) return std::nullopt;
  const double value = static_cast<double>(m) / kPowersOfTen[static_cast<std::size_t>(k)];
  return negative ? -value : value;
}

Parsed<Length> csv_length(std::string_view text, std::optional<Unit> bare_number_unit) {
  // A million of either unit is beyond what is read at all.
  constexpr double kGreatest = 10'000;
  if (bare_number_unit)
    if (const auto count = plain_decimal(text);
        count && *count <= kGreatest && *count >= -kGreatest)
      return {of_unit(*count, *bare_number_unit), {}, {}};
  return parse_length(text, bare_number_unit);
}

std::string csv_quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

}  // namespace stripwright::files
