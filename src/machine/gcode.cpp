#include "machine/gcode.h"

#include <fmt/format.h>

#include <algorithm>

#include "machine/ascii.h"
#include "machine/plain.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

/// Ends a comment, begins one, or ends a program; and what some controllers take for a command
/// (hold, go on) wherever it stands. A semicolon becomes a comma.
constexpr std::string_view kUnwanted = "()%!~";
constexpr std::size_t kColumns = 76;
constexpr int kSpindleSeconds = 3;

/// Cuts text at blanks into lines of so many characters; a longer word is cut in two.
std::vector<std::string> lines_of(std::string_view text, std::size_t columns) {
  std::vector<std::string> out;
  std::string line;
  const auto finish = [&] {
    if (!line.empty()) out.push_back(std::move(line));
    line.clear();
  };
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    auto word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (word.empty()) continue;
    if (!line.empty() && line.size() + 1 + word.size() > columns) finish();
    for (; word.size() > columns; word.remove_prefix(columns)) {
      line = word.substr(0, columns);
      finish();
    }
    if (!line.empty()) line += ' ';
    line += word;
  }
  finish();
  return out;
}

class ProgramText {
 public:
  explicit ProgramText(Program const& program) : program_(program) {}

  std::string text() {
    for (auto const& comment : program_.head) out_ += comment_lines(comment);
    begin();
    for (auto const& part : program_.parts) {
      out_ += '\n' + comment_lines(part.heading);
      for (auto const& move : part.moves) go(move);
    }
    out_ += "\nM5\nM2\n";
    return std::move(out_);
  }

 private:
  std::string number(Length l) const {
    return format_number(l, program_.unit, file_decimals(program_.unit));
  }

  void begin() {
    const auto feed = format_fixed(in_unit(program_.feed_per_minute, program_.unit), kFeedDecimals);
    const auto speed = format_fixed(program_.spindle_rpm, kSpindleDecimals);
    plain::require(std::stod(feed) > 0 && std::stod(speed) > 0, "a program without feed or speed");
    out_ += fmt::format("\nG17 {} G40 G49 G54 G80 G90 G94\n",
                        program_.unit == Unit::inch ? "G20" : "G21");
    out_ += comment_lines("exact path: corners are not rounded off") + "G61\n";
    out_ += fmt::format("S{} M3\nG4 P{}\nF{}\n", speed, kSpindleSeconds, feed);
    z_ = number(program_.clear_height);
    out_ += fmt::format("G0 Z{}\n", z_);
  }

  void go(Move const& move) {
    const auto x = number(move.to.x.from_zero());
    const auto z = number(move.to.z);
    const bool along = x != x_, up_or_down = z != z_;
    plain::require(move.at_feed || !(along && up_or_down), "a fast move along two axes");
    if (!along && !up_or_down) return;
    out_ += move.at_feed ? "G1" : "G0";
    if (along) out_ += " X" + x;
    if (x_.empty()) out_ += " Y" + number({});
    if (up_or_down) out_ += " Z" + z;
    out_ += '\n';
    x_ = x;
    z_ = z;
  }

  Program const& program_;
  std::string out_;
  std::string x_, z_;  ///< where the cutter stands, as it was last printed
};

}  // namespace

std::string comment_lines(std::string_view text) {
  std::string out;
  std::string plain = to_ascii(text, kUnwanted);
  std::replace(plain.begin(), plain.end(), ';', ',');
  for (auto const& line : lines_of(plain, kColumns - 4))
    out += fmt::format("({}{})\n", out.empty() ? "" : ". ", line);
  return out;
}

std::string program_text(Program const& program) { return ProgramText(program).text(); }

}  // namespace stripwright::machine
