#!/usr/bin/python3
"""What judging a million readings takes, against mawk counting the same limits.

    bulk_readings.py --program stripwright [--runs N]

A file of 333,334 rows with three heights each is judged by `check --summary`; mawk reads the
same file and compares each value with the same limits, from tables that it is given. Both are
run turn and turn about and have to find the same counts. Exit status 1 if they do not, or if
`check` takes a second or more, 200 MB or more, as long as mawk or longer, or more than 12 times
of what a tenth of the file takes.
"""

import argparse
import csv
import os
import pathlib
import random
import re
import statistics
import subprocess
import sys
import tempfile
import time

SOURCE = pathlib.Path(__file__).resolve().parents[2]
ROWS = 333_334
NORMAL = statistics.NormalDist()

# Columns strip,at,a,b,c. Of each station and height: up to `thin`, from `thick` on, and right from
# `low` to `high`; all else is unsure.
COUNT = r"""
BEGIN { FS = "," }
NR == FNR { thin[$1, $2] = $3 + 0; low[$1, $2] = $4 + 0; high[$1, $2] = $5 + 0; thick[$1, $2] = $6 + 0; next }
FNR == 1 { next }
{
  for (i = 3; i <= 5; ++i) {
    side = i == 3 ? "a" : "b"
    v = $i + 0
    if (v >= low[$2, side] && v <= high[$2, side]) ++right
    else if (v >= thick[$2, side]) ++over
    else if (v <= thin[$2, side]) ++under
    else ++unsure
  }
}
END { print right + 0, over + 0, under + 0, unsure + 0 }
"""


def judge(program, options, readings):
    command = [program, "check", "yarrow", str(readings), "--shop", "saltmarsh-lane", "--section", "tip"]
    return subprocess.run(command + options, capture_output=True, text=True, cwd=SOURCE, check=False)


def guard(width, u):
    """How far inside its limit a reading has to be to be right with 95 %."""
    nearest, farthest = 0.0, width / 2
    for _ in range(200):
        middle = (nearest + farthest) / 2
        p = NORMAL.cdf(middle / u) - NORMAL.cdf(-(width - middle) / u)
        nearest, farthest = (middle, farthest) if p < 0.95 else (nearest, middle)
    return farthest


def limits(program, folder):
    """Targets and limits of each station, as the program itself tells them."""
    stations = [5 * i for i in range(10)]
    probe = folder / "probe.csv"
    probe.write_text("strip,at_in,a_in,b_in,c_in\n"
                     + "".join(f"s,{x},{0.038 + x * 0.0016:.4f},{0.038 + x * 0.0016:.4f},{0.038 + x * 0.0016:.4f}\n"
                               for x in stations))
    told = judge(program, ["--format", "csv"], probe)
    if told.returncode == 2:
        raise SystemExit(told.stderr)
    u = (0.0003 ** 2 + 0.0005 ** 2 / 12) ** 0.5  # Saltmarsh Lane's caliper
    beyond = NORMAL.inv_cdf(0.95) * u
    out = {}
    for row in csv.DictReader(told.stdout.splitlines()):
        low, high = float(row["low_in"]), float(row["high_in"])
        inside = guard(high - low, u)
        key = (round(float(row["at_in"])), "a" if row["height"] == "a" else "b")
        out[key] = (float(row["target_in"]), low - beyond, low + inside, high - inside, high + beyond)
    return out


def write_readings(path, rows, known):
    random.seed(20250318)
    with open(path, "w", encoding="ascii") as out:
        out.write("strip,at_in,a_in,b_in,c_in\n")
        for i in range(rows):
            station = 5 * (i % 10)
            strip = 0.0012 * ((i // 10) % 7 - 3) / 3
            values = (known[station, side][0] + strip + random.gauss(0, 0.0003) for side in "abb")
            out.write(f"s{i // 10},{station}," + ",".join(f"{round(v * 2000) / 2000:.4f}" for v in values) + "\n")


def timed(command, output):
    """Seconds, peak memory in MB, and what was printed."""
    begin = time.perf_counter()
    with open(output, "wb") as out:
        child = os.posix_spawnp(command[0], command, os.environ,
                                file_actions=[(os.POSIX_SPAWN_DUP2, out.fileno(), 1)])
        _, status, usage = os.wait4(child, 0)
    taken = time.perf_counter() - begin
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(f"{command[0]}: exit status {os.waitstatus_to_exitcode(status)}")
    return taken, usage.ru_maxrss / 1024, pathlib.Path(output).read_text(encoding="utf-8")


def counts_told(text):
    line = re.search(r"^Readings +\d+: *(\d+) right, *(\d+) thick, *(\d+) thin, *(\d+) unsure", text, re.M)
    return [int(each) for each in line.groups()]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--runs", type=int, default=9)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    os.chdir(SOURCE)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        known = limits(program, folder)
        whole, tenth = folder / "whole.csv", folder / "tenth.csv"
        write_readings(whole, ROWS, known)
        write_readings(tenth, ROWS // 10, known)
        table = folder / "limits.csv"
        table.write_text("".join(f"{at},{side},{thin!r},{low!r},{high!r},{thick!r}\n"
                                 for (at, side), (_, thin, low, high, thick) in known.items()))
        judged = [program, "check", "yarrow", str(whole), "--shop", "saltmarsh-lane", "--section", "tip", "--summary"]
        commands = {"check": judged, "tenth": [str(tenth) if each == str(whole) else each for each in judged],
                    "mawk": ["mawk", COUNT, str(table), str(whole)]}
        taken = {each: [] for each in commands}
        memory = {each: 0.0 for each in commands}
        printed = {}
        for _ in range(options.runs):
            for each, command in commands.items():
                seconds, megabytes, printed[each] = timed(command, folder / "out")
                taken[each].append(seconds)
                memory[each] = max(memory[each], megabytes)
        medians = {each: statistics.median(times) for each, times in taken.items()}
        found, wanted = counts_told(printed["check"]), [int(each) for each in printed["mawk"].split()]
        size = whole.stat().st_size / 1e6
    print(f"{3 * ROWS} readings in {size:.1f} MB: right, thick, thin, unsure {found}")
    for each, median in medians.items():
        print(f"{each:6} {median:.3f} s (fastest {min(taken[each]):.3f}), {memory[each]:.0f} MB")
    print(f"check takes {medians['check'] / medians['mawk']:.2f} of mawk's time, "
          f"{medians['check'] / medians['tenth']:.1f} times that of a tenth of the rows")
    failed = {"other counts than mawk's": found != wanted, "a second or more": medians["check"] >= 1,
              "200 MB or more": memory["check"] >= 200, "not ahead of mawk": medians["check"] >= medians["mawk"],
              "not linear": medians["check"] > 12 * medians["tenth"]}
    for what, is_so in failed.items():
        if is_so:
            print(f"FAILED: {what}" + (f": {wanted}" if what.startswith("other") else ""))
    return 1 if any(failed.values()) else 0


if __name__ == "__main__":
    sys.exit(main())
