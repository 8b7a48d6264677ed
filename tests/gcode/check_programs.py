#!/usr/bin/python3
"""Programs for milling machines: run by an interpreter, compared, and swept.

    check_programs.py --program PATH --count N --seed S [--only N] [--jobs J]

For N random tapers on a random machine, and for the shipped ones: each program is run
by Debian's `rs274`, whose moves must be those of the text; the moves must be those of
the cutter table, and the table the second computation's (../second_way). Then a disc
of the cutter's radius is swept along each pass (sweep.py): nothing may come out lower
than the strip by more than 0.0001 mm, nothing may be left beyond the rest that is
told, no pass may cut deeper than it is allowed to, no fast move may touch what is left
of the rough strip, and the cutter may come down only beyond the strip's ends.

Without `rs274` all but its part is done, and the exit status is 77 (skipped).
"""

import argparse
import collections
import csv
import io
import json
import math
import multiprocessing
import os
import shutil
import subprocess
import sys
import tempfile
import time
from fractions import Fraction

import ngc
from routed import Refused, RoutedCase
from sweep import Sweep

PER_UNIT = {"in": 25.4, "mm": 1.0}
HALF_DIGIT = {"in": 0.5e-6 * 25.4, "mm": 0.5e-5}
EXACT = 1e-4  # mm: the tables' and the programs' promise
SHOWN = 20


class Differs(Exception):
    pass


