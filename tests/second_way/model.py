#!/usr/bin/python3
"""The tables of a machine set-up, computed a second time.

Nothing here is shared with the program's own source. A table is a list of rows; a
row is a list of acceptable readings of it (one, nearly always; more where the exact
value lies on a border within 1e-9 mm); a reading is a dictionary from column to
None (empty), text, or a Number.

By hand:  model.py TAPER --shop SHOP --machine NAME [--units in|mm]
"""

import argparse
import math
import sys
from fractions import Fraction

sys.dont_write_bytecode = True

import bars
import groove
from ledger import Ledger, Refused
from lengths import parse, plain
from passes import passes_of
from printing import Number, printed, write
from reading import load_file, shop_of, taper_of
from strip import Strip
from taper import Taper

CLOSE = groove.CLOSE

STATION_COLUMNS = [
    "section", "at_U", "flats_target_U", "flats_bare_U", "flats_glued_U", "strip_glued_U",
    "strip_ready_U", "strip_milled_U", "side_milled_U", "face_milled_U", "strip_low_U",
    "strip_high_U",
]
_CUTTER_COLUMNS = ["machine_at_U", "taper_at_U", "strip_milled_U", "cutter_offset_U"]
KIND_COLUMNS = {
    "planing-form": ["screw", "gauge_U", "gauge_on", "opening_U", "turns"],
    "screw-mill": ["screw", "dial_U", "residual_U", "turns"],
    "pattern-mill": ["pattern_U"],
    "cnc-mill": [],
}


def cutter_columns(machine):
    with_pass = machine["passes"] is not None or machine["kind"] == "cnc-mill"
    return (["pass"] if with_pass else []) + _CUTTER_COLUMNS + KIND_COLUMNS[machine["kind"]]


