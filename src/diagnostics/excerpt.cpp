#include "diagnostics/excerpt.h"

#include <algorithm>
#include <vector>

#include "diagnostics/utf8.h"

namespace stripwright {
namespace {

constexpr std::size_t kMostColumns = 100;
constexpr std::string_view kLeftOut = "...";
/// Of a longer line as much is shown before the caret as behind it.
constexpr std::size_t kBeforeCaret = kMostColumns / 2;

struct Shown {
  std::string text;
  std::size_t columns;
};

std::vector<Shown> characters_of(std::string_view line) {
  std::vector<Shown> out;
  for (std::size_t at = 0; at < line.size();) {
    const auto character = utf8_character(line, at);
    const std::size_t bytes = std::max<std::size_t>(character.bytes, 1);
    if (line[at] == '\t')
      out.push_back({" ", 1});
    else if (character.bytes == 0 || is_control(character.code))
      out.push_back({"?", 1});
    else
      out.push_back({std::string(line.substr(at, bytes)), columns_of(character.code)});
    at += bytes;
  }
  return out;
}

std::size_t columns(std::vector<Shown> const& characters, std::size_t from, std::size_t to) {
  std::size_t sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += characters[i].columns;
  return sum;
}

}  // namespace

Excerpt excerpt(std::string_view line, std::size_t before, std::size_t skipped) {
  const auto characters = characters_of(line);
  const std::size_t at = std::min(before - std::min(before, skipped), characters.size());
  std::size_t first = 0;
  std::size_t last = characters.size();
  if (skipped > 0 || columns(characters, 0, last) > kMostColumns) {
    std::size_t columns_before = columns(characters, 0, at);
    while (columns_before > kBeforeCaret) columns_before -= characters[first++].columns;
    const std::size_t room = kMostColumns - (skipped > 0 || first > 0 ? kLeftOut.size() : 0);
    if (columns(characters, first, last) > room) {
      std::size_t used = kLeftOut.size();
      for (last = first; used + characters[last].columns <= room; ++last)
        used += characters[last].columns;
    }
  }
  Excerpt out;
  if (skipped > 0 || first > 0) out.line = kLeftOut;
  out.caret = out.line.size() + columns(characters, first, at);
  for (std::size_t i = first; i < last; ++i) out.line += characters[i].text;
  if (last < characters.size()) out.line += kLeftOut;
  return out;
}

}  // namespace stripwright
