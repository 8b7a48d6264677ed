"""One case: the program run on it, its tables held against the second computation."""

import collections
import csv
import os
import re
import subprocess

from cells import Differs, cell_agrees, half_digit, number_of, read_table
from curves import curve_differences
from ledger import Refused
from made_of import features
from minimax import fitted_settings
from model import STATION_COLUMNS, cutter_columns
from printing import Number


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
        self.differences += other.differences


class Trial:
    def __init__(self, program, case, folder):
        self.program, self.case, self.folder = program, case, folder
        self.outcome = Outcome()
        self.out = os.path.join(folder, "out")

    def differ(self, what):
        self.outcome.fail(self.case.number, what)

    def run(self):
        self._start()
        try:
            setup = self.case.setup()
            self.unit = setup.unit
            if "--units" in self.case.options:
                self.unit = self.case.options[self.case.options.index("--units") + 1]
            stations = setup.station_table()
            curve = "screws" not in setup.machine
            tables = {s["name"]: [] if curve else self._wanted(setup, s) for s in setup.sections}
            for section in setup.sections:
                setup.passes(section)  # refuses a rough strip that is too low
        except Refused as why:
            self._refused(why)
            return
        self.outcome.made_of.update(features(setup, tables))
        self._status(setup.statuses)
        if self.done.returncode in (0, 1):
            self._table("stations.csv", STATION_COLUMNS, stations)
            self._cutter_tables(setup, tables, curve)

    def _start(self):
        paths = []
        for name, text in (("taper.yaml", self.case.taper_text), ("shop.yaml", self.case.shop_text)):
            paths.append(os.path.join(self.folder, name))
            with open(paths[-1], "w", encoding="utf-8") as file:
                file.write(text)
        call = [self.program] + self.case.call(*paths, self.out)
        self.done = subprocess.run(call, capture_output=True, text=True, timeout=60, check=False)
        self.outcome.counts[f"status {self.done.returncode}"] += 1

    def _status(self, statuses):
        if len(statuses) > 1:
            self.outcome.counts["cases with an open exit status"] += 1
        if self.done.returncode not in statuses:
            self.differ(f"exit status {self.done.returncode}, expected {sorted(statuses)}; "
                        + first_line(self.done.stderr))

    def _cutter_tables(self, setup, tables, curve):
        columns = cutter_columns(setup.machine)
        for section in setup.sections:
            name = self._cutter_file(section["name"])
            if curve:
                self._curve(name, columns, setup, section)
            else:
                self._table(name, columns, tables[section["name"]])
        self._only(set(tables))
        if "--format" in self.case.options and not curve:
            self._stdout(setup, tables)

    def _refused(self, why):
        if self.done.returncode != 2:
            self.differ(f"exit status {self.done.returncode}, expected 2: {why}")
        elif os.path.isdir(self.out) and os.listdir(self.out):
            self.differ("refused, and yet something was written")
        else:
            self.outcome.counts["cases refused as expected"] += 1

    def _cutter_file(self, section):
        """As named in the taper, or as a file name without blanks and capitals."""
        dashes = section.replace(" ", "-")
        names = [f"cutter-{name}.csv" for name in (section, dashes, dashes.lower())]
        there = [name for name in names if os.path.exists(os.path.join(self.out, name))]
        return (there or names)[0]

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
        self.more = set(more)
        return rows

    def _table(self, name, columns, table):
        try:
            rows = self._read(name, columns)
        except Differs as why:
            self.differ(f"{why}; exit status {self.done.returncode}: {first_line(self.done.stderr)}")
            return
        # Beyond the contract, but known here: compared all the same.
        known = [c for c in ("cut_U",) if re.sub("_U$", "_" + self.unit, c) in self.more
                 and table and c in table[0][0]]
        columns = columns + known
        for column in self.more - {re.sub("_U$", "_" + self.unit, c) for c in known}:
            self.outcome.counts[f"columns not compared: {column}"] += 1
        if len(rows) != len(table):
            self.differ(f"{name}: {len(rows)} rows, expected {len(table)}")
        for line, (row, readings) in enumerate(zip(rows, table), 2):
            self._row(f"{name}:{line}", row, readings, columns)
        self.outcome.counts["tables"] += 1

    def _curve(self, name, columns, setup, section):
        """The points are the program's choice: see curves.py for what is asked of them."""
        try:
            rows = self._read(name, columns)
            for what in curve_differences(
                    setup, section, rows, half_digit(self.unit),
                    lambda row, column: number_of(row[f"{column}_{self.unit}"], self.unit)):
                self.differ(f"{name}: {what}")
        except Differs as why:
            self.differ(f"{name}: {why}; exit status {self.done.returncode}: {first_line(self.done.stderr)}")
        self.outcome.counts["curve tables"] += 1

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
