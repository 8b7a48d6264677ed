#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "machine/travel.h"
#include "units/unit.h"

namespace stripwright::machine {

/// Decimals of feed and spindle speed in a program; lengths have the unit's file decimals.
inline constexpr int kFeedDecimals = 3;
inline constexpr int kSpindleDecimals = 0;

/// A stretch of a program: moves under a comment.
struct ProgramPart {
  std::string heading;
  std::vector<Move> moves;  ///< begins and ends at clear height; fast moves go along one axis
};

/// What a program in RS-274/NGC (NIST IR 6556) is written from. X is the place along the machine,
/// Y stays 0, Z is the height of the cutter's lowest point.
struct Program {
  Unit unit = Unit::inch;
  std::vector<std::string> head;  ///< comments on top
  double spindle_rpm = 0;
  Length feed_per_minute;
  Length clear_height;
  std::vector<ProgramPart> parts;
};

/// The program's text: ASCII, no line over 200 characters, plain decimals without -0. States
/// unit, plane, absolute coordinates, feed a minute and exact path; starts the spindle and sets the
/// feed before the first motion, which is up to clear height; ends with M5 and M2. Feed and speed
/// have to be above 0 as they are printed, and a fast move along both axes is none:
/// std::logic_error.
std::string program_text(Program const& program);

/// Text as comments, in lines of at most 76 characters. It cannot end the comment or begin
/// another: parentheses, `%` and what some controllers act on anywhere become blanks, `;` a comma,
/// what is not ASCII a question mark. Controllers take some first words of a comment for a message
/// or a command: the text has to begin with words of ours, not of a file; further lines begin with
/// a dot.
std::string comment_lines(std::string_view text);

}  // namespace stripwright::machine
