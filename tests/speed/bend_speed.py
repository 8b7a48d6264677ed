#!/usr/bin/python3
"""What `bend` takes, as ratios measured in one run.

    bend_speed.py --program stripwright --empty EMPTY_PROGRAM [--runs N]

A rod of 20 stations: `bend` with its pictures and its table, in which the sensitivity of every
station is (40 bent rods); and the same with readings of all stations, which adds a picture, and
the sensitivity of every place to every station that was read. Against the start of an empty
program linked to the same libraries, and each other. Exit status 1 beyond what is promised: 50 ms
for a bend with its pictures; 200 ms with the readings' uncertainty carried through 20 stations;
5 times the time for twice the stations (each is
another bent rod, of as many more pieces).
"""

import argparse
import os
import pathlib
import statistics
import sys
import tempfile

from setup_speed import seconds

SOURCE = pathlib.Path(__file__).resolve().parents[2]


def interleaved(commands, runs):
    """The median of each, measured turn and turn about so that all see the same machine, and the
    fastest: what it takes where nothing else runs."""
    taken = {name: [] for name in commands}
    for _ in range(runs):
        for name, command in commands.items():
            taken[name].append(seconds(command, os.getcwd()))
    return ({name: statistics.median(times) for name, times in taken.items()},
            {name: min(times) for name, times in taken.items()})


def write_rod(stations):
    """A taper and readings of strips at all its stations."""
    places = [95 * i / (stations - 1) for i in range(stations)]
    flats = [0.07 + 0.25 * x / 95 for x in places]
    lines = ["format: stripwright-taper-1", "unit: in", "taper:"]
    lines += [f"  {x:.6f}: {d:.6f}" for x, d in zip(places, flats)]
    pathlib.Path(f"rod{stations}.yaml").write_text("\n".join(lines) + "\n")
    rows = ["strip,at_in,a_in,b_in,c_in"]
    for strip in range(6):
        rows += [f"s{strip},{x:.6f}," + ",".join([f"{d / 2 + 0.0004 * (strip % 3 - 1):.4f}"] * 3)
                 for x, d in zip(places, flats)]
    pathlib.Path(f"rod{stations}.csv").write_text("\n".join(rows) + "\n")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--empty", required=True)
    parser.add_argument("--runs", type=int, default=40)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    empty = str(pathlib.Path(options.empty).resolve())
    os.environ["STRIPWRIGHT_PROFILES"] = str(SOURCE / "profiles")
    failed = []

    def line(what, value, limit, unit):
        print(f"{what:<58}{value:10.2f} {unit:<6} (promised {limit:g})")
        if value > limit:
            failed.append(what)

    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        commands = {"empty": [empty]}
        for stations in (20, 40):
            write_rod(stations)
            bend = [program, "bend", f"rod{stations}.yaml", "--shop", "saltmarsh-lane", "--line", "5", "--out"]
            commands[f"bend, {stations}"] = [*bend, f"bent{stations}"]
            commands[f"readings, {stations}"] = [*bend, f"read{stations}", "--readings", f"rod{stations}.csv"]
        medians, fastest = interleaved(commands, options.runs)
    for name, median in medians.items():
        print(f"{name:<14} {median * 1e3:7.1f} ms, fastest {fastest[name] * 1e3:7.1f} ms, "
              f"{median / medians['empty']:6.1f} times the empty program")
    line("bend with its pictures, 20 stations", fastest["bend, 20"] * 1e3, 50, "ms")
    line("the same with readings carried through", fastest["readings, 20"] * 1e3, 200, "ms")
    line("twice the stations", medians["bend, 40"] / medians["bend, 20"], 5, "times")
    if failed:
        print("beyond what is promised: " + "; ".join(failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
