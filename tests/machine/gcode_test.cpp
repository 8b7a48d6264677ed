// The writing of programs. What an interpreter says to whole programs is in ../gcode.
#include "machine/gcode.h"

#include <algorithm>
#include <random>
#include <sstream>
#include <stdexcept>

#include "catch.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using profiles::mm;

namespace {

CutterPlace place(double x, double z) { return {MachinePosition(mm(x)), mm(z)}; }

Program small_program(Unit unit) {
  Program program;
  program.unit = unit;
  program.head = {"Rod: Yarrow"};
  program.spindle_rpm = 9000;
  program.feed_per_minute = mm(1016);
  program.clear_height = mm(25.4);
  program.parts = {{"Pass 1 of 2: leaves more",
                    {{false, place(-50.8, 25.4)},
                     {true, place(-50.8, 2.54)},
                     {true, place(127, 5.08)},
                     {true, place(254, 5.08)},
                     {false, place(254, 25.4)}}},
                   {"Pass 2 of 2: the final strip",
                    {{false, place(-50.8, 25.4)}, {true, place(-50.8, -0.00001)}}}};
  return program;
}

}  // namespace

// Words, their order and what has to be set before the first motion: RS-274/NGC, NIST IR 6556,
// sections 3.5 and 3.6; that M2 and not `%` ends the file: its section 3.1.
TEST_CASE("a program states all that counts before it moves, and ends the spindle and itself") {
  CHECK(program_text(small_program(Unit::inch)) == R"((Rod: Yarrow)

G17 G20 G40 G49 G54 G80 G90 G94
(exact path: corners are not rounded off)
G61
S9000 M3
G4 P3
F40.000
G0 Z1.000000

(Pass 1 of 2: leaves more)
G0 X-2.000000 Y0.000000
G1 Z0.100000
G1 X5.000000 Z0.200000
G1 X10.000000
G0 Z1.000000

(Pass 2 of 2: the final strip)
G0 X-2.000000
G1 Z0.000000

M5
M2
)");
  const auto metric = program_text(small_program(Unit::millimetre));
  CHECK(metric.find("G17 G21 G40") != std::string::npos);
  CHECK(metric.find("\nF1016.000\nG0 Z25.40000\n") != std::string::npos);
  CHECK(metric.find("\nG1 X127.00000 Z5.08000\n") != std::string::npos);
}

TEST_CASE("a feed or speed that prints as nothing, and a fast move aslant, are callers' mistakes") {
  auto program = small_program(Unit::inch);
  program.feed_per_minute = mm(0.01);
  CHECK_THROWS_AS(program_text(program), std::logic_error);
  program = small_program(Unit::inch);
  program.spindle_rpm = 0.4;
  CHECK_THROWS_AS(program_text(program), std::logic_error);
  program = small_program(Unit::inch);
  program.parts[0].moves.push_back({false, place(0, 0)});
  CHECK_THROWS_AS(program_text(program), std::logic_error);
}

TEST_CASE("comments keep what can be read and lose what could end them") {
  CHECK(comment_lines("Rod: Yarrow) G0 Z-9 (") == "(Rod: Yarrow G0 Z-9)\n");
  CHECK(comment_lines("Rod: 50 %; light") == "(Rod: 50 , light)\n");
  CHECK(comment_lines("Rod: W\xC3\xBCrz\xE4\xB8\xAD") == "(Rod: W?rz?)\n");
  CHECK(comment_lines("Rod: a\r\nG0 Z-9\nM2\x7F") == "(Rod: a G0 Z-9 M2)\n");
  CHECK(comment_lines("").empty());
  const std::string word(150, 'a');
  CHECK(comment_lines("Rod: " + word) ==
        "(Rod:)\n(. " + std::string(72, 'a') + ")\n(. " + std::string(72, 'a') + ")\n(. aaaaaa)\n");
}

TEST_CASE("whatever bytes a name is made of, its comment stays one") {
  std::mt19937 engine(81);
  for (int run = 0; run < 3000; ++run) {
    std::string name;
    const auto length = engine() % 300;
    while (name.size() < length) {
      // The bytes that matter more often than others.
      static constexpr char kSharp[] = "();%\n\r\xC3\xA9\x80\xFF ";
      name +=
          engine() % 3 == 0 ? kSharp[engine() % (sizeof kSharp - 1)] : static_cast<char>(engine());
    }
    std::istringstream lines(comment_lines("Rod: " + name));
    int count = 0;
    for (std::string line; std::getline(lines, line); ++count) {
      INFO("run " << run << ": " << line);
      REQUIRE(line.size() >= 3);
      REQUIRE(line.size() <= 76);
      REQUIRE(line.front() == '(');
      REQUIRE(line.back() == ')');
      if (count > 0) REQUIRE(line.substr(0, 3) == "(. ");
      const auto inside = line.substr(1, line.size() - 2);
      REQUIRE(inside.find_first_of("();%") == std::string::npos);
      REQUIRE(
          std::all_of(inside.begin(), inside.end(), [](char c) { return c >= ' ' && c <= '~'; }));
    }
    CHECK(count >= 1);
  }
}
