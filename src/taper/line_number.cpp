#include "taper/line_number.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace stripwright {
namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }
bool letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }
bool between(char c) { return c == ' ' || c == '-' || c == '\n'; }

/// A line's number with nothing of another number about it: one or two digits.
std::string_view number_before(std::string_view text) {
  std::size_t begin = text.size();
  while (begin > 0 && digit(text[begin - 1])) --begin;
  const bool part =
      begin > 0 && (text[begin - 1] == '.' || text[begin - 1] == '/' || letter(text[begin - 1]));
  const auto number = text.substr(begin);
  return part || number.empty() || number.size() > 2 ? std::string_view() : number;
}

std::string before(std::string_view text) {
  while (!text.empty() && between(text.back())) text.remove_suffix(1);
  const auto last = number_before(text);
  if (last.empty()) return {};
  text.remove_suffix(last.size());
  if (!text.ends_with('-')) return std::string(last);
  text.remove_suffix(1);
  const auto first = number_before(text);
  return first.empty() ? std::string(last) : std::string(first) + "-" + std::string(last);
}

std::string behind(std::string_view text) {
  if (!text.starts_with(' ')) return {};
  std::size_t end = 1;
  while (end < text.size() && digit(text[end])) ++end;
  const bool part =
      end + 1 < text.size() && (letter(text[end]) || (text[end] == '.' && digit(text[end + 1])));
  return end == 1 || end > 3 || part ? std::string() : std::string(text.substr(1, end - 1));
}

}  // namespace

std::string line_number(std::string_view about) {
  constexpr std::array<std::string_view, 3> kWords = {"line", "weight", "wt"};
  std::string lower(about);
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  const std::string_view text = lower;
  for (std::size_t at = 0; at < text.size(); ++at)
    for (const auto word : kWords) {
      if (!text.substr(at).starts_with(word)) continue;
      const auto end = at + word.size();
      if ((at > 0 && letter(text[at - 1])) || (end < text.size() && letter(text[end]))) continue;
      if (auto number = before(text.substr(0, at)); !number.empty()) return number;
      if (word != "line") continue;
      if (auto number = behind(text.substr(end)); !number.empty()) return number;
    }
  return {};
}

}  // namespace stripwright
