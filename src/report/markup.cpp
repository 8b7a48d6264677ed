#include "report/markup.h"

namespace stripwright::report {

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      case '\n':
      case '\t':
        out += c;
        break;
      default: {
        const auto byte = static_cast<unsigned char>(c);
        out += byte < 0x20U || byte == 0x7FU ? '?' : c;
      }
    }
  }
  return out;
}

}  // namespace stripwright::report
