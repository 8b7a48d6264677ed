"""How long `choose` takes, and whether general solvers of integer programmes agree with it.

    choose_speed.py --program stripwright [--sizes 12,24,36,48,60] [--cap 120] [--seed 1]

Needs two programs that the other tests do not, and that `.ci/install test` therefore does not
bring: cbc and glpsol. On Debian: apt-get install coinor-cbc glpk-utils.

For each size a random pool of strips
is made, with 20 stations and nodes. Timed are `choose` with node rules and shifts, with node
rules alone, and with neither; and each solver on the first aim of the same pool, without node
rules and shifts, as an integer programme: a 0/1 for each pair of strips, three pairs
that share no strip, the largest deviation of the chosen ones the least. The deviations are
counted here from the readings, not by the program. A solver is stopped after --cap seconds.

Exit status 1 if a solver that came to its end has another least deviation than `choose`, if a
run was not proven, if 48 strips with node rules and shifts take 2 seconds, or if with node
rules alone they take longer than a fiftieth of the better solver (the program's own seconds
are the whole process, reading and writing of files in).
"""

import argparse
import json
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time

STATIONS = 20
SHOP = """format: stripwright-shop-1
unit: mm
allowances: {varnish: 0, cleanup: 0.03, glue_line: 0.04, enamel: {thickness: 0}, apex_relief: 0}
spare: {tip_end: 40, butt_end: 40}
tolerances: {strip: 0.5, flats: 1}
decide: plain
"""


def station(i):
    return 1200 * i / (STATIONS - 1)


def flats(x):
    return 2 + x * 0.005


def pool(folder, n, seed):
    """Writes taper, shop, readings and nodes; returns each strip's deviations in mm."""
    chance = random.Random(seed * 1000 + n)
    lines = [f"  {station(i):.4f}: {flats(station(i)):.6f}" for i in range(STATIONS)]
    (folder / "speed.yaml").write_text(
        "format: stripwright-taper-1\nunit: mm\ntaper:\n" + "\n".join(lines)
        + "\nsections: {tip: {from: 0, to: 1200}}\n"
    )
    (folder / "shop.yaml").write_text(SHOP)
    rows, deviations, strips = ["strip,at_mm,a_mm"], [], []
    for s in range(1, n + 1):
        offset, slope = chance.gauss(0, 0.02), chance.gauss(0, 0.02)
        mine = []
        for i in range(STATIONS):
            at = round(station(i), 4)
            target = flats(at) / 2 + 0.03 - 0.04
            share = i / (STATIONS - 1) - 0.5
            read = round(target + offset + slope * share + chance.gauss(0, 0.02), 3)
            rows.append(f"s{s},{at:.4f},{read:.3f}")
            mine.append(read - target)
        deviations.append(mine)
        nodes = [150 + chance.uniform(-80, 80) + 300 * k for k in range(4)]
        strips.append(f"  - {{strip: s{s}, nodes: [{', '.join(f'{x:.1f}' for x in nodes)}]}}")
    (folder / "strips.csv").write_text("\n".join(rows) + "\n")
    (folder / "nodes.yaml").write_text(
        "format: stripwright-culms-1\nunit: mm\nrules: {min_gap: 25, keep_clear: 25}\nstrips:\n"
        + "\n".join(strips) + "\n"
    )
    return deviations


def choose(program, folder, *options):
    """What `choose` found and the seconds the whole process took, the best of three."""
    call = [program, "choose", "speed.yaml", "strips.csv", "--shop", "shop.yaml", "--all",
            "--format", "json", *options]
    best = float("inf")
    for _ in range(3):
        started = time.perf_counter()
        done = subprocess.run(call, cwd=folder, capture_output=True, text=True)
        best = min(best, time.perf_counter() - started)
    if done.returncode not in (0, 1):
        raise RuntimeError(done.stderr)
    return json.loads(done.stdout)["sections"][0], best


