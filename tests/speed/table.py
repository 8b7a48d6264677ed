#!/usr/bin/python3
"""All benchmarks in one run, as a table in Markdown for docs/checked.md.

    table.py --build DIR

DIR is a build folder of the preset `release`. Each row is a ratio of two things measured right
after one another on this machine, so that it says something on another machine too; seconds and
milliseconds are beside it. `choose` is left to choose_speed.py where there is no cbc. For figures
that count the machine should have nothing else to do.
"""

import argparse
import pathlib
import re
import statistics
import subprocess
import sys
import tempfile
import time

HERE = pathlib.Path(__file__).resolve().parent
SOURCE = HERE.parents[1]
SETUP = ["setup", "yarrow", "--shop", "saltmarsh-lane", "--machine", "steel form"]


def output(call):
    done = subprocess.run([str(part) for part in call], stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    return done.stdout.decode()


def seconds(call, folder, environment, runs):
    taken = []
    for _ in range(runs):
        begin = time.perf_counter()
        subprocess.run([str(part) for part in call], cwd=folder, env=environment, check=True, stdout=subprocess.DEVNULL)
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken)


def against_python(program):
    """The same tables by the second computation of the tests."""
    environment = {"PATH": "/usr/bin:/bin", "STRIPWRIGHT_PROFILES": str(SOURCE / "profiles")}
    with tempfile.TemporaryDirectory() as folder:
        ours = seconds([program] + SETUP, folder, environment, 40)
        theirs = seconds(["/usr/bin/python3", SOURCE / "tests/second_way/model.py", SOURCE / "profiles/yarrow.yaml",
                          "--shop", SOURCE / "profiles/shops/saltmarsh-lane.yaml", "--machine", "steel form"], folder, environment, 10)
    return [("`setup`, all files, against its tables by a Python script (tests/second_way)", f"{ours / theirs:.3f}",
             f"{1000 * ours:.1f} ms : {1000 * theirs:.0f} ms")]


def rows_of_setup(build):
    text = output([sys.executable, HERE / "setup_speed.py", "--program", build / "stripwright", "--empty",
                   build / "tests/speed_empty"])
    milliseconds = re.search(r"true ([\d.]+) ms, empty program ([\d.]+) ms, setup with all files ([\d.]+) ms", text)
    value = lambda label: re.search(rf"^{re.escape(label)}\s+([\d.]+)", text, re.M)[1]
    return [("`setup`, all files, against /bin/true", value("setup against /bin/true"), f"{milliseconds[3]} ms : {milliseconds[1]} ms"),
            ("`setup`, all files, against an empty program of the same libraries",
             value("setup against an empty program of the same libraries"), f"{milliseconds[3]} ms : {milliseconds[2]} ms"),
            ("`setup` on 100,000 stations against 10,000", value("ten times the stations"), f"{value('a taper of 100,000 stations')} s"),
            ("`setup`, peak memory", f"{value('peak memory of setup')} MB", "")]


def rows_of_readings(build):
    text = output([sys.executable, HERE / "bulk_readings.py", "--program", build / "stripwright"])
    ratio = re.search(r"check takes ([\d.]+) of mawk's time, ([\d.]+) times", text)
    check = re.search(r"^check\s+([\d.]+) s.*?(\d+) MB", text, re.M)
    mawk = re.search(r"^mawk\s+([\d.]+) s", text, re.M)
    return [("`check`, 1,000,000 readings, against mawk summing the column", ratio[1], f"{check[1]} s : {mawk[1]} s, {check[2]} MB"),
            ("`check`, 1,000,000 readings against 100,000", ratio[2], "")]


def rows_of_curve(build):
    text = output([build / "tests/speed_offset_curve"])
    one = re.search(r"curve ([\d.]+) s.*GEOS buffer ([\d.]+) s, ratio (\d+)", text)
    ten = re.search(r"1,000,000 vertices: curve ([\d.]+) s", text)
    return [("offset curve, 100,000 vertices, against GEOS' buffer", f"1/{one[3]}", f"{one[1]} s : {one[2]} s"),
            ("offset curve, 1,000,000 vertices against 100,000", f"{float(ten[1]) / float(one[1]):.1f}", f"{ten[1]} s")]


def rows_of_choose(build):
    text = output([sys.executable, HERE / "choose_speed.py", "--program", build / "stripwright", "--sizes", "12,24,36"])
    rows = []
    for strips, ours, cbc in re.findall(r"^\s*(\d+)\s+[\d.]+\s+([\d.]+)\s+[\d.]+\s+([\d.]+)\s", text, re.M):
        rows.append((f"`choose`, {strips} strips with nodes, against an integer programme (cbc)",
                     f"{float(ours) / float(cbc):.3f}", f"{ours} s : {cbc} s"))
    return rows


def processor():
    found = re.search(r"^model name\s*: (.*)$", pathlib.Path("/proc/cpuinfo").read_text(), re.M)
    return found[1] if found else "unknown processor"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", required=True, type=pathlib.Path)
    build = parser.parse_args().build.resolve()
    print(f"{processor()}, {time.strftime('%Y-%m-%d')}\n\n| what | ratio | measured |\n| --- | ---: | --- |")
    for rows in (against_python(build / "stripwright"), rows_of_setup(build), rows_of_readings(build),
                 rows_of_curve(build), rows_of_choose(build)):
        for row in rows:
            print(f"| {' | '.join(row)} |", flush=True)


if __name__ == "__main__":
    main()
