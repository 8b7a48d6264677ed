#!/usr/bin/python3
"""The program's tables against the second computation, on random tapers and shops.

    compare.py --program PATH --count N --seed S [--jobs J]

Every column of every row of stations.csv and cutter-<section>.csv is compared: text
exactly, numbers to the last printed digit after the second computation is rounded
half away from zero. Where the exact value lies within 1e-9 mm of a rounding tie both
neighbours are accepted, and counted. No case is left out. Exit status 1 if anything
differs; the first differences are printed, with the case to repeat each by.
"""

import argparse
import collections
import csv
import io
import math
import multiprocessing
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time

from generate import Case
from ledger import Refused
from made_of import features
from minimax import fitted_settings
from model import STATION_COLUMNS, Number, cutter_columns

PRINTED = re.compile(r"(-?)(0|[1-9][0-9]*)\.([0-9]+)")
SHOWN = 20


class Differs(Exception):
    pass


def half_digit(unit, turns=False):
    """Half of the last printed digit, in mm or in turns."""
    return 0.5e-4 if turns else {"in": 0.5e-6 * 25.4, "mm": 0.5e-5}[unit]


def number_of(text, unit, turns=False):
    """A printed number in mm (or turns). Differs if it is not printed as laid down."""
    found = PRINTED.fullmatch(text)
    if not found or len(found[3]) != (4 if turns else {"in": 6, "mm": 5}[unit]):
        raise Differs(f"printed as {text!r}")
    if found[1] and not text.strip("-0."):
        raise Differs(f"minus nothing: {text!r}")
    return float(text) * (25.4 if unit == "in" and not turns else 1.0)


def cell_agrees(text, wanted, unit):
    """'equal', 'tie' or 'no'."""
    if wanted is None:
        return "equal" if text == "" else "no"
    if isinstance(wanted, str):
        return "equal" if text == wanted else "no"
    try:
        got = number_of(text, unit, wanted.turns)
    except Differs:
        return "no"
    half, off = half_digit(unit, wanted.turns), abs(got - float(wanted.value))
    # 1e-9 mm, of which the second computation itself uses up no more than 1e-11.
    border = 1e-9 * max(1.0, abs(got)) if wanted.turns else 1e-9
    if off < half - border:
        return "equal"
    if off <= half + border:
        return "tie"
    return "equal" if wanted.slack and off <= half + border + wanted.slack else "no"


def read_table(text, columns, unit, what):
    """Rows as dictionaries, the header checked: these columns, in this order."""
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    if not rows:
        raise Differs(f"{what}: empty")
    header = rows[0]
    wanted = [re.sub("_U$", "_" + unit, c) for c in columns]
    missing = [c for c in wanted if c not in header]
    if missing:
        raise Differs(f"{what}: no column {', '.join(missing)}")
    if [c for c in header if c in wanted] != wanted:
        raise Differs(f"{what}: columns in another order: {', '.join(header)}")
    for line, row in enumerate(rows[1:], 2):
        if len(row) != len(header):
            raise Differs(f"{what}:{line}: {len(row)} fields under {len(header)} columns")
    more = [c for c in header if c not in wanted]
    return [dict(zip(header, row)) for row in rows[1:]], more


class Outcome:
    """What one case, or many, came to."""

    def __init__(self):
        self.counts = collections.Counter()
        self.made_of = collections.Counter()
        self.differences = []

    def fail(self, number, what):
        self.counts["differences"] += 1
        self.differences.append(f"case {number}: {what}")

    def add(self, other):
        self.counts.update(other.counts)
        self.made_of.update(other.made_of)
        self.differences += other.differences[: max(0, SHOWN - len(self.differences))]


