"""One figure of the program after the other against the second computation, counted.

Numbers have to agree to the last printed digit, as cells.cell_agrees has it: within a
nanometre-thousandth of a rounding tie both neighbours are accepted, and counted. `slack` is
what the second computation itself may be off by, where it is found by iteration.
"""

import json

from lengths import INCH

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
