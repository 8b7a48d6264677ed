#include "files/yaml_brackets.h"

#include <algorithm>

namespace stripwright::files {
namespace {

/// The comments of a stretch that stay.
struct Comments {
  std::string of_line;           ///< on the line that the stretch begins in, with the blanks before
  std::vector<std::string> own;  ///< on lines of their own
  bool any = false;              ///< those that go counted, too
};

/// A comment goes with what is taken out where nothing else stands on its line, as it does where
/// each entry has a line.
Comments comments_in(std::string_view text, BracketStretch const& stretch) {
  Comments out;
  bool later_line = false;
  bool entry_on_line = false;
  std::size_t blanks = 0;
  auto next_out = stretch.out.begin();
  for (auto at = stretch.begin; at < stretch.end; ++at) {
    if (next_out != stretch.out.end() && at == next_out->begin) {
      const auto entry = text.substr(at, next_out->end - at);
      later_line |= entry.find('\n') != std::string_view::npos;
      entry_on_line = true;
      at = next_out++->end - 1;
      blanks = 0;
      continue;
    }
    if (text[at] == '#') {
      out.any = true;
      const auto end = std::min(text.find_first_of("\r\n", at), stretch.end);
      const auto comment = std::string(text.substr(at, end - at));
      if (!later_line)
        out.of_line = std::string(std::max<std::size_t>(blanks, 1), ' ') + comment;
      else if (!entry_on_line)
        out.own.push_back(comment);
      at = end - 1;
    } else if (text[at] == '\n') {
      later_line = true;
      entry_on_line = false;
    }
    blanks = text[at] == ' ' ? blanks + 1 : 0;
  }
  return out;
}

std::string on_lines(std::string_view text, BracketStretch const& stretch, Comments comments) {
  const std::string indent(stretch.indent, ' ');
  std::string out = stretch.first || (stretch.last && stretch.in.empty()) ? "" : ",";
  out += comments.of_line;
  for (std::size_t i = 0; i < stretch.in.size(); ++i) {
    const bool at_end = stretch.last && i + 1 == stretch.in.size();
    out.append(stretch.line_end).append(indent).append(stretch.in[i]).append(at_end ? "" : ",");
  }
  for (auto const& comment : comments.own) out.append(stretch.line_end).append(indent + comment);
  out += stretch.line_end;
  if (!stretch.last) return out + indent;
  // The closing bracket stays where it stood, if it had a line of its own.
  const auto line = text.rfind('\n', stretch.end - 1) + 1;
  const auto before = text.substr(line, stretch.end - line);
  return out +
         (before.find_first_not_of(' ') == std::string_view::npos ? std::string(before) : indent);
}

}  // namespace

std::string rewritten(std::string_view text, BracketStretch const& stretch) {
  auto comments = comments_in(text, stretch);
  if (comments.any) return on_lines(text, stretch, std::move(comments));
  std::string out;
  for (auto const& entry : stretch.in) out += (stretch.first && out.empty() ? "" : ", ") + entry;
  const bool alone = stretch.first && stretch.in.empty();
  return out + (stretch.last || alone ? "" : ", ");
}

}  // namespace stripwright::files
