"""What a shop file says of measuring, and readings as a maker saves them, both made plain.

Lengths are Fractions of a millimetre. The files are taken to be well formed.
"""

import csv
import io

from judging import gauge_of
from lengths import parse, plain
from reading import shop_of

HEIGHTS = {"strip": ("a", "b", "c"), "piece": ("f1", "f2", "f3"), "groove": ("gauge",)}


class Bench:
    """Tolerances as (over, under), gauges by name, and how the shop decides."""

    def __init__(self, raw):
        self.unit = unit = raw["unit"]
        self.shop = shop_of(raw)
        tolerances = raw.get("tolerances", {})
        self.strip = self.shop["tolerance"]
        self.flats = _tolerance(tolerances.get("flats", "0.002 in"), unit)
        self.angle = float(plain(tolerances.get("angle", "0.3")))
        self.gauges = {name: gauge_of(gauge, unit) for name, gauge in raw.get("gauges", {}).items()}
        self.plain = raw.get("decide", "guarded") == "plain"

    def gauge(self, name=None):
        return self.gauges[name] if name else next(iter(self.gauges.values()))


def _tolerance(raw, unit):
    if isinstance(raw, dict):
        return parse(raw["over"], unit), parse(raw["under"], unit)
    return parse(raw, unit), parse(raw, unit)


class Read:
    """All readings of one strip, piece or groove: {place: {height: [lengths]}}."""

    def __init__(self, name, section):
        self.name, self.section = name, section
        self.places = {}

    def add(self, place, height, length):
        self.places.setdefault(place, {}).setdefault(height, []).append(length)


def _unit_of(column, fallback):
    for unit in ("in", "mm"):
        if column.endswith("_" + unit):
            return column[:-3], unit
    return column, fallback


def readings_of(text, fallback_unit, section_of, tip_end_of):
    """Reads in the order in which their names come. `section_of` gives a row's section where no
    column does; `tip_end_of` the station of a section's uncut tip end."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    separator = next(mark for mark in ";\t," if mark in lines[0])
    reads = {}
    for row in csv.DictReader(io.StringIO("\n".join(lines)), delimiter=separator):
        cells = {}
        for column, cell in row.items():
            bare, unit = _unit_of(column.strip(), fallback_unit)
            if cell.strip():
                cells[bare] = cell.strip() if bare in ("strip", "piece", "section") else parse(cell, unit)
        name = cells.get("strip", cells.get("piece", ""))
        section = cells.get("section") or section_of(cells)
        place = cells.get("at", cells.get("machine_at"))
        if place is None:
            place = tip_end_of(section) + cells["from_end"]
        read = reads.setdefault((name, section), Read(name, section))
        for heights in HEIGHTS.values():
            for height in heights:
                if height in cells:
                    read.add(place, height, cells[height])
    return list(reads.values())
