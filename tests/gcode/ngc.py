"""Programs in RS-274/NGC: read from their text, and run by an interpreter.

The text is read by a few rules of its own (words, modal G0 and G1), with all its
decimals; the interpreter is Debian's stand-alone `rs274` (package linuxcnc-uspace),
which prints canonical calls with four. Both have to come to the same moves.
"""

import os
import re
import shutil
import subprocess

WORD = re.compile(r"([A-Z])([+-]?[0-9]+(?:\.[0-9]+)?)")
CANON = re.compile(r"\s*\d+\s+N\.*\d*\s+(\w+)\((.*)\)\s*$")
NUMBER = re.compile(r"-?\d+\.\d+")


class Refused(Exception):
    """What is wrong with a program."""


class Move:
    """A straight move; where it begins is the end of the one before (None: not known yet)."""

    def __init__(self, fast, start, end):
        self.fast, self.start, self.end = fast, start, end


def interpreter():
    """The interpreter's path, or None."""
    return shutil.which("rs274")


def run(path, folder):
    """The canonical calls (name, arguments as texts) of a program; Refused if it complains."""
    tools, variables = os.path.join(folder, "t.tbl"), os.path.join(folder, "v.var")
    with open(tools, "w", encoding="ascii"):
        pass
    with open(variables, "w", encoding="ascii") as file:
        file.write("5161 0\n5220 1\n")
    # Two interpreters that start at once may trip over their common memory and die by a signal
    # without a word. That is no verdict on the program: it is run again, a few times at most.
    for _ in range(5):
        done = subprocess.run([interpreter(), "-g", "-t", tools, "-v", variables, path],
                              capture_output=True, text=True, timeout=60, check=False, cwd=folder)
        if done.returncode >= 0:
            break
    said = [line for line in done.stderr.split("\n") if line.strip() not in ("", "executing")]
    if done.returncode != 0 or said:
        raise Refused(f"the interpreter ended with {done.returncode}: {' | '.join(said)[:200]}")
    calls = []
    for line in done.stdout.split("\n"):
        found = CANON.match(line)
        if found:
            calls.append((found[1], [a.strip() for a in found[2].split(",")]))
    return calls


def check_lines(text):
    """What can be said of every line: ASCII, short, one comment or words, no minus nothing."""
    if not text.endswith("\n"):
        raise Refused("no line end at the end")
    for number, line in enumerate(text.split("\n")[:-1], 1):
        if len(line) >= 200 or not all(" " <= c <= "~" for c in line):
            raise Refused(f"line {number}: too long or not plain ASCII")
        if line.startswith("("):
            if not line.endswith(")") or re.search(r"[();%]", line[1:-1]):
                raise Refused(f"line {number}: a comment that is not one: {line}")
            if re.match(r"\(\s*[A-Za-z]+\s*,", line):
                raise Refused(f"line {number}: a comment that is a message or a command: {line}")
        elif line and not re.fullmatch(f"(?:{WORD.pattern})(?: {WORD.pattern})*", line):
            raise Refused(f"line {number}: not words: {line}")
        elif re.search(r"-0+(\.0+)?(?![\d.])", line):
            raise Refused(f"line {number}: minus nothing: {line}")


class Program:
    """A program's text, understood: unit, feed, speed, moves, and the moves of each pass."""

    def __init__(self, text):
        check_lines(text)
        self.unit = self.feed = self.speed = None
        self.spindle = self.ended = False
        self.moves, self.passes, self.modes = [], [], set()
        self._at = {"X": None, "Y": None, "Z": None}
        for line in text.split("\n"):
            if re.match(r"\((Pass \d|The one pass)", line):
                self.passes.append([])
            elif line and not line.startswith("("):
                self._block(line)
        if not self.ended or self.spindle:
            raise Refused("no end of the program, or the spindle still turns there")

    def _block(self, line):
        if self.ended:
            raise Refused("something after the program's end")
        words = WORD.findall(line)
        codes = {letter + number for letter, number in words if letter in "GM"}
        values = {letter: number for letter, number in words if letter not in "GM"}
        self.modes |= codes
        for code, unit in (("G20", "in"), ("G21", "mm")):
            if code in codes:
                self.unit = unit
        if "F" in values:
            self.feed = float(values["F"])
        if "S" in values:
            self.speed = float(values["S"])
        if "M3" in codes:
            self.spindle = True
        if "M5" in codes:
            self.spindle = False
        if "M2" in codes:
            self.ended = True
        if codes & {"G0", "G1"}:
            self._move("G0" in codes, values)
        elif set(values) & set("XYZ"):
            raise Refused(f"a place without a move: {line}")

    def _move(self, fast, values):
        wanted = {"G17", "G40", "G49", "G54", "G80", "G90", "G94", "G61"}
        if self.unit is None or not wanted <= self.modes:
            raise Refused(f"motion before {sorted(wanted - self.modes)} and the unit are set")
        if not (self.spindle and self.speed and self.feed):
            raise Refused("motion before spindle and feed are set")
        start = dict(self._at)
        for letter in "XYZ":
            if letter in values:
                places = {"in": 6, "mm": 5}[self.unit]
                if len(values[letter].partition(".")[2]) != places:
                    raise Refused(f"{letter}{values[letter]} has not {places} decimals")
                self._at[letter] = values[letter]
        if self._at == start:
            raise Refused("a move to where the cutter stands")
        move = Move(fast, start, dict(self._at))
        self.moves.append(move)
        if self.passes:
            self.passes[-1].append(move)


def compare(program, calls):
    """The interpreter's moves against those of the text; Refused if they differ."""
    moves, set_before = [], {}
    for name, arguments in calls:
        if name in ("STRAIGHT_FEED", "STRAIGHT_TRAVERSE"):
            if not moves:
                before_motion = dict(set_before)
            moves.append((name == "STRAIGHT_TRAVERSE", arguments[:3]))
        elif name in ("ARC_FEED", "MESSAGE", "PROGRAM_STOP", "CHANGE_TOOL", "USE_TOOL_LENGTH"):
            raise Refused(f"{name} in the program")
        set_before[name] = arguments
    if len(moves) != len(program.moves):
        raise Refused(f"the interpreter makes {len(moves)} moves of {len(program.moves)}")
    for number, ((fast, place), move) in enumerate(zip(moves, program.moves), 1):
        ours = [float(move.end[letter] or 0) for letter in "XYZ"]
        apart = max(abs(float(a) - b) for a, b in zip(place, ours))
        if fast != move.fast or apart > 0.5001e-4:
            raise Refused(f"move {number}: the interpreter goes to {place}, the text to {ours}")
    units = {"in": "CANON_UNITS_INCHES", "mm": "CANON_UNITS_MM"}
    if before_motion["USE_LENGTH_UNITS"] != [units[program.unit]]:
        raise Refused("the unit before the first motion")
    if not float(before_motion["SET_FEED_RATE"][0]) > 0:
        raise Refused("no feed before the first motion")
    if not float(before_motion["SET_SPINDLE_SPEED"][1]) > 0 or "START_SPINDLE_CLOCKWISE" not in before_motion:
        raise Refused("no spindle before the first motion")
    if before_motion["SET_MOTION_CONTROL_MODE"] != ["CANON_EXACT_PATH"]:
        raise Refused("the path is not exact")
    if "PROGRAM_END" not in set_before or "STOP_SPINDLE_TURNING" not in set_before:
        raise Refused("no end")
