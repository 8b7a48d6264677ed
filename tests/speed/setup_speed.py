#!/usr/bin/python3
"""What `setup` takes, as ratios measured in one run.

    setup_speed.py --program stripwright --empty EMPTY_PROGRAM [--runs N]

Against the start of /bin/true and of an empty program linked to the same libraries, and
how time grows from a taper of 10,000 stations to one of 100,000. Exit status 1 if a
ratio is beyond what is promised: 10 times /bin/true or the empty program, 16 MB, 1.5 s for 100,000
stations, 12 times the time for 10 times the stations. (Of the instructions 30 in 100 make the
sheet and its pictures, 29 the digests of what is read and written, 25 read the YAML.)
"""

import argparse
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

SOURCE = pathlib.Path(__file__).resolve().parents[2]


def seconds(command, folder):
    begin = time.perf_counter()
    # vfork and exec, no shell: what is measured is the program's own start and run.
    child = os.posix_spawn(command[0], command, os.environ,
                           file_actions=[(os.POSIX_SPAWN_OPEN, 1, "/dev/null", os.O_WRONLY, 0)])
    _, status = os.waitpid(child, 0)
    taken = time.perf_counter() - begin
    if os.waitstatus_to_exitcode(status) != 0:
        raise SystemExit(f"{command}: exit status {os.waitstatus_to_exitcode(status)} in {folder}")
    return taken


def interleaved(commands, runs, folder):
    """The median of each, measured turn and turn about so that all see the same machine."""
    taken = {name: [] for name in commands}
    for _ in range(runs):
        for name, command in commands.items():
            taken[name].append(seconds(command, folder))
    return {name: statistics.median(times) for name, times in taken.items()}


def long_taper(stations):
    lines = ["format: stripwright-taper-1", "unit: in", "taper:"]
    lines += [f"  {i * 90 / stations:.6f}: {0.07 + 0.25 * i / stations:.6f}" for i in range(stations)]
    return "\n".join(lines) + "\nsections:\n  tip: {from: 0, to: 45}\n  butt: {from: 45, to: 89}\n"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--empty", required=True)
    parser.add_argument("--runs", type=int, default=300)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    empty = str(pathlib.Path(options.empty).resolve())
    failed = []

    def line(what, value, limit, unit):
        print(f"{what:<58}{value:10.2f} {unit:<6} (promised {limit:g})")
        if value > limit:
            failed.append(what)

    os.environ["STRIPWRIGHT_PROFILES"] = str(SOURCE / "profiles")
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        setup = [program, "setup", "yarrow", "--shop", "saltmarsh-lane", "--machine", "steel form"]
        times = interleaved({"true": ["/bin/true"], "empty": [empty], "setup": setup}, options.runs, folder)
        print(f"/bin/true {times['true'] * 1e3:.2f} ms, empty program {times['empty'] * 1e3:.2f} ms, "
              f"setup with all files {times['setup'] * 1e3:.2f} ms")
        line("setup against /bin/true", times["setup"] / times["true"], 10, "times")
        line("setup against an empty program of the same libraries", times["setup"] / times["empty"], 10, "times")
        peak = int(subprocess.run(["/usr/bin/env", "python3", "-c",
                                   "import resource,subprocess,sys;subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL);"
                                   "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)", *setup],
                                  capture_output=True, text=True, check=True).stdout)
        line("peak memory of setup", peak / 1024, 16, "MB")
        growth = {}
        for count in (10_000, 100_000):
            pathlib.Path(f"long-{count}.yaml").write_text(long_taper(count))
            growth[count] = min(seconds([program, "setup", f"long-{count}.yaml", "--out", f"o{count}"], folder) for _ in range(3))
        line("a taper of 100,000 stations", growth[100_000], 1.5, "s")
        line("ten times the stations", growth[100_000] / growth[10_000], 12, "times")
    if failed:
        print("beyond what is promised: " + "; ".join(failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
