#include "fuzz.h"
#include "machine/gcode.h"

/// Text from files as comments of a program: it cannot break out of them.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  auto lines = std::string_view();
  const auto out = stripwright::machine::comment_lines(fuzz::text(bytes, size));
  lines = out;
  while (!lines.empty()) {
    const auto end = lines.find('\n');
    fuzz::promise(end != std::string_view::npos, "every line is ended");
    const auto line = lines.substr(0, end);
    fuzz::promise(
        line.size() >= 2 && line.size() <= 80 && line.front() == '(' && line.back() == ')',
        "a line is one comment");
    const auto inside = line.substr(1, line.size() - 2);
    for (const char c : inside)
      fuzz::promise(c >= ' ' && c <= '~' && c != '(' && c != ')' && c != ';',
                    "nothing in a comment ends it");
    lines = lines.substr(end + 1);
  }
  return 0;
}
