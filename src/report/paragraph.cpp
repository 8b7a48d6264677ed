#include "report/paragraph.h"

#include <algorithm>

namespace stripwright::report {
namespace {

constexpr std::size_t kColumns = 80;

std::size_t width(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

}  // namespace

std::string paragraph(std::string_view text, std::string_view first, std::string_view rest) {
  std::string out;
  std::string line(first);
  bool line_has_word = false;
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    const auto word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (line_has_word && width(line) + 1 + width(word) > kColumns) {
      out += line + '\n';
      line = rest;
      line_has_word = false;
    }
    if (line_has_word) line += ' ';
    line += word;
    line_has_word = true;
  }
  return out + line + '\n';
}

}  // namespace stripwright::report
