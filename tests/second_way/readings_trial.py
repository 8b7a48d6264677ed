"""One case of readings: the program run on it, and what it prints held against the model."""

import csv
import io
import json
import os
import subprocess
from fractions import Fraction

from judging import CLOSE
from ledger import Refused
from trial import Outcome, first_line

DIGITS = {"in": 6, "mm": 5}
PERCENT, DEGREES, ODDS, TURNS = 3, 4, 4, 4
DIGITS_OF = {"conforms": ODDS, "stiffness_pct": PERCENT, "turns": TURNS, "screw": 0, "strips": 0}
# `correct` does not go on where strips look as if they were of another stage, section or end.
GUESSES = ("as a whole these readings are", "is off all along")


class ReadingsTrial:
    """Writes the files, runs a command, compares numbers; the commands' own trials do the rest."""

    def __init__(self, program, case, folder):
        self.program, self.case, self.folder = program, case, folder
        self.outcome = Outcome()
        self.unit = case.taper["unit"]
        if "--units" in case.options:
            self.unit = case.options[case.options.index("--units") + 1]
        self.scale = 25.4 if self.unit == "in" else 1.0

    # Files and runs.
    def prepared(self):
        """Whether the case is one that can be read; then its files are written."""
        case = self.case
        try:
            case.prepare()
        except Refused:
            self.outcome.counts["cases left out: no such strip"] += 1
            return False
        if not case.rows:
            self.outcome.counts["cases left out: nothing read"] += 1
            return False
        self.write(taper=case.taper_text, shop=case.shop_text, readings=case.readings_text)
        return True

    def write(self, **texts):
        for name, text in texts.items():
            with open(self.path(name), "w", encoding="utf-8") as file:
                file.write(text)

    def path(self, name):
        return os.path.join(self.folder, name + (".csv" if name == "readings" else ".yaml"))

    def run_program(self, command, format_, out, *more):
        call = [self.program, command, self.path("taper"), self.path("readings"), "--shop", self.path("shop"),
                "--format", format_, "--out", os.path.join(self.folder, out), *self.case.call_options, *more]
        done = subprocess.run(call, capture_output=True, text=True, timeout=60, check=False)
        self.outcome.counts[f"{command}: status {done.returncode}"] += 1
        told = " ".join(done.stderr.split())
        if command == "correct" and done.returncode == 2 and any(guess in told for guess in GUESSES):
            self.outcome.counts["correct: refused, the readings look as if they were of something else"] += 1
        elif done.returncode not in (0, 1):
            self.differ(f"{command}: exit status {done.returncode}: {first_line(done.stderr)}")
        return done

    @staticmethod
    def json_of(text):
        """Numbers as they were printed, exactly."""
        return json.loads(text, parse_float=Fraction, parse_int=Fraction)

    @staticmethod
    def rows_of(text):
        return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))

    # Comparing.
    def differ(self, what):
        self.outcome.fail(self.case.number, what)

    def same(self, what, printed, wanted):
        self.outcome.counts["texts, counts and gaps compared"] += 1
        if printed != wanted:
            self.differ(f"{what}: {_told(printed)}, expected {_told(wanted)}")

    def one_of(self, what, printed, wanted):
        self.outcome.counts["texts, counts and gaps compared"] += 1
        if len(wanted) > 1:
            self.outcome.counts["words with more than one right answer"] += 1
        if printed not in wanted:
            self.differ(f"{what}: {printed!r}, expected {' or '.join(sorted(wanted))}")

    def length(self, what, printed, wanted, slack=0.0):
        """`wanted` and `slack` in mm."""
        if wanted is not None:
            wanted, slack = float(wanted) / self.scale, slack / self.scale
        self.number(what, printed, wanted, DIGITS[self.unit], slack + CLOSE / self.scale)

    def number(self, what, printed, wanted, digits, slack=1e-10):
        if printed is None or wanted is None:
            self.same(what, printed, wanted)
            return
        self.outcome.counts["numbers compared"] += 1
        printed = Fraction(printed)
        # A number of JSON is a double: what is beyond its 15 digits does not count.
        if abs(printed * 10 ** digits - round(printed * 10 ** digits)) > abs(printed) * Fraction(10) ** (digits - 14):
            self.differ(f"{what}: printed as {float(printed)!r}")
        off = abs(float(printed) - float(wanted))
        half = 0.5 * 10.0 ** -digits
        if off > half * (1 + 2e-6) + slack:
            self.differ(f"{what}: {float(printed):.12g}, expected {float(wanted):.12g}")
        elif off > half * (1 - 2e-6) - slack:
            self.outcome.counts["ties"] += 1

    # What all of `check` has.
    def head(self, said):
        case = self.case
        self.same("unit", said["unit"], self.unit)
        self.same("stage", said["stage"], case.stage)
        self.same("gauge", said["gauge"]["name"], case.gauge_name)
        self.length("gauge's uncertainty", said["gauge"]["standard_uncertainty"], case.gauge.single)
        self.same("decide", said["decide"], "plain" if case.bench.plain else "guarded")
        self.same("moisture now", said["moisture_now"], case.now)

    def table(self, said, rows):
        """The CSV is the JSON's readings once more, every number with all its digits."""
        listed = [row for strip in said["strips"] for row in strip["readings"]]
        self.same("rows of the table", len(rows), len(listed))
        for number, (row, again) in enumerate(zip(rows, listed), 2):
            for column, cell in row.items():
                wanted = again[column]
                if not isinstance(wanted, str) and wanted is not None:
                    places = DIGITS_OF.get(column, DIGITS[self.unit])
                    wanted = f"{float(wanted):.{places}f}"
                self.same(f"table, line {number} {column}", cell, wanted or "")


def _told(value):
    return f"{float(value):.12g}" if isinstance(value, Fraction) else repr(value)
