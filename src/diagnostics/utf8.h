#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace stripwright {

/// A character of a UTF-8 text; of no bytes if there is none: an end cut off, a stray
/// byte, an overlong form, a surrogate, or beyond U+10FFFF (RFC 3629).
struct Utf8Character {
  char32_t code = 0;
  std::size_t bytes = 0;
};

/// The character that starts at a byte of the text.
Utf8Character utf8_character(std::string_view text, std::size_t at);

/// True for what a text of ours has no use for and a terminal might obey: control
/// characters (C0 and C1, line feed and tab as well), the marks that turn the
/// direction of writing, and the separators of lines and paragraphs.
bool is_control(char32_t code);

/// The text for a terminal: what is a control character or no UTF-8 shown as `?`.
std::string printable(std::string_view text);

/// Columns that a terminal gives to a character: 2 to the wide ones of East Asia, none to
/// marks that stand on the character before, 1 to all others. From the ranges of Unicode's
/// East Asian Width (UAX 11), as far as everyday writing needs them.
std::size_t columns_of(char32_t code);

}  // namespace stripwright