class Section:
    """One section's program and table against the second computation."""

    def __init__(self, setup, section, unit, told, table, program):
        self.setup, self.section, self.unit, self.told = setup, section, unit, told
        self.table, self.program = table, program
        self.strip = setup.strips[section["name"]]
        self.radius = float(setup.machine["cutter_radius"])
        self.begin, self.end = (float(x) for x in setup.machine_reach(section))
        self.found, self.passes = setup.passes(section)
        self.counts, self.worst = collections.Counter(), collections.Counter()

    def mm(self, text):
        return float(text) * PER_UNIT[self.unit]

    def station(self, machine_at):
        origin = float(self.setup.taper_at(self.section, Fraction(0)))
        return origin + (machine_at if self.setup.machine["feeds"] == "tip-first" else -machine_at)

    def height(self, number, u):
        """The strip over machine position u after a pass (from 0)."""
        milled = self.strip.fast(self.station(u))
        one_pass = self.passes[number]
        return milled if one_pass is None else one_pass.height(milled)

    def offset(self, number, x):
        return self.setup.offset(self.section, self.station(x), self.passes[number])

    # The table.
    def check_table(self):
        columns = ["pass"] + [f"{c}_{self.unit}" for c in
                              ("machine_at", "taper_at", "strip_milled", "cutter_offset")]
        if self.setup.machine["passes"] is not None:
            columns.append(f"cut_{self.unit}")
        if list(self.table[0]) != columns:
            raise Differs(f"columns {list(self.table[0])}")
        self.rows = [[] for _ in self.passes]
        for row in self.table:
            if not 1 <= int(row["pass"]) <= len(self.passes):
                raise Differs(f"pass {row['pass']} of {len(self.passes)}")
            self.rows[int(row["pass"]) - 1].append(row)
        for number, rows in enumerate(self.rows):
            if not rows:
                raise Differs(f"no pass {number + 1}: the second computation has {len(self.passes)}")
            self._check_places(rows)
            self._check_values(number, rows)

    def _check_places(self, rows):
        xs = [self.mm(r[f"machine_at_{self.unit}"]) for r in rows]
        half = HALF_DIGIT[self.unit] + 1e-9
        if any(b < a for a, b in zip(xs, xs[1:])):
            raise Differs("the table goes back")
        wanted = {self.begin, self.end}
        wanted |= {float(self.setup.machine_at(self.section, x)) for x in self.setup.stations(self.section)}
        for x in wanted:
            if min(abs(x - seen) for seen in xs) > half:
                raise Differs(f"no row at machine position {x} mm")
        if abs(xs[0] - self.begin) > half or abs(xs[-1] - self.end) > half:
            raise Differs("the table does not go from end to end of the strip")

    def _check_values(self, number, rows):
        half = HALF_DIGIT[self.unit] + 1e-9
        steps = max(1, len(rows) // 25)
        for index, row in enumerate(rows):
            # The row's own place is rounded: on a slope that shows.
            at = self.mm(row[f"machine_at_{self.unit}"])
            if abs(self.station(at) - self.mm(row[f"taper_at_{self.unit}"])) > 2 * half:
                raise Differs(f"machine position and station do not fit: {row}")
            off = self.mm(row[f"strip_milled_{self.unit}"]) - self.height(len(self.passes) - 1, at)
            if abs(off) > half * 1.2:
                raise Differs(f"strip_milled is {off} mm off: {row}")
            self.counts["rows"] += 1
            if index % steps:
                continue
            exact = self.offset(number, at)
            off = self.mm(row[f"cutter_offset_{self.unit}"]) - exact
            if abs(off) > half * 1.2:
                raise Differs(f"cutter_offset is {off} mm off: {row}")
            self.counts["offsets"] += 1
            if index + 1 < len(rows):
                self._check_between(number, row, rows[index + 1])
        if f"cut_{self.unit}" in rows[0]:
            self._check_cuts(number, rows)

    def _check_between(self, number, row, after):
        x1, z1, x2, z2 = (self.mm(r[f"{c}_{self.unit}"]) for r in (row, after)
                          for c in ("machine_at", "cutter_offset"))
        for share in (0.5, 0.21):
            x = x1 + (x2 - x1) * share
            off = z1 + (z2 - z1) * share - self.offset(number, x)
            if abs(off) > EXACT:
                raise Differs(f"between {row} and the next row the line is {off} mm off")
            self.counts["between rows"] += 1

    def _check_cuts(self, number, rows):
        for row in rows:
            text, at = row[f"cut_{self.unit}"], self.mm(row[f"machine_at_{self.unit}"])
            before = self.before(number, at)
            if before is None:
                if text:
                    raise Differs(f"a cut where the strip before is not known: {row}")
            elif abs(self.mm(text) - (before - self.height(number, at))) > HALF_DIGIT[self.unit] * 1.2 + 1e-9:
                raise Differs(f"cut is not {before - self.height(number, at)} mm: {row}")

    def before(self, number, u):
        """The strip over u before a pass, None where the files do not say."""
        if number:
            return self.height(number - 1, u)
        return self.found and self.found.height(self.strip.fast(self.station(u)))

    # The program.
    def check_program(self):
        if self.program.unit != self.unit:
            raise Differs(f"the program is in {self.program.unit}")
        machine = self.setup.machine_raw
        if abs(self.program.feed * PER_UNIT[self.unit] - machine["feed"]) > 0.5e-3 * PER_UNIT[self.unit] + 1e-9:
            raise Differs(f"feed {self.program.feed}, not {machine['feed']} mm")
        if self.program.speed != machine["spindle_rpm"]:
            raise Differs(f"spindle {self.program.speed}")
        if len(self.program.passes) != len(self.passes):
            raise Differs(f"{len(self.program.passes)} passes in the program, not {len(self.passes)}")
        self.clear = machine["clear_height"]
        self.stock, self.probes = None, self._probes()
        for number, moves in enumerate(self.program.passes):
            self._check_pass(number, moves)
        self._check_travel()

    def _check_pass(self, number, moves):
        path = [tuple(self.mm(m.end[c]) for c in "XZ") for m in moves if not m.fast]
        texts = [(m.end["X"], m.end["Z"]) for m in moves if not m.fast]
        rows = [(r[f"machine_at_{self.unit}"], r[f"cutter_offset_{self.unit}"]) for r in self.rows[number]]
        rows = [r for i, r in enumerate(rows) if i == 0 or r != rows[i - 1]]
        inside = [t for t in texts if self.begin - 1e-4 < self.mm(t[0]) < self.end + 1e-4]
        if inside != rows:
            raise Differs(f"pass {number + 1}: the program does not go through the table's points")
        for move in moves:
            self._check_move(number, move)
        sweep = Sweep(self.radius, path)
        left = [sweep.left(u) for u in self.probes]
        self._check_cut(number, left)
        if number + 1 == len(self.passes):
            self._check_rests(number, sweep)
        self.stock = left

    def _check_rests(self, number, sweep):
        """Where a rest is told, so much is left."""
        for rest in self.told["cutter_leaves"]:
            u = float(self.setup.machine_at(self.section, Fraction(self.mm(rest["at"]))))
            if not self.begin <= u <= self.end:
                continue
            off = sweep.left(u) - self.height(number, u) - self.mm(rest["size"])
            if abs(off) > 2 * EXACT:
                raise Differs(f"a rest told as {rest} is {off} mm larger")
            self.counts["rests compared"] += 1

    def _check_move(self, number, move):
        if set(move.end["Y"] or "0") - set("0."):
            raise Differs("Y does not stay 0")
        (x1, z1), (x2, z2) = ((self.mm(p["X"]) if p["X"] else None, self.mm(p["Z"])) for p in (move.start, move.end))
        beyond = x2 <= self.begin - self.radius or x2 >= self.end + self.radius
        if z2 < z1 and (x1 is None or x2 == x1) and not beyond:
            raise Differs(f"comes down at {x2} mm, within the cutter's radius of the strip")
        if not move.fast:
            return
        for u, height in zip(self.probes, self.stock or [self._rough(p) for p in self.probes]):
            if height is None:
                continue
            a, b = sorted((x1 if x1 is not None else x2, x2))
            aside = max(a - u, u - b, 0)
            if aside <= self.radius and min(z1, z2) + self._rim(aside) < height + 1e-9:
                raise Differs(f"pass {number + 1}: a fast move through what stands at {u} mm")
        self.counts["fast moves"] += 1

    def _rim(self, aside):
        return self.radius - math.sqrt(max(self.radius ** 2 - aside ** 2, 0))

    def _rough(self, u):
        return self.before(0, u) or self.height(0, u) + 0.5

    def _check_cut(self, number, left):
        plan = self.setup.machine["passes"]
        rests = [(self.mm(r["at"]), self.mm(r["size"])) for r in self.told["cutter_leaves"]] \
            if number + 1 == len(self.passes) else None
        for index, u in enumerate(self.probes):
            over = left[index] - self.height(number, u)
            if over < -EXACT:
                raise Differs(f"pass {number + 1}: {-over} mm too low at machine position {u} mm")
            self.counts["places swept"] += 1
            self.worst["lowest below the strip"] = max(self.worst["lowest below the strip"], -over)
            if rests is not None:
                told = max((size for at, size in rests if abs(at - self.station(u)) <= self.radius), default=0)
                self.worst["most left beyond what is told"] = max(
                    self.worst["most left beyond what is told"], over - told)
                self.counts["places where a rest is told"] += told > 0
                # A rest is told from 0.0001 mm on.
                if over > max(told, EXACT) + EXACT:
                    raise Differs(f"{over} mm left at machine position {u} mm, told are {told} mm")
            before = self.stock[index] if self.stock else self.before(number, u)
            if plan is None or "stages" in plan or before is None:
                continue
            allowed = float(plan["last_cut"] if number + 1 == len(self.passes) else plan["max_cut"])
            self.worst["deepest cut beyond what is allowed"] = max(
                self.worst["deepest cut beyond what is allowed"], before - left[index] - allowed)
            if before - left[index] > allowed + 2 * EXACT:
                raise Differs(f"pass {number + 1} cuts {before - left[index]} mm at {u} mm, allowed are {allowed} mm")

    def _probes(self):
        length = self.end - self.begin
        probes = [self.begin + length * k / 150 for k in range(151)]
        for x in self.setup.stations(self.section):
            at = float(self.setup.machine_at(self.section, x))
            probes += [at - 0.1, at, at + 0.1]
        return sorted(u for u in probes if self.begin <= u <= self.end)

    def _check_travel(self):
        at_feed = fast = 0.0
        for moves in self.program.passes:
            for move in moves:
                # To where it begins the cutter comes at clear height.
                if move.start["X"] is None:
                    continue
                gone = math.dist(*[[self.mm(p[c]) for c in "XZ"] for p in (move.start, move.end)])
                at_feed, fast = at_feed + (0 if move.fast else gone), fast + (gone if move.fast else 0)
        told = self.told
        for what, seen in (("travel_at_feed", at_feed), ("travel_fast", fast)):
            if abs(told[what] * PER_UNIT[self.unit] - seen) > 0.01:
                raise Differs(f"{what}: told {told[what]} {self.unit}, in the program {seen} mm")
        if abs(told["minutes_at_feed"] - at_feed / self.setup.machine_raw["feed"]) > 0.002:
            raise Differs("the time is not the travel over the feed")


class Trial:
    """One call of the program and all its sections."""

    def __init__(self, program, folder, call, name):
        self.program, self.folder, self.call, self.name = program, folder, call, name
        self.out = os.path.join(folder, "out")
        self.counts, self.worst = collections.Counter(), collections.Counter()

    def run(self):
        self.done = subprocess.run([self.program] + self.call, capture_output=True, text=True,
                                   timeout=60, check=False)
        self.counts[f"status {self.done.returncode}"] += 1
        return self.done.returncode

    def read(self, name):
        with open(os.path.join(self.out, name), encoding="utf-8", newline="") as file:
            return file.read()

    def check(self, setup, unit):
        told = {s["section"]: s for s in json.loads(self.done.stdout)["sections"]}
        for section in setup.sections:
            slug = section["name"].lower().replace(" ", "-")
            table = list(csv.DictReader(io.StringIO(self.read(f"cutter-{slug}.csv"), newline="")))
            part = Section(setup, section, unit, told[section["name"]]["program"], table, None)
            part.check_table()
            if self._program_there(slug, part.told["written"]):
                part.program = ngc.Program(self.read(f"{slug}.ngc"))
                if ngc.interpreter():
                    ngc.compare(part.program, ngc.run(os.path.join(self.out, f"{slug}.ngc"), self.folder))
                    self.counts["programs run by the interpreter"] += 1
                part.check_program()
                self.counts["programs swept"] += 1
            self.counts.update(part.counts)
            self.worst |= part.worst  # the greater of the two

    def _program_there(self, slug, written):
        there = os.path.exists(os.path.join(self.out, f"{slug}.ngc"))
        if there != written:
            raise Differs(f"{slug}.ngc is {'there' if there else 'not there'}, told is otherwise")
        return there


def machine_raw(setup, raw, unit):
    """What the second computation does not read of such a machine, in mm."""
    from lengths import parse
    setup.machine_raw = {"feed": float(parse(raw["feed"], unit)),
                         "spindle_rpm": float(raw["spindle_rpm"]),
                         "clear_height": float(parse(raw["clear_height"], unit))}


def random_case(task):
    program, seed, number, keep = task
    folder = tempfile.mkdtemp(prefix="gcode-")
    counts, worst, fault = collections.Counter(), collections.Counter(), None
    try:
        case = RoutedCase(seed, number)
        paths = []
        for name, text in (("taper.yaml", case.taper_text), ("shop.yaml", case.shop_text)):
            paths.append(os.path.join(folder, name))
            with open(paths[-1], "w", encoding="utf-8") as file:
                file.write(text)
        trial = Trial(program, folder, case.call(*paths, os.path.join(folder, "out")), str(number))
        status = trial.run()
        counts, worst = trial.counts, trial.worst
        try:
            setup = case.second_way()
            for section in setup.sections:
                setup.passes(section)
        except Refused as why:
            if status != 2 or os.path.exists(trial.out):
                raise Differs(f"exit status {status}, but {why}") from why
            return counts, worst, None
        machine_raw(setup, case.machine, case.unit)
        if status not in (0, 1) or (case.too_far and status != 1):
            raise Differs(f"exit status {status}: {trial.done.stderr[:300]}")
        if status == 1 and not case.too_far and "too large for" not in trial.done.stderr:
            raise Differs(f"exit status 1: {trial.done.stderr[:300]}")
        trial.check(setup, case.output_unit)
    except (Differs, ngc.Refused) as why:
        fault = f"case {number}: {why}"
    except subprocess.TimeoutExpired:
        fault = f"case {number}: no end within a minute"
    except Exception as why:  # a fault of this referee counts as one
        fault = f"case {number}: the referee failed: {why!r}"
    finally:
        if keep and fault:
            print(f"case {number} kept in {folder}", flush=True)
        else:
            shutil.rmtree(folder, ignore_errors=True)
    return counts, worst, fault


def shipped_cases(program, source):
    """The shipped tapers on the shipped router, in both units."""
    from model import SetUp
    from reading import load_file
    counts, worst, faults = collections.Counter(), collections.Counter(), []
    shop = os.path.join(source, "profiles", "shops", "saltmarsh-lane.yaml")
    for taper in ("yarrow", "teasel", "burdock"):
        for unit in ("in", "mm"):
            path = os.path.join(source, "profiles", f"{taper}.yaml")
            with tempfile.TemporaryDirectory(prefix="gcode-") as folder:
                trial = Trial(program, folder, ["setup", path, "--shop", shop, "--machine", "router", "--out",
                                                os.path.join(folder, "out"), "--units", unit,
                                                "--format", "json"], taper)
                try:
                    status = trial.run()
                    if status not in (0, 1):
                        raise Differs(f"exit status {status}: {trial.done.stderr[:300]}")
                    setup = SetUp(load_file(path), load_file(shop), "router")
                    machine_raw(setup, load_file(shop)["machines"]["router"], "in")
                    trial.check(setup, unit)
                    counts.update(trial.counts)
                    worst |= trial.worst
                except (Differs, ngc.Refused, Refused) as why:
                    faults.append(f"{taper} in {unit}: {why}")
    return counts, worst, faults


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--source", required=True)
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--seed", default="1")
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--only", type=int, help="this one case of the seed")
    options.add_argument("--keep", action="store_true", help="leave the files of cases that differ")
    given = options.parse_args()
    program, began = os.path.abspath(given.program), time.monotonic()
    numbers = range(given.count) if given.only is None else [given.only]
    counts, worst, faults = collections.Counter(), collections.Counter(), []
    if given.only is None:
        counts, worst, faults = shipped_cases(program, given.source)
    with multiprocessing.Pool(given.jobs) as pool:
        tasks = [(program, given.seed, n, given.keep) for n in numbers]
        for more, worse, fault in pool.imap(random_case, tasks, chunksize=4):
            counts.update(more)
            worst |= worse
            if fault:
                faults.append(fault)
    for what, count in sorted(counts.items()):
        print(f"{count:10d}  {what}")
    for what, size in sorted(worst.items()):
        print(f"{size:10.7f}  mm, {what}")
    print(f"{time.monotonic() - began:10.1f}  seconds, seed {given.seed}")
    for fault in faults[:SHOWN]:
        print(fault)
    if faults:
        print(f"{len(faults)} faults")
        return 1
    if not ngc.interpreter():
        print("no rs274 here (Debian: linuxcnc-uspace): its part was left out")
        return 77
    return 0


if __name__ == "__main__":
    sys.exit(main())
