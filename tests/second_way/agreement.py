"""One figure of the program after the other against the second computation, counted.

Numbers have to agree to the last printed digit, as cells.cell_agrees has it: within a
nanometre-thousandth of a rounding tie both neighbours are accepted, and counted. `slack` is
what the second computation itself may be off by, where it is found by iteration.
"""

import json
import os
import subprocess

from lengths import INCH
from trial import Outcome

DIGITS = {"in": 6, "mm": 5}
BORDER = 1e-9  # mm, or a unit of what has none


def read_json(text):
    """Numbers with a point as text: their digits count."""
    return json.loads(text, parse_float=str)


class Agreement:
    def __init__(self, outcome, number, unit):
        self.outcome, self.number, self.unit = outcome, number, unit

    def differ(self, where, got, wanted):
        self.outcome.fail(self.number, f"{where}: {got!r}, expected {wanted}")

    def text(self, where, wanted, got):
        """Anything that has to be the same: words, counts, nothing at all."""
        self.outcome.counts["texts and counts compared"] += 1
        if wanted != got:
            self.differ(where, got, repr(wanted))
        return wanted == got

    def length(self, where, wanted, got, slack=0.0):
        """`wanted` in mm, or None; `got` as printed, in the output's unit."""
        scale = float(INCH) if self.unit == "in" else 1.0
        shown = None if wanted is None else float(wanted) / scale
        self.plain(where, shown, got, DIGITS[self.unit], (slack + BORDER) / scale)

    def plain(self, where, wanted, got, digits, slack=BORDER):
        """A figure of so many digits after the point, of no unit or in the one it is printed in."""
        if wanted is None or got is None or got == "":
            self.text(where, wanted, None if got == "" else got)
            return
        self.outcome.counts["numbers compared"] += 1
        off, half = abs(float(got) - float(wanted)), 0.5 * 10.0 ** -digits
        if off > half + slack + abs(float(wanted)) * 1e-13:
            self.differ(where, got, f"{float(wanted):.{digits + 4}f}")
        elif off > half - slack:
            self.outcome.counts["ties"] += 1


class FiguresTrial:
    """One call of a command on a case's files; what it prints is held against the second computation."""

    def __init__(self, program, case, folder):
        self.program, self.case, self.folder = program, case, folder
        self.outcome = Outcome()
        self.agree = Agreement(self.outcome, case.number, case.unit)
        self.suffix = "_" + case.unit
        self.scale = float(INCH) if case.unit == "in" else 1.0

    def first_call(self):
        """The files written, and the command run for JSON."""
        for name, text in self.case.files.items():
            with open(os.path.join(self.folder, name), "w", encoding="utf-8") as file:
                file.write(text)
        done = self.call("json")
        self.outcome.counts[f"status {done.returncode}"] += 1
        self.outcome.made_of.update(self.case.features())
        return done

    def call(self, form):
        call = [self.program] + self.case.call() + ["--format", form]
        return subprocess.run(call, cwd=self.folder, capture_output=True, text=True, timeout=60, check=False)