class SetUp:
    """One taper on one machine of one shop; both files as loaded (reading.load)."""

    def __init__(self, taper, shop, machine, sections=None, culm_diameter=None, moisture=None):
        raw, shop = taper_of(taper), shop_of(shop)
        self.unit = raw["unit"]
        self.shop = shop
        if culm_diameter is not None:
            shop["allowances"]["culm_diameter"] = parse(culm_diameter, self.unit)
        if moisture is not None:
            shop["allowances"]["at_milling"] = plain(moisture)
        self.machine = shop["machines"][machine]
        self.taper = Taper(raw["stations"], raw["between"])
        self.ledger = Ledger(shop["allowances"], raw["measured"], shop["tolerance"])
        serves = self.machine["serves"]
        self.sections = [
            s for s in raw["sections"]
            if (serves is None or s["name"] in serves)
            and (not sections or s["name"] in sections)
        ]
        self.strips = {s["name"]: Strip(self.taper, self.ledger, s) for s in self.sections}
        self.statuses = {0}
        self._check()

    def _check(self):
        for section in self.sections:
            for x in self.stations(section):
                self.ledger.rows(self.taper.value(x), section["name"])

    def cannot_set(self, surely=True):
        self.statuses = {1} if surely else self.statuses | {1}

    def stations(self, section):
        inside = {x for x, _ in self.taper.stations if section["from"] <= x <= section["to"]}
        return sorted(inside | {section["from"], section["to"]})

    def station_table(self):
        table = []
        for section in self.sections:
            for x in self.stations(section):
                values = self.ledger.rows(self.taper.value(x))
                row = {"section": section["name"], "at_U": Number(x)}
                row.update((name + "_U", Number(value)) for name, value in values.items())
                table.append([row])
        return table

    # Where things lie on the machine.
    def strip_reach(self, section):
        """Stations of the strip's ends, spare included."""
        tip, butt = self.shop["spare"]
        return section["from"] - tip, section["to"] + butt

    def machine_reach(self, section):
        start, end = self.strip_reach(section)
        return self.machine["strip_at"], self.machine["strip_at"] + (end - start)

    def taper_at(self, section, machine_at):
        start, end = self.strip_reach(section)
        along = machine_at - self.machine["strip_at"]
        return start + along if self.machine["feeds"] == "tip-first" else end - along

    def machine_at(self, section, x):
        start, end = self.strip_reach(section)
        along = x - start if self.machine["feeds"] == "tip-first" else end - x
        return self.machine["strip_at"] + along

    def passes(self, section):
        """(what the first pass finds, the passes); None where that is not known."""
        least, greatest = self.strips[section["name"]].least_milled(*self.strip_reach(section))
        return passes_of(self.machine["passes"], least, greatest)

    def offset(self, section, x, one_pass=None):
        """Cutter offset at any station, after a pass or at last."""
        strip = self.strips[section["name"]]
        if self.machine["kind"] == "planing-form":
            milled = strip.milled(x)
            return milled if one_pass is None else one_pass.height(milled)
        parts = None if one_pass is None else one_pass.parts()
        return strip.cutter_offset(x, self.machine["cutter_radius"], parts)

    def cutter_table(self, section, fitted=None):
        """Rows for every screw, pass by pass. `fitted` maps (pass, screw) to a setting
        read off the program's table with its slack, where the bars are fitted."""
        reach = self.machine_reach(section)
        screws = self.machine["screws"]
        if reach[0] < screws[0] or reach[1] > screws[-1]:
            self.cannot_set()
        table = []
        numbered = self.machine["passes"] is not None
        before, passes = self.passes(section)
        for number, one_pass in enumerate(passes, 1):
            for screw, at in enumerate(screws, 1):
                within = reach[0] <= at <= reach[1]
                x = self.taper_at(section, at)
                milled = self.strips[section["name"]].milled(x)
                first = {}
                if numbered:
                    cut = before and Number(before.height(milled) - one_pass.height(milled))
                    first = {"pass": str(number), "cut_U": cut}
                first.update({
                    "machine_at_U": Number(at), "taper_at_U": Number(x),
                    "strip_milled_U": Number(milled), "screw": str(screw),
                })
                setting, slack = self.offset(section, x, one_pass), 0.0
                if fitted and (number, screw) in fitted:
                    setting, slack = fitted[number, screw]
                rest = self._form if self.machine["kind"] == "planing-form" else self._mill
                table.append([{**first, **r} for r in rest(at, setting, within, slack)])
            before = one_pass
        return table

    def closed_depth(self, at):
        if self.machine["closed"] is None:
            return None
        first, last = self.machine["screws"][0], self.machine["screws"][-1]
        thin, thick = self.machine["closed"]
        return thin + (thick - thin) * (at - first) / (last - first)

    def _form(self, at, depth, within, slack):
        closed = self.closed_depth(at)
        border = 0.0 if isinstance(depth, Fraction) and not slack else CLOSE + slack
        readings = []
        if closed is not None and depth < closed + border:
            if not within:
                readings += self._groove(closed, closed, within, 0.0)
            else:
                self.cannot_set(surely=depth < closed - border or border == 0.0)
                readings.append({
                    "cutter_offset_U": Number(depth, slack=slack), "gauge_U": None,
                    "gauge_on": None, "opening_U": None, "turns": None,
                })
        if closed is None or depth >= closed - border:
            readings += self._groove(depth, closed, within, slack)
        return readings

    def _groove(self, depth, closed, within, slack):
        row = {"cutter_offset_U": Number(depth, slack=slack), "opening_U": None, "turns": None}
        if closed is not None:
            width = max(groove.opening(depth, closed), 0.0)
            row["opening_U"] = Number(width, slack=1.2 * slack)
            lead = self.machine["screw_lead"]
            if lead is not None:
                row["turns"] = Number(width / float(lead), turns=True,
                                      slack=1.2 * slack / float(lead))
        gauge = self.machine["gauge"]
        if gauge is None:
            return [{**row, "gauge_U": None, "gauge_on": None}]
        rows, pairs = [], []
        for d in {float(depth), float(depth) - slack, float(depth) + slack}:
            pairs += [p for p in groove.read(gauge, d, closed) if (p[1], p[0] is None) not in
                      [(q[1], q[0] is None) for q in pairs]]
        for reading, bearing in pairs:
            if slack and reading is not None:
                exact = [r for r, b in groove.read(gauge, depth, closed) if b == bearing]
                reading = exact[0] if exact else reading
            value = None if reading is None else Number(reading, slack=3 * slack)
            rows.append({**row, "gauge_U": value, "gauge_on": bearing})
        unread = [r["gauge_U"] is None for r in rows]
        if within and any(unread):
            self.cannot_set(surely=all(unread))
        return rows

    def _mill(self, at, offset, within, slack):
        row = {"cutter_offset_U": Number(offset, slack=slack), "dial_U": None,
               "residual_U": None, "turns": None}
        dial = self.machine["dial"]
        if dial["screw_lead"] is not None:
            row["turns"] = Number(offset / float(dial["screw_lead"]), turns=True,
                                  slack=slack / float(dial["screw_lead"]))
        rate = dial["sense"] * dial["per_offset"]
        exact = dial["zero"] + rate * offset
        readings = []
        for shown, sure in self._shown(exact, dial["division"], abs(float(rate)) * slack):
            residual = 0 if shown is exact else (exact - shown) / rate
            inside, certain = self._in_range(dial, shown, sure)
            if inside or not certain:
                readings.append({**row, "dial_U": Number(shown, slack=0 if sure else slack * abs(float(rate))),
                                 "residual_U": Number(residual, slack=slack)})
            if not inside or not certain:
                readings.append(dict(row))
        unset = [r["dial_U"] is None for r in readings]
        if within and any(unset):
            self.cannot_set(surely=all(unset))
        return readings

    @staticmethod
    def _shown(exact, division, slack):
        """Pairs (what the dial shows, whether that is exact): multiples of the division
        counted from 0, the nearest one, or both where it is halfway."""
        if division is None:
            return [(exact, False)]
        below = math.floor(exact / division)
        candidates = [Fraction(division) * (below + i) for i in (-1, 0, 1, 2)]
        nearest = min(abs(float(exact - c)) for c in candidates)
        return [(c, True) for c in candidates
                if abs(float(exact - c)) <= nearest + 2 * (CLOSE + slack)]

    @staticmethod
    def _in_range(dial, shown, exact):
        if dial["low"] is None:
            return True, True
        border = 0.0 if exact else CLOSE
        inside = dial["low"] <= shown <= dial["high"]
        near = min(abs(float(shown - dial["low"])), abs(float(shown - dial["high"])))
        return inside, near > border or exact

    # What the bars make of it.
    def miss(self, section, settings, targets=None):
        """Greatest miss over the section of bars set so, and the station where it is."""
        screws = self.machine["screws"]
        start, end = sorted((self.machine_at(section, section["from"]),
                             self.machine_at(section, section["to"])))
        spring = self.machine["kind"] == "planing-form" or self.machine["bar"] == "spring"
        bar = bars.Bar(screws, settings, spring)
        sign = 1 if self.machine["feeds"] == "tip-first" else -1
        origin = float(self.taper_at(section, 0))
        strip = self.strips[section["name"]]
        if targets is None:
            if self.machine["kind"] == "planing-form":
                targets = strip.fast
            else:
                targets = lambda x: strip.cutter_offset(x, self.machine["cutter_radius"])
        cuts = list(screws) + [self.machine_at(section, x) for x in self.stations(section)]
        size, place = bars.greatest_miss(bar, lambda m: targets(origin + sign * m), start, end, cuts)
        return size, origin + sign * place


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("taper")
    options.add_argument("--shop", required=True)
    options.add_argument("--machine", required=True)
    options.add_argument("--section", action="append")
    options.add_argument("--units", choices=["in", "mm"])
    options.add_argument("--culm-diameter")
    options.add_argument("--moisture")
    given = options.parse_args()
    try:
        setup = SetUp(load_file(given.taper), load_file(given.shop), given.machine,
                      given.section, given.culm_diameter, given.moisture)
        unit = given.units or setup.unit
        write(setup.station_table(), STATION_COLUMNS, unit, sys.stdout)
        for section in setup.sections:
            print(f"# {section['name']}")
            table = setup.cutter_table(section)
            write(table, cutter_columns(setup.machine), unit, sys.stdout)
            last = table[-len(setup.machine["screws"]):]
            size, place = setup.miss(section, [row[0]["cutter_offset_U"].value for row in last])
            print(f"# greatest miss {printed(size, unit)} {unit} at {printed(place, unit)} {unit}")
    except Refused as why:
        print(f"# refused: {why}")
        return 2
    print(f"# exit status {sorted(setup.statuses)}")
    return max(setup.statuses)


if __name__ == "__main__":
    sys.exit(main())
