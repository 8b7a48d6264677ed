#include "machine/ascii.h"

namespace stripwright::machine {

std::string to_ascii(std::string_view text, std::string_view unwanted) {
  std::string out;
  bool in_character = false;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool goes_on = (byte & 0xC0U) == 0x80U && in_character;
    in_character = byte >= 0x80U;
    if (goes_on) continue;
    if (in_character)
      out += '?';
    else if (byte < 0x20U || byte == 0x7FU || unwanted.find(c) != std::string_view::npos)
      out += ' ';
    else
      out += c;
  }
  return out;
}

}  // namespace stripwright::machine