def programme(folder, deviations):
    """The first aim as an integer programme in the solvers' common format."""
    n = len(deviations)
    pairs = {
        (i, j): max(abs(a + b) for a, b in zip(deviations[i], deviations[j]))
        for i in range(n) for j in range(i + 1, n)
    }
    name = {p: f"x_{p[0]}_{p[1]}" for p in pairs}
    lines = ["Minimize", " worst: t", "Subject To"]
    lines += [f" w_{i}_{j}: t - {d:.9f} {name[i, j]} >= 0" for (i, j), d in pairs.items()]
    for s in range(n):
        mine = " + ".join(name[p] for p in pairs if s in p)
        lines.append(f" once_{s}: {mine} <= 1")
    lines.append(" three: " + " + ".join(name.values()) + " = 3")
    lines += ["Binary", *(f" {x}" for x in name.values()), "End"]
    (folder / "pairs.lp").write_text("\n".join(lines) + "\n")


def solve(call, folder, cap, pattern):
    """The least deviation (None if the solver did not end) and its seconds."""
    started = time.perf_counter()
    try:
        done = subprocess.run(call, cwd=folder, capture_output=True, text=True, timeout=cap)
    except subprocess.TimeoutExpired:
        return None, cap
    seconds = time.perf_counter() - started
    found = re.search(pattern, done.stdout + (folder / "out.txt").read_text()
                      if (folder / "out.txt").exists() else done.stdout)
    return float(found.group(1)) if found else None, seconds


def main():
    parser = argparse.ArgumentParser(
        description="How long `choose` takes, against solvers.",
        epilog="Needs cbc and glpsol, which .ci/install does not bring: "
               "apt-get install coinor-cbc glpk-utils",
    )
    parser.add_argument("--program", required=True, type=pathlib.Path)
    parser.add_argument("--sizes", default="12,24,36,48,60")
    parser.add_argument("--cap", type=float, default=120)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    missing = [solver for solver in ("cbc", "glpsol") if not shutil.which(solver)]
    if missing:
        parser.error(f"{' and '.join(missing)} not found: apt-get install coinor-cbc glpk-utils")
    program = str(options.program.resolve())
    bad = []
    print("strips  choose: nodes, shifts  nodes alone  neither     cbc  glpsol, s  least, mm")
    for n in map(int, options.sizes.split(",")):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            deviations = pool(folder, n, options.seed)
            full, full_s = choose(program, folder, "--nodes", "nodes.yaml")
            nodes, nodes_s = choose(program, folder, "--nodes", "nodes.yaml", "--shift-step", "0")
            plain, plain_s = choose(program, folder)
            least = plain["value"]["largest_deviation"]
            programme(folder, deviations)
            cbc, cbc_s = solve(["cbc", "pairs.lp", "solve", "quit"], folder, options.cap,
                               r"Optimal solution found\s+Objective value:\s+([0-9.]+)")
            glpk, glpk_s = solve(["glpsol", "--lp", "pairs.lp", "-o", "out.txt"], folder,
                                 options.cap, r"INTEGER OPTIMAL[\s\S]*?Objective:.*?=\s*([0-9.]+)")
        print(f"{n:6}  {full_s:21.3f}  {nodes_s:11.3f}  {plain_s:7.3f}  {cbc_s:6.2f}  {glpk_s:9.2f}"
              f"  {least:.6f}  cbc {cbc}  glpsol {glpk}", flush=True)
        for solver, value in (("cbc", cbc), ("glpsol", glpk)):
            if value is not None and abs(value - least) > 2e-5:
                bad.append(f"{n} strips: {solver} finds {value}, choose {least}")
        if not (full["proven"] and nodes["proven"] and plain["proven"]):
            bad.append(f"{n} strips: not proven")
        if n == 48:
            times = min(cbc_s, glpk_s) / nodes_s
            print(f"        48 strips: with node rules {times:.0f} times as fast as the better solver")
            if times < 50:
                bad.append(f"48 strips: only {times:.0f} times as fast")
            if full_s >= 2:
                bad.append(f"48 strips: {full_s:.1f} s with node rules and shifts")
    print("\n".join(bad) if bad else "all agree")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
