#include "diagnostics/excerpt.h"

#include "catch.h"
#include "diagnostics/utf8.h"

using namespace stripwright;

namespace {

/// The column that a terminal shows each character of a text in is not its byte: this
/// counts columns of the text up to the first `mark`.
std::size_t column_of(std::string_view text, std::string_view mark) {
  const auto at = text.find(mark);
  REQUIRE(at != std::string_view::npos);
  std::size_t columns = 0;
  for (std::size_t i = 0; i < at;) {
    const auto character = utf8_character(text, i);
    REQUIRE(character.bytes > 0);
    columns += columns_of(character.code);
    i += character.bytes;
  }
  return columns;
}

std::size_t columns_in(std::string_view text) { return column_of(std::string(text) + "\n", "\n"); }

}  // namespace

TEST_CASE("a short line is shown as it is") {
  const auto shown = excerpt("  0: 0,068", 5);
  CHECK(shown.line == "  0: 0,068");
  CHECK(shown.caret == 5);
  CHECK(excerpt("", 0).caret == 0);
  CHECK(excerpt("ab", 2).caret == 2);
  // A place beyond the end is the end.
  CHECK(excerpt("ab", 200).caret == 2);
}

TEST_CASE("the caret counts columns, not bytes") {
  // Two bytes and one column; three bytes and two columns; a mark over its letter.
  CHECK(excerpt("\xC3\xBC: !", 3).caret == 3);
  CHECK(excerpt("\xE7\xAB\xB9: !", 3).caret == 4);
  CHECK(excerpt("u\xCC\x88: !", 4).caret == 3);
  CHECK(excerpt("a\tb!", 3).caret == 3);
  CHECK(excerpt("a\tb!", 3).line == "a b!");
  CHECK(excerpt("a\x1b[b!\x7f", 4).line == "a?[b!?");
  CHECK(excerpt("a\xFF!", 2).line == "a?!");
  CHECK(excerpt("a\xFF!", 2).caret == 2);
}

TEST_CASE("a long line is cut to 100 columns around the caret") {
  std::string line;
  for (int i = 0; i < 500; ++i) line += static_cast<char>('a' + i % 26);
  for (const std::size_t before :
       {0U, 1U, 49U, 50U, 51U, 99U, 100U, 250U, 449U, 452U, 453U, 499U, 500U}) {
    INFO("caret before character " << before);
    auto marked = line;
    if (before < line.size()) marked[before] = '!';
    const auto shown = excerpt(marked, before);
    CHECK(shown.line.size() <= 100);
    if (before < line.size()) CHECK(column_of(shown.line, "!") == shown.caret);
    if (before == line.size()) CHECK(shown.caret == shown.line.size());
    CHECK(shown.line.starts_with("...") == (before > 50));
    CHECK(shown.line.ends_with("...") == (before < 453));
  }
  CHECK(excerpt(line.substr(0, 100), 99).line == line.substr(0, 100));
  CHECK(excerpt(line.substr(0, 101), 0).line == line.substr(0, 97) + "...");
}

TEST_CASE("wide characters are cut by columns as well") {
  std::string line;
  for (int i = 0; i < 300; ++i) line += "\xE7\xAB\xB9";
  for (const std::size_t before : {0U, 24U, 25U, 26U, 150U, 299U}) {
    INFO("caret before character " << before);
    auto marked = line;
    marked.replace(3 * before, 3, "!");
    const auto shown = excerpt(marked, before);
    CHECK(columns_in(shown.line) <= 100);
    CHECK(column_of(shown.line, "!") == shown.caret);
  }
}

TEST_CASE("a line of which only the part around the caret is there") {
  std::string part(300, 'x');
  part[150] = '!';
  const auto shown = excerpt(part, 10'150, 10'000);
  CHECK(shown.line.size() <= 100);
  CHECK(shown.line.starts_with("..."));
  CHECK(shown.line.ends_with("..."));
  CHECK(column_of(shown.line, "!") == shown.caret);
}

TEST_CASE("what is UTF-8 and what is not") {
  // RFC 3629, section 3: the ranges of each length, overlong forms, surrogates, the end at
  // U+10FFFF (from memory).
  struct Row {
    std::string_view bytes;
    std::size_t length;
    char32_t code;
  };
  using namespace std::string_view_literals;
  for (const auto& [bytes, length, code] : {Row{"A", 1, 'A'},
                                            Row{"\0"sv, 1, 0},
                                            Row{"\x7F", 1, 0x7F},
                                            Row{"\x80", 0, 0},
                                            Row{"\xBF", 0, 0},
                                            Row{"\xC0\x80", 0, 0},
                                            Row{"\xC1\xBF", 0, 0},
                                            Row{"\xC2\x80", 2, 0x80},
                                            Row{"\xDF\xBF", 2, 0x7FF},
                                            Row{"\xC3", 0, 0},
                                            Row{"\xC3(", 0, 0},
                                            Row{"\xE0\x9F\xBF", 0, 0},
                                            Row{"\xE0\xA0\x80", 3, 0x800},
                                            Row{"\xE2\x88\x9A", 3, 0x221A},
                                            Row{"\xED\x9F\xBF", 3, 0xD7FF},
                                            Row{"\xED\xA0\x80", 0, 0},
                                            Row{"\xED\xBF\xBF", 0, 0},
                                            Row{"\xEE\x80\x80", 3, 0xE000},
                                            Row{"\xEF\xBF\xBF", 3, 0xFFFF},
                                            Row{"\xE2\x88", 0, 0},
                                            Row{"\xF0\x8F\xBF\xBF", 0, 0},
                                            Row{"\xF0\x90\x80\x80", 4, 0x10000},
                                            Row{"\xF4\x8F\xBF\xBF", 4, 0x10FFFF},
                                            Row{"\xF4\x90\x80\x80", 0, 0},
                                            Row{"\xF5\x80\x80\x80", 0, 0},
                                            Row{"\xF8\x88\x80\x80\x80", 0, 0},
                                            Row{"\xFF", 0, 0},
                                            Row{"", 0, 0}}) {
    INFO("code " << static_cast<unsigned>(code) << ", first byte "
                 << (bytes.empty() ? 0 : static_cast<unsigned char>(bytes[0])));
    const auto character = utf8_character(bytes, 0);
    CHECK(character.bytes == length);
    CHECK(character.code == code);
  }
  CHECK(utf8_character("ab", 2).bytes == 0);
}

TEST_CASE("columns of everyday characters") {
  // Unicode 15, EastAsianWidth.txt: W and F are two columns (from memory).
  CHECK(columns_of('a') == 1);
  CHECK(columns_of(0xFC) == 1);
  CHECK(columns_of(0x2033) == 1);
  CHECK(columns_of(0x7AF9) == 2);
  CHECK(columns_of(0x304B) == 2);
  CHECK(columns_of(0xAC00) == 2);
  CHECK(columns_of(0xFF11) == 2);
  CHECK(columns_of(0x1F3A3) == 2);
  CHECK(columns_of(0x301) == 0);
  CHECK(columns_of(0x200B) == 0);
  CHECK(columns_of(0xFE0F) == 0);
}