class Trial:
    def __init__(self, program, case, folder):
        self.program, self.case, self.folder = program, case, folder
        self.outcome = Outcome()
        self.out = os.path.join(folder, "out")

    def differ(self, what):
        self.outcome.fail(self.case.number, what)

    def run(self):
        paths = []
        for name, text in (("taper.yaml", self.case.taper_text), ("shop.yaml", self.case.shop_text)):
            paths.append(os.path.join(self.folder, name))
            with open(paths[-1], "w", encoding="utf-8") as file:
                file.write(text)
        call = [self.program] + self.case.call(*paths, self.out)
        self.done = subprocess.run(call, capture_output=True, text=True, timeout=60, check=False)
        counts = self.outcome.counts
        counts[f"status {self.done.returncode}"] += 1
        try:
            setup = self.case.setup()
            self.unit = setup.unit
            if "--units" in self.case.options:
                self.unit = self.case.options[self.case.options.index("--units") + 1]
            stations = setup.station_table()
            tables = {s["name"]: self._wanted(setup, s) for s in setup.sections}
            statuses = setup.statuses
        except Refused as why:
            self._refused(why)
            return
        self.outcome.made_of.update(features(setup, tables))
        if len(statuses) > 1:
            counts["cases with an open exit status"] += 1
        if self.done.returncode not in statuses:
            self.differ(f"exit status {self.done.returncode}, expected {sorted(statuses)}; "
                        + first_line(self.done.stderr))
        if self.done.returncode in (0, 1):
            self._table("stations.csv", STATION_COLUMNS, stations)
            columns = cutter_columns(setup.machine)
            for name, table in tables.items():
                self._table(self._cutter_file(name), columns, table)
            self._only(set(tables))
            if "--format" in self.case.options:
                self._stdout(setup, tables)

    def _refused(self, why):
        if self.done.returncode != 2:
            self.differ(f"exit status {self.done.returncode}, expected 2: {why}")
        elif os.path.isdir(self.out) and os.listdir(self.out):
            self.differ("refused, and yet something was written")
        else:
            self.outcome.counts["cases refused as expected"] += 1

    def _cutter_file(self, section):
        name = f"cutter-{section}.csv"
        if os.path.exists(os.path.join(self.out, name)):
            return name
        return f"cutter-{section.lower().replace(' ', '-')}.csv"

    def _only(self, sections):
        """No table of a section that was not asked for."""
        wanted = {self._cutter_file(s) for s in sections}
        for name in sorted(os.listdir(self.out)) if os.path.isdir(self.out) else ():
            if name.startswith("cutter-") and name.endswith(".csv") and name not in wanted:
                self.differ(f"{name}: not asked for")

    def _wanted(self, setup, section):
        if setup.machine["fit"] != "best" or setup.machine["bar"] == "straight":
            return setup.cutter_table(section)
        try:
            rows = self._read(self._cutter_file(section["name"]), cutter_columns(setup.machine))
        except Differs:
            return setup.cutter_table(section)  # reported when the table is compared
        half = half_digit(self.unit)
        printed = {}
        try:
            for row in rows:
                where = int(row.get("pass", "1")), int(row["screw"])
                printed[where] = number_of(row["cutter_offset_" + self.unit], self.unit)
            fitted, report = fitted_settings(setup, section, printed, half)
        except (Differs, ValueError) as why:
            self.differ(f"{section['name']}: fitted settings: {why}")
            return setup.cutter_table(section)
        for complaint in report:
            self.differ(f"{section['name']}: {complaint}")
        self.outcome.counts["fitted tables"] += 1
        return setup.cutter_table(section, {k: (v, half) for k, v in fitted.items()})

    def _read(self, name, columns):
        path = os.path.join(self.out, name)
        try:
            with open(path, encoding="utf-8", newline="") as file:
                rows, more = read_table(file.read(), columns, self.unit, name)
        except (OSError, csv.Error, UnicodeDecodeError) as why:
            raise Differs(f"{name}: {why}") from why
        for column in more:
            self.outcome.counts[f"columns beyond the contract: {column}"] += 1
        return rows

    def _table(self, name, columns, table):
        try:
            rows = self._read(name, columns)
        except Differs as why:
            self.differ(f"{why}; exit status {self.done.returncode}: {first_line(self.done.stderr)}")
            return
        if len(rows) != len(table):
            self.differ(f"{name}: {len(rows)} rows, expected {len(table)}")
        for line, (row, readings) in enumerate(zip(rows, table), 2):
            self._row(f"{name}:{line}", row, readings, columns)
        self.outcome.counts["tables"] += 1

    def _row(self, where, row, readings, columns):
        counts = self.outcome.counts
        counts["rows"] += 1
        if len(readings) > 1:
            counts["rows with more than one right answer"] += 1
        found = []
        for reading in readings:
            verdicts = [
                (c, cell_agrees(row[re.sub("_U$", "_" + self.unit, c)], reading[c], self.unit))
                for c in columns
            ]
            wrong = [c for c, verdict in verdicts if verdict == "no"]
            if not found or len(wrong) < len(found[0]):
                found = (wrong, verdicts, reading)
        wrong, verdicts, reading = found
        counts["numbers compared"] += sum(isinstance(reading[c], Number) for c in columns)
        counts["texts and empty cells compared"] += sum(not isinstance(reading[c], Number) for c in columns)
        counts["ties"] += sum(verdict == "tie" for _, verdict in verdicts)
        for column in wrong:
            text = row[re.sub("_U$", "_" + self.unit, column)]
            self.differ(f"{where} {column}: {text!r}, expected {self._tell(reading[column])}")

    def _tell(self, wanted):
        if not isinstance(wanted, Number):
            return repr(wanted or "")
        value = float(wanted.value) / (25.4 if self.unit == "in" and not wanted.turns else 1)
        return f"{value:.12f}" + (f" +- {wanted.slack:.1e} mm" if wanted.slack else "")

    def _stdout(self, setup, tables):
        """--format csv: the cutter tables again, `section` first."""
        columns = ["section"] + cutter_columns(setup.machine)
        text = self.done.stdout
        try:
            rows, _ = read_table(text, columns, self.unit, "stdout")
        except (Differs, csv.Error) as why:
            self.differ(str(why))
            return
        header = text.split("\n", 1)[0].rstrip("\r").split(",")
        rows = [r for r in rows if list(r.values()) != header]
        filed = []
        for name in tables:
            try:
                for row in self._read(self._cutter_file(name), columns[1:]):
                    filed.append({"section": name, **row})
            except Differs:
                return  # told already
        self.outcome.counts["tables on standard output compared"] += 1
        if rows != filed:
            self.differ("standard output is not what stands in the cutter files")


