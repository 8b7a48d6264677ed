#include "diagnostics/utf8.h"

#include <algorithm>
#include <array>
#include <span>

namespace stripwright {
namespace {

/// First and last of a row of characters.
struct Row {
  char32_t first;
  char32_t last;
};

constexpr std::array kControls = {
    Row{0x00, 0x1F},     Row{0x7F, 0x9F},     Row{0x2028, 0x202E},
    Row{0x2066, 0x2069}, Row{0x200E, 0x200F}, Row{0x061C, 0x061C},
};
constexpr std::array kNoColumn = {
    Row{0x0300, 0x036F}, Row{0x200B, 0x200D}, Row{0x20D0, 0x20F0},
    Row{0x3099, 0x309A}, Row{0xFE00, 0xFE0F}, Row{0xFEFF, 0xFEFF},
};
constexpr std::array kTwoColumns = {
    Row{0x1100, 0x115F},   Row{0x2E80, 0x303E},   Row{0x3041, 0x33FF},   Row{0x3400, 0x4DBF},
    Row{0x4E00, 0xA4C6},   Row{0xA960, 0xA97C},   Row{0xAC00, 0xD7A3},   Row{0xF900, 0xFAFF},
    Row{0xFE30, 0xFE6B},   Row{0xFF01, 0xFF60},   Row{0xFFE0, 0xFFE6},   Row{0x1F300, 0x1F64F},
    Row{0x1F900, 0x1F9FF}, Row{0x20000, 0x2FFFD}, Row{0x30000, 0x3FFFD},
};

bool in_any(std::span<const Row> rows, char32_t code) {
  return std::any_of(rows.begin(), rows.end(),
                     [code](Row row) { return code >= row.first && code <= row.last; });
}

/// How many bytes a character has that starts so, and the least code that needs as many.
struct Lead {
  std::size_t bytes;
  char32_t bits;
  char32_t least;
};

Lead lead_of(unsigned byte) {
  if (byte < 0x80U) return {1, byte, 0};
  if (byte >= 0xC0U && byte < 0xE0U) return {2, byte & 0x1FU, 0x80};
  if (byte >= 0xE0U && byte < 0xF0U) return {3, byte & 0x0FU, 0x800};
  if (byte >= 0xF0U && byte < 0xF8U) return {4, byte & 0x07U, 0x10000};
  return {0, 0, 0};
}

}  // namespace

Utf8Character utf8_character(std::string_view text, std::size_t at) {
  if (at >= text.size()) return {};
  const Lead lead = lead_of(static_cast<unsigned char>(text[at]));
  if (lead.bytes == 0 || lead.bytes > text.size() - at) return {};
  char32_t code = lead.bits;
  for (std::size_t i = 1; i < lead.bytes; ++i) {
    const auto byte = static_cast<unsigned char>(text[at + i]);
    if ((byte & 0xC0U) != 0x80U) return {};
    code = (code << 6U) | (byte & 0x3FU);
  }
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (code < lead.least || surrogate || code > 0x10FFFF) return {};
  return {code, lead.bytes};
}

bool is_control(char32_t code) { return in_any(kControls, code); }

std::string printable(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const auto character = utf8_character(text, at);
    if (character.bytes == 0 || is_control(character.code))
      out += '?';
    else
      out += text.substr(at, character.bytes);
    at += std::max<std::size_t>(character.bytes, 1);
  }
  return out;
}

std::size_t columns_of(char32_t code) {
  if (in_any(kNoColumn, code)) return 0;
  return in_any(kTwoColumns, code) ? 2 : 1;
}

}  // namespace stripwright
