"""Tables of readings as a spreadsheet saves them, into rows of exact lengths.

As docs/file-formats.md has them: names of columns in the first row, a unit at the end of a
name (`at_in`, `a_mm`) or at a single field (`0.97 mm`), blank lines and `#` lines passed
over. The tables are taken to be well formed.
"""

import csv
import io

from lengths import parse, plain

TEXTS = ("strip", "piece", "section")
PLAIN = ("density", "mass")


def rows_of(text, unit=None):
    """Rows as dictionaries: column without its unit -> text, Fraction of mm, or None."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    table = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=_separator(lines[0])))
    columns = [_column(name, unit) for name in table[0]]
    return [{name: _field(name, field, named) for (name, named), field in zip(columns, row)}
            for row in table[1:]]


def _separator(head):
    return max(",;\t", key=head.count)


def _column(name, unit):
    for named in ("in", "mm"):
        if name.endswith("_" + named):
            return name[: -len(named) - 1], named
    return name, unit


def _field(name, field, unit):
    field = field.strip()
    if name in TEXTS:
        return field
    if not field:
        return None
    return plain(field) if name in PLAIN else parse(field, unit)


def station_of(row, section, spare):
    """From the rod's tip end; `from_end` counts from the uncut strip's own, spare included."""
    if row.get("at") is not None:
        return row["at"]
    return section["from"] - spare[0] + row["from_end"]


def gathered(rows, who, heights, section, spare):
    """{name: {station: {height: [readings]}}}: the readings of each place together."""
    found = {}
    for row in rows:
        places = found.setdefault(row[who], {}).setdefault(station_of(row, section, spare), {})
        for height in heights:
            if row.get(height) is not None:
                places.setdefault(height, []).append(row[height])
    return found