def first_line(text):
    return text.strip().split("\n")[0][:200]


def one(task):
    """One case, whatever happens in it: nothing is left out of the count."""
    program, seed, number, passes, fitted, keep = task
    folder = tempfile.mkdtemp(prefix="second-way-")
    outcome = Outcome()
    try:
        trial = Trial(program, Case(seed, number, passes, fitted), folder)
        outcome = trial.outcome
        trial.run()
    except subprocess.TimeoutExpired:
        outcome.fail(number, "no end within a minute")
    except Exception as why:  # a fault of this referee counts as a difference
        outcome.fail(number, f"the second computation failed: {why!r}")
    outcome.counts["cases"] = 1
    if keep and outcome.differences:
        print(f"case {number} kept in {folder}", flush=True)
    else:
        shutil.rmtree(folder, ignore_errors=True)
    return outcome


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--seed", default="1")
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--only", type=int, help="this one case of the seed")
    options.add_argument("--keep", action="store_true", help="leave the files of cases that differ")
    options.add_argument("--tell", action="store_true", help="what the cases were made of")
    options.add_argument("--passes", type=float, default=0.12, help="share of machines with passes")
    options.add_argument("--fitted", type=float, default=0.04, help="share of machines with fit: best")
    given = options.parse_args()
    numbers = range(given.count) if given.only is None else [given.only]
    program = os.path.abspath(given.program)
    if not os.access(program, os.X_OK):
        options.error(f"cannot run {program}")
    tasks = [(program, given.seed, n, given.passes, given.fitted, given.keep) for n in numbers]
    began, total = time.monotonic(), Outcome()
    if given.jobs > 1 and len(tasks) > 1:
        with multiprocessing.Pool(given.jobs) as pool:
            for outcome in pool.imap(one, tasks, chunksize=8):
                total.add(outcome)
    else:
        for task in tasks:
            total.add(one(task))
    for what, count in sorted(total.counts.items()):
        print(f"{count:10d}  {what}")
    if given.tell:
        print("what they were made of:")
        for what, count in sorted(total.made_of.items()):
            print(f"{count:10d}  {what}")
    print(f"{time.monotonic() - began:10.1f}  seconds, seed {given.seed}")
    if total.counts["cases"] != len(tasks):
        print(f"only {total.counts['cases']} of {len(tasks)} cases were looked at")
        return 1
    for difference in total.differences[:SHOWN]:
        print(difference)
    rest = total.counts["differences"] - SHOWN
    if rest > 0:
        print(f"and {rest} more")
    return 1 if total.differences else 0


if __name__ == "__main__":
    sys.exit(main())
