"""Numbers as the program's files have them."""

from fractions import Fraction


class Number:
    """A length in mm (or a count of turns), with what it may be off by beyond rounding."""

    def __init__(self, value, turns=False, slack=0.0):
        self.value, self.turns, self.slack = value, turns, slack

    def __repr__(self):
        return f"{float(self.value):.12g}" + (" turns" if self.turns else " mm")


def printed(value, unit, turns=False):
    """Text as the program's files have it: half away from zero, never -0."""
    places = 4 if turns else {"in": 6, "mm": 5}[unit]
    exact = Fraction(value)
    if not turns and unit == "in":
        exact /= Fraction(254, 10)
    scaled = abs(exact) * 10 ** places + Fraction(1, 2)
    digits = str(scaled.numerator // scaled.denominator).rjust(places + 1, "0")
    text = digits[:-places] + "." + digits[-places:]
    return "-" + text if exact < 0 and text.strip("0.") else text


def write(table, columns, unit, out):
    print(",".join(c.replace("_U", "_" + unit) for c in columns), file=out)
    for row in table:
        cells = []
        for column in columns:
            cell = row[0][column]
            if isinstance(cell, Number):
                cell = printed(cell.value, unit, cell.turns)
            cells.append(cell or "")
        print(",".join(cells) + ("" if len(row) == 1 else "  # or another"), file=out)
