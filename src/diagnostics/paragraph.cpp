#include "diagnostics/paragraph.h"

#include <algorithm>

namespace stripwright {
namespace {

constexpr std::size_t kColumns = 80;

std::size_t width(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

bool is_unit(std::string_view word) {
  while (!word.empty() &&
         (word.back() == '.' || word.back() == ',' || word.back() == ';' || word.back() == ':'))
    word.remove_suffix(1);
  return word == "in" || word == "mm" || word == "%";
}

bool ends_in_digit(std::string_view word) {
  return !word.empty() && word.back() >= '0' && word.back() <= '9';
}

/// The length of the next piece that is not to be broken: a word, or a figure and its unit.
std::size_t next_piece(std::string_view text) {
  const auto end = std::min(text.find(' '), text.size());
  if (end == text.size() || !ends_in_digit(text.substr(0, end))) return end;
  const auto after = text.substr(end + 1);
  const auto second = after.substr(0, std::min(after.find(' '), after.size()));
  return is_unit(second) ? end + 1 + second.size() : end;
}

}  // namespace

std::string paragraph(std::string_view text, std::string_view first, std::string_view rest) {
  std::string out;
  std::string line(first);
  bool line_has_word = false;
  while (!text.empty()) {
    const auto end = next_piece(text);
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

}  // namespace stripwright
