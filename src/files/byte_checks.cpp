#include <fmt/format.h>

#include "diagnostics/utf8.h"
#include "files/source_text.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kLongestLine = 1'000'000;
constexpr char32_t kByteOrderMark = 0xFEFF;

struct Fault {
  std::string what;
  std::string_view remedy;
};

bool is_plain(unsigned char byte) { return byte >= 0x20U && byte < 0x7FU; }

/// What is wrong with the character at a byte; its length if nothing is.
std::optional<Fault> fault_at(std::string_view text, std::size_t at, std::size_t& length) {
  constexpr std::string_view kNotText = "the file is not plain text; save it as UTF-8 text";
  const auto byte = static_cast<unsigned char>(text[at]);
  const auto character = utf8_character(text, at);
  length = character.bytes;
  if (length == 0)
    return Fault{fmt::format("a byte that is not UTF-8 (0x{:02X})", byte),
                 "save the file as UTF-8 text"};
  if (byte == '\n' || byte == '\t') return std::nullopt;
  if (byte == '\r') {
    if (text.substr(at).starts_with("\r\n")) return std::nullopt;
    return Fault{"a carriage return without a line feed", "save the file with usual line ends"};
  }
  if (byte == 0) return Fault{"a NUL byte", kNotText};
  if (character.code < 0xA0 && is_control(character.code))
    return Fault{fmt::format("a control character (0x{:02X})", std::uint32_t{character.code}),
                 kNotText};
  if (character.code == kByteOrderMark)
    return Fault{"a byte order mark inside the text", "delete it; it does not show in an editor"};
  return std::nullopt;
}

}  // namespace

bool check_bytes(SourceText const& source, Problems& problems) {
  const auto text = source.text();
  std::size_t line_start = 0;
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte == '\n') line_start = i + 1;
    if (i - line_start >= kLongestLine && byte != '\n') {
      problems.add(source.problem(line_start, "a line of over 1 MB", "is this the right file?"));
      return false;
    }
    std::size_t length = 1;
    if (!is_plain(byte)) {
      if (const auto fault = fault_at(text, i, length)) {
        problems.add(source.problem(i, fault->what, std::string(fault->remedy)));
        return false;
      }
    }
    i += length;
  }
  return true;
}

bool check_indents(SourceText const& source, Problems& problems) {
  const auto text = source.text();
  bool clean = true;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    const auto line = text.substr(start, end - start);
    const std::size_t content = std::min(line.find_first_not_of(" \t\r"), line.size());
    const std::size_t tab = line.find('\t');
    if (tab < content && content < line.size()) {
      add_problem(problems, source, start + tab, "a tab in the indent", "indent with blanks");
      clean = false;
    }
    start = end + 1;
  }
  return clean;
}

}  // namespace stripwright::files
