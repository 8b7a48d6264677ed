#!/usr/bin/python3
"""Random tapers and shops, the same for the same seed.

    generate.py --seed S --case N --out DIR     writes one case's files and its call

Sizes are those of real rods, with steep tips, hinges, gaps and misfits more often
than in life. Some cases cannot be set (exit status 1), a few cannot be computed (2).
"""

import argparse
import os
import random
from fractions import Fraction

from amounts import Amounts, decimal_text, exact_text, yaml_text
from groove import half_width
from ledger import Refused
from lengths import INCH, parse
from model import SetUp
from reading import load

SECTION_NAMES = {
    1: [["whole"], ["tip"]],
    2: [["tip", "butt"], ["Tip 1", "Butt"]],
    3: [["tip", "mid", "butt"], ["tip", "upper mid", "butt"]],
    4: [["tip", "mid-1", "mid-2", "butt"], ["A", "B", "C", "D"]],
}
MACHINE_NAMES = ["steel form", "long form", "bed", "Screw Bed 2", "old-mill", "F1"]


class Case:
    """One call of the program: two files, a machine, the options."""

    def __init__(self, seed, number, passes=0.12, fitted=0.04):
        self.rng = random.Random(f"{seed}/{number}")
        self.number = number
        self.share_passes, self.share_fitted = passes, fitted
        self.hopeless = self.rng.random() < 0.02
        taper_unit = self.rng.choice(("in", "mm"))
        shop_unit = taper_unit if self.rng.random() < 0.8 else self.rng.choice(("in", "mm"))
        self.taper_amounts = Amounts(self.rng, taper_unit)
        self.shop_amounts = Amounts(self.rng, shop_unit)
        self.taper = self._taper()
        self.options = []
        self.sections = None
        self.overrides = {}
        self.shop = self._shop()
        self.taper_text = yaml_text(self.rng, self.taper)
        self.shop_text = yaml_text(self.rng, self.shop)

    def chance(self, share):
        return self.rng.random() < share

    def setup(self):
        return SetUp(load(self.taper_text), load(self.shop_text), self.machine,
                     self.sections, **self.overrides)

    def call(self, taper_path, shop_path, out):
        return ["setup", taper_path, "--shop", shop_path, "--machine", self.machine,
                "--out", out] + self.options

    # The taper.
    def _places(self):
        """Texts of the stations' places, increasing."""
        rng, amounts = self.rng, self.taper_amounts
        length = rng.uniform(1300, 3400)
        first = 0 if self.chance(0.9) else rng.uniform(10, 200)
        style = rng.random()
        if style < 0.6:
            if amounts.unit == "in":
                step = rng.choice((3, 5, 5, 5, 6, 10, Fraction(5, 2))) * INCH
                places, scale = 1, INCH
            else:
                step, places, scale = Fraction(rng.choice((100, 125, 127, 150, 250))), 0, 1
            count = int(length / step) + 1
            return [decimal_text(i * step / scale, places) for i in range(count + 1)]
        count = rng.choice((2, 3, 4)) if style < 0.8 else rng.randint(5, 22)
        least = 0.3 * (length - first) / count
        marks = [first] + sorted(rng.uniform(first, first + length) for _ in range(count - 1))
        for i in range(1, count):
            marks[i] = max(marks[i], marks[i - 1] + least)
        texts = [amounts.along(m, m + 0.5 * least) for m in marks]
        return ["0" if first == 0 else texts[0]] + texts[1:]

    def _taper(self):
        rng, amounts = self.rng, self.taper_amounts
        texts = self._places()
        at = [parse(t, amounts.unit) for t in texts]
        steep = self.chance(0.25)
        across = rng.uniform(1.0, 1.7) if steep else rng.uniform(1.4, 2.8)
        if self.chance(0.02):
            across = rng.uniform(0.45, 0.9)
        slope = rng.uniform(0.0015, 0.0045)
        stations = {}
        for i, text in enumerate(texts):
            if i:
                run = float(at[i] - at[i - 1])
                local = slope * rng.uniform(0.5, 1.6)
                if steep and float(at[i]) < 200:
                    local = rng.uniform(0.015, 0.05)
                if self.chance(0.04):
                    local = rng.choice((0.0, -0.3)) * slope
                across = min(max(across + run * local, 0.5), 17 + rng.random())
            stations[text] = amounts.fine(across, across + 0.03)
        if self.chance(0.04):
            # The wrong way round: thick at the tip, a steep fall at the butt.
            stations = dict(zip(stations, reversed(stations.values())))
        sections = self._sections(at)
        if self.chance(0.2):
            keys = list(stations)
            rng.shuffle(keys)
            stations = {k: stations[k] for k in keys}
        taper = {"format": "stripwright-taper-1"}
        if self.chance(0.8):
            taper["name"] = rng.choice(("Yarrow", "Teasel", "Burdock", "Sorrel"))
        if self.chance(0.3):
            taper["about"] = "invented for a test"
        taper["unit"] = amounts.unit
        if self.chance(0.6):
            taper["measured"] = rng.choice(("bare", "varnished"))
        if self.chance(0.7):
            taper["between"] = rng.choice(("linear", "smooth"))
        taper["taper"] = stations
        taper["sections"] = {
            name: {"from": a, "to": b} | ({"make": str(rng.randint(1, 3))} if self.chance(0.3) else {})
            for name, a, b in sections
        }
        if len(sections) > 1 and self.chance(0.3):
            taper["ferrules"] = [{"at": sections[0][2], "bore": amounts.fine(2, 6)}]
        return taper

    def _sections(self, at):
        rng, amounts = self.rng, self.taper_amounts
        unit = amounts.unit
        count = rng.choice((1, 2, 2, 2, 3, 3, 4))
        first, last = at[0], at[-1]
        part = (last - first) / count
        ends = [first]
        for i in range(1, count):
            near = first + part * i
            inner = [x for x in at if abs(x - near) < part / 3]
            if inner and self.chance(0.6):
                ends.append(rng.choice(inner))
            else:
                ends.append(parse(amounts.along(near - part / 4, near + part / 4), unit))
        ends.append(last)
        if self.chance(0.1):
            ends[0] += part / 10
        if self.chance(0.1):
            ends[-1] -= part / 10
        sections = []
        for i, name in enumerate(rng.choice(SECTION_NAMES[count])):
            a, b = ends[i], ends[i + 1]
            if i and self.chance(0.08):
                a += part / 12
            sections.append((name, self._place(a, first, last), self._place(b, first, last)))
        return sections

    def _place(self, value, first, last):
        """Text for a place that must not leave the taper: exact, or to a tenth of a mm."""
        scale = INCH if self.taper_amounts.unit == "in" else 1
        text = decimal_text(value / scale, 5)
        if parse(text, self.taper_amounts.unit) == value:
            return text
        rounded = Fraction(round(value * 10), 10)
        if first < rounded < last:
            return decimal_text(rounded, 1) + " mm"
        return exact_text(value)

    # The shop.
    def _allowances(self):
        rng, fine = self.rng, self.shop_amounts.fine
        allowances = {}
        heavy = 12 if self.hopeless else 1
        if self.chance(0.8):
            allowances["varnish"] = fine(0, 0.07)
        if self.chance(0.8):
            allowances["cleanup"] = fine(0, 0.06)
        if self.chance(0.8) or self.hopeless:
            allowances["glue_line"] = fine(0.09 * (heavy - 1), 0.1 * heavy)
        if self.chance(0.8):
            enamel = {}
            if self.chance(0.9):
                enamel["thickness"] = fine(0.02, 0.25)
            if self.chance(0.8):
                enamel["off"] = rng.choice(("before-milling", "before-gluing", "after-gluing"))
            if self.chance(0.65):
                enamel["culm_diameter"] = fine(28, 90)
                if self.chance(0.5):
                    enamel["face"] = rng.choice(("round", "flat"))
            elif self.chance(0.3):
                enamel["face"] = "flat"
            if "culm_diameter" in enamel and self.chance(0.1):
                text = self.taper_amounts.fine(28, 90)
                self.options += ["--culm-diameter", text]
                self.overrides["culm_diameter"] = text
            if enamel:
                allowances["enamel"] = enamel
        if self.chance(0.2):
            allowances["apex_relief"] = fine(0, 0.15)
        if self.chance(0.4):
            allowances["moisture"] = {
                "per_percent": decimal_text(Fraction(rng.uniform(0.0002, 0.003)), 4),
                "at_milling": decimal_text(Fraction(rng.uniform(5, 14)), rng.choice((0, 1))),
                "in_service": decimal_text(Fraction(rng.uniform(5, 14)), rng.choice((0, 1))),
            }
            if self.chance(0.15):
                text = decimal_text(Fraction(rng.uniform(5, 14)), 1)
                self.options += ["--moisture", text]
                self.overrides["moisture"] = text
        return allowances

    def _shop(self):
        rng, amounts = self.rng, self.shop_amounts
        shop = {"format": "stripwright-shop-1"}
        if self.chance(0.7):
            shop["name"] = "Saltmarsh Lane"
        shop["unit"] = amounts.unit
        shop["allowances"] = self._allowances()
        if not shop["allowances"]:
            del shop["allowances"]
        shop["spare"] = {"tip_end": amounts.along(0 if self.chance(0.1) else 15, 60),
                         "butt_end": amounts.along(0 if self.chance(0.1) else 15, 60)}
        strip = amounts.fine(0.01, 0.06)
        if self.chance(0.4):
            strip = {"over": strip, "under": amounts.fine(0.01, 0.06)}
        shop["tolerances"] = {"strip": strip}
        if self.chance(0.4):
            shop["gauges"] = {"caliper": {"resolution": amounts.fine(0.005, 0.02),
                                          "standard_uncertainty": amounts.fine(0.002, 0.01)}}
        names = rng.sample(MACHINE_NAMES, rng.choice((1, 1, 2)))
        self.machine = names[0]
        self._options()
        machine = self._bare_machine()
        shop["machines"] = {self.machine: machine}
        try:
            setup = SetUp(load(yaml_text(rng, self.taper)), load(yaml_text(rng, shop)),
                          self.machine, self.sections, **self.overrides)
            self._fit_out(machine, setup)
        except Refused:
            pass
        for other in names[1:]:
            shop["machines"][other] = {"kind": "screw-mill", "screws": machine["screws"],
                                       "strip_at": machine["strip_at"], "cutter_radius": amounts.fine(20, 50)}
            if self.chance(0.5):
                shop["machines"] = dict(reversed(shop["machines"].items()))
        return shop

    def _options(self):
        rng = self.rng
        if self.chance(0.5):
            self.options += ["--units", rng.choice(("in", "mm"))]
        names = list(self.taper["sections"])
        if len(names) > 1 and self.chance(0.08):
            self.sections = sorted(rng.sample(names, rng.randint(1, len(names) - 1)), key=names.index)
            for name in self.sections:
                self.options += ["--section", name]
        if self.chance(0.1):
            self.options += ["--format", "csv"]

    def _bare_machine(self):
        """Kind, screws and where the strip lies: enough to know the depths by."""
        rng, amounts = self.rng, self.shop_amounts
        unit = amounts.unit
        kind = rng.choice(("planing-form", "screw-mill"))
        machine = {"kind": kind}
        spans = {n: parse(s["to"], self.taper_amounts.unit) - parse(s["from"], self.taper_amounts.unit)
                 for n, s in self.taper["sections"].items()}
        if len(spans) > 1 and not self.sections and self.chance(0.12):
            served = rng.sample(list(spans), rng.randint(1, len(spans) - 1))
            machine["for"] = served
            spans = {n: spans[n] for n in served}
        longest = max(spans.values()) + 120
        pitch = rng.choice((5, 5, 4, 3, 6)) * INCH if unit == "in" else Fraction(rng.choice((125, 100, 127, 150)))
        pitch = max(pitch, longest / 22)
        pitch = parse(decimal_text(pitch / (INCH if unit == "in" else 1), 1), unit)
        count = int(longest / pitch) + rng.randint(2, 5)
        if self.chance(0.05):
            count = max(2, count - rng.randint(3, 5))
        scale = INCH if unit == "in" else 1
        first = Fraction(0) if self.chance(0.8) else Fraction(rng.randint(-4, 40)) * scale / 2
        if self.chance(0.8):
            machine["screws"] = {"first": decimal_text(first / scale, 1),
                                 "pitch": decimal_text(pitch / scale, 1), "count": str(count)}
        else:
            places = [first + i * pitch + (Fraction(rng.randint(-8, 8)) if 0 < i else 0) for i in range(count)]
            machine["screws"] = [decimal_text(p / scale, rng.choice((1, 2, 3))) for p in places]
        spare_room = first + pitch * (count - 1) - first - longest
        if spare_room > 0:
            at = first + spare_room * Fraction(rng.randint(0, 100), 100)
        else:
            at = first
        machine["strip_at"] = decimal_text(at / scale, rng.choice((0, 1, 2)) if at != first else 3)
        if self.chance(0.3):
            machine["feeds"] = rng.choice(("tip-first", "butt-first"))
        if kind == "screw-mill":
            if self.chance(0.6):
                machine["bar"] = rng.choice(("spring", "straight"))
            radius = "0" if self.chance(0.05) else amounts.fine(8, 75)
            machine[rng.choice(("cutter_radius", "cutter_diameter"))] = radius
        if machine.get("bar") != "straight" and self.chance(self.share_fitted):
            machine["fit"] = "best"
        elif self.chance(0.1):
            machine["fit"] = "at-screws"
        return machine

    def _fit_out(self, machine, setup):
        """Closed depth, gauge, dial and passes that suit the depths, mostly."""
        wanted = []
        for section in setup.sections:
            reach = setup.machine_reach(section)
            for at in setup.machine["screws"]:
                if reach[0] <= at <= reach[1]:
                    x = setup.taper_at(section, at)
                    wanted.append((at, setup.offset(section, x), setup.strips[section["name"]].milled(x)))
        if not wanted:
            return
        if machine["kind"] == "planing-form":
            self._fit_form(machine, setup.machine["screws"], wanted)
        else:
            self._fit_mill(machine, wanted)
        if self.chance(self.share_passes):
            machine["passes"] = self._passes(machine, setup)

    def _fit_form(self, machine, screws, wanted):
        rng, fine = self.rng, self.shop_amounts.fine
        first, last = screws[0], screws[-1]
        thin, thick = 1.0, rng.choice((1.0, rng.uniform(1, 3)))

        def closed(at):
            return thin + (thick - thin) * float((at - first) / (last - first))

        size = min(float(depth) / closed(at) for at, depth, _ in wanted)
        size *= rng.uniform(1.01, 1.2) if self.chance(0.06) else rng.uniform(0.15, 0.985)
        if machine.get("fit") == "best":
            size *= 0.6  # what a fitted screw does at the closed depth is another matter
        know = self.chance(0.8)
        if know:
            ends = [size * thin * 0.995, size * thick * 0.995]
            machine["closed_depth"] = {"thin_end": fine(ends[0] * 0.98, ends[0]),
                                       "thick_end": fine(ends[1] * 0.98, ends[1])}
        if self.chance(0.8):
            machine["screw_lead"] = rng.choice((fine(0.5, 2), "1/20 in", "1/24 in", "1.25 mm", "0.8 mm"))
        tip = rng.choice(("sharp", "flat", "ball", "none"))
        if tip == "sharp":
            machine["depth_gauge"] = {"tip": "sharp"}
        elif tip == "flat":
            least = min(2 * half_width(float(d), 0) for _, d, _ in wanted)
            share = rng.uniform(1.02, 1.3) if self.chance(0.08) else rng.uniform(0.1, 0.97)
            machine["depth_gauge"] = {"tip": "flat", "diameter": fine(share * least * 0.99, share * least)}
        elif tip == "ball":
            most = max((float(d) - size * closed(at) if know else float(d) * 0.7) * 4 / 3 for at, d, _ in wanted)
            share = rng.uniform(0.5, 0.97) if self.chance(0.1) else rng.uniform(1.02, 2)
            machine["depth_gauge"] = {"tip": "ball", "diameter": fine(share * most * 0.99, share * most + 0.01)}

    def _fit_mill(self, machine, wanted):
        rng, fine = self.rng, self.shop_amounts.fine
        if self.chance(0.05):
            return
        dial, sense, rate, zero = {}, 1, Fraction(1), Fraction(0)
        if self.chance(0.7):
            dial["zero"] = fine(0, 8)
            zero = parse(dial["zero"], self.shop_amounts.unit)
        if self.chance(0.5):
            dial["counts"] = rng.choice(("up", "down"))
            sense = 1 if dial["counts"] == "up" else -1
        if self.chance(0.5):
            rate = rng.choice((Fraction(1), Fraction(2), Fraction(1, 2), Fraction(5, 4)))
            dial["dial_per_offset"] = decimal_text(rate, 2)
        if self.chance(0.75):
            dial["division"] = rng.choice(("0.0005 in", "0.001 in", "0.01 mm", "0.02 mm", "10 um"))
        if self.chance(0.8):
            dial["screw_lead"] = rng.choice(("0.025 in", "1/20 in", "1 mm", "0.5 mm", "1/24 in"))
        if self.chance(0.5):
            shown = [zero + sense * rate * Fraction(o) for _, o, _ in wanted]
            low, high = min(shown), max(shown)
            room = (high - low) / 10 + Fraction(1, 10)
            if self.chance(0.1):
                low += room * 2
            low, high = low - room, high + room
            scale = INCH if self.shop_amounts.unit == "in" else 1
            dial["range"] = [decimal_text(low / scale, 3), decimal_text(high / scale, 3)]
        if dial:
            machine["dial"] = dial

    def _passes(self, machine, setup):
        rng, fine = self.rng, self.shop_amounts.fine
        if machine["kind"] == "planing-form":
            stages = sorted((fine(0.1, 1.2) for _ in range(rng.randint(1, 2))),
                            key=lambda t: -parse(t, self.shop_amounts.unit))
            return {"over": stages + ["0"]}
        bounds = [setup.strips[s["name"]].least_milled(*setup.strip_reach(s)) for s in setup.sections]
        most, unit = max(high for _, high in bounds), self.shop_amounts.unit
        last_cut = rng.choice((fine(0.05, 0.4), "0.5 mm", "0.01 in"))
        if self.chance(0.5):
            rough = {"over": rng.choice((fine(0.3, 2.5), "0.03 in", "0.06 in", "1.5 mm", "2 mm"))}
            to_take = parse(rough["over"], unit)
        else:
            rough = {"height": fine(most + Fraction(1, 20), most + 2)}
            to_take = parse(rough["height"], unit) - rng.choice(bounds)[0]
        max_cut = rng.choice((fine(0.5, 1), "0.5 mm", "0.03 in", "0.02 in", "0.005 in"))
        to_take -= parse(last_cut, unit)
        if self.chance(0.3) and isinstance(to_take, Fraction) and to_take > 0:
            # The number of passes just on the border: cuts that come out even.
            max_cut = exact_text(to_take / rng.choice((1, 2, 4, 5))) or max_cut
        return {"rough": rough, "max_cut": max_cut, "last_cut": last_cut}


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seed", default="1")
    options.add_argument("--case", type=int, default=0)
    options.add_argument("--passes", type=float, default=0.12)
    options.add_argument("--fitted", type=float, default=0.04)
    options.add_argument("--out", default=".")
    given = options.parse_args()
    case = Case(given.seed, given.case, given.passes, given.fitted)
    os.makedirs(given.out, exist_ok=True)
    for name, text in (("taper.yaml", case.taper_text), ("shop.yaml", case.shop_text)):
        with open(os.path.join(given.out, name), "w", encoding="utf-8") as file:
            file.write(text)
    print(" ".join(f"'{a}'" if " " in a else a for a in case.call("taper.yaml", "shop.yaml", "out")))


if __name__ == "__main__":
    main()
