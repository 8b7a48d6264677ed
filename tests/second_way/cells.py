"""Reading the program's CSV files, and agreeing with a printed number or not."""

import csv
import io
import re


PRINTED = re.compile(r"(-?)(0|[1-9][0-9]*)\.([0-9]+)")


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
