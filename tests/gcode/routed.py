"""Random tapers and shops with a milling machine that is moved by a program, or a pattern mill.

The tapers and the shops' habits are those of ../second_way/generate.py; the machine
is made here. Profiles are computed by ../second_way, which shares nothing with the
program's own source.
"""

import os
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "second_way"))

from amounts import decimal_text, exact_text, yaml_text  # noqa: E402
from generate import Case  # noqa: E402
from ledger import Refused  # noqa: E402
from lengths import INCH, parse  # noqa: E402
from model import SetUp  # noqa: E402
from reading import load  # noqa: E402

__all__ = ["Refused", "RoutedCase", "SetUp", "load"]

CLEAR_OF_ENDS = 2  # mm; the manual: so much more than the cutter's radius


class RoutedCase:
    """One call of the program for a machine of this kind: `cnc-mill` or `pattern-mill`."""

    def __init__(self, seed, number, kind="cnc-mill"):
        self.number, self.kind = number, kind
        case = self.case = Case(f"{kind}/{seed}", number)
        self.rng = case.rng
        self.unit = case.shop_amounts.unit
        self.too_far = False  # limits that cannot be kept
        self.options = [o for o in case.options]
        if "--format" in self.options:
            at = self.options.index("--format")
            del self.options[at:at + 2]
        self.shop = dict(case.shop)
        self.machine = self._machine()
        self.shop["machines"] = {"slide 1": self.machine}
        self.taper_text = case.taper_text
        self.shop_text = yaml_text(self.rng, self.shop)

    def second_way(self):
        """The set-up computed a second time; Refused where there is none."""
        return SetUp(load(self.taper_text), load(self.shop_text), "slide 1",
                     self.case.sections, **self.case.overrides)

    def call(self, taper_path, shop_path, out):
        return ["setup", taper_path, "--shop", shop_path, "--machine", "slide 1", "--out", out,
                "--format", "json"] + self.options

    @property
    def output_unit(self):
        if "--units" in self.options:
            return self.options[self.options.index("--units") + 1]
        return load(self.taper_text)["unit"]

    def _text(self, millimetres, places):
        scale = INCH if self.unit == "in" else 1
        return decimal_text(Fraction(millimetres) / scale, places)

    def _machine(self):
        rng, fine = self.rng, self.case.shop_amounts.fine
        machine = {"kind": self.kind, "strip_at": self._text(rng.choice((0, 0, rng.uniform(-300, 300))), 2)}
        if self.case.chance(0.3):
            machine["feeds"] = rng.choice(("tip-first", "butt-first"))
        radius = "0" if self.case.chance(0.05) else fine(4, 75)
        machine[rng.choice(("cutter_radius", "cutter_diameter"))] = radius
        if self.kind == "cnc-mill":
            machine["feed"] = self._text(rng.uniform(200, 3000), 1)
            machine["spindle_rpm"] = str(rng.randint(1000, 24000))
            machine["clear_height"] = self._text(rng.uniform(30, 60), 2)
        else:
            self._copier(machine)
        try:
            bare = yaml_text(rng, {**self.shop, "machines": {"slide 1": machine}})
            plain = SetUp(load(self.case.taper_text), load(bare), "slide 1", self.case.sections,
                          **self.case.overrides)
        except Refused:
            return machine
        if self.kind == "cnc-mill" and self.case.chance(0.5):
            machine["limits"] = self._limits(plain)
        if self.case.chance(0.7):
            machine["passes"] = self._passes(plain)
        return machine

    def _limits(self, plain):
        rng, radius = self.rng, float(plain.machine["cutter_radius"])
        reaches = [plain.machine_reach(s) for s in plain.sections]
        low = min(float(a) for a, _ in reaches) - radius - CLEAR_OF_ENDS
        high = max(float(b) for _, b in reaches) + radius + CLEAR_OF_ENDS
        # Too tight by a millimetre at one end, or with one to spare.
        self.too_far = self.case.chance(0.2)
        spare = [1, 1]
        if self.too_far:
            spare[rng.randint(0, 1)] = -1
        return {"x": [self._text(low - spare[0], 4), self._text(high + spare[1], 4)],
                "z": [self._text(-10, 2), self._text(rng.uniform(60.1, 200), 2)],
                "feed": self._text(4000, 1), "spindle_rpm": "24000"}

    def _copier(self, machine):
        rng, fine = self.rng, self.case.shop_amounts.fine
        machine["follower_radius"] = "0" if self.case.chance(0.1) else fine(1, 60)
        if self.case.chance(0.8):
            machine["pattern_per_cutter"] = rng.choice(("1", "2", "3", "0.5", "-1", "-2.5", "1.25"))
        if self.case.chance(0.7):
            machine["base"] = fine(0, 30)
        if self.case.chance(0.7):
            machine["outline_tolerance"] = fine(0.0005, 0.02)

    def _passes(self, plain):
        rng, fine = self.rng, self.case.shop_amounts.fine
        if self.case.chance(0.2):
            stages = sorted((fine(0.1, 1.2) for _ in range(rng.randint(1, 2))),
                            key=lambda t: -parse(t, self.unit))
            if len({parse(t, self.unit) for t in stages}) < len(stages):
                stages = stages[:1]
            return {"over": stages + ["0"]}
        bounds = [plain.strips[s["name"]].least_milled(*plain.strip_reach(s)) for s in plain.sections]
        least, most = min(low for low, _ in bounds), max(high for _, high in bounds)
        last_cut = fine(0.05, 0.4)
        rough = None
        start = rng.choice(("over", "over", "height", "height", "plain"))
        if start == "plain":
            to_take = most + plain.shop["rough_over"] - least
        elif start == "over":
            to_take = rng.uniform(0.2, 2.5)
            rough = {"over": fine(to_take, to_take + 0.1)}
            to_take = parse(rough["over"], self.unit)
        else:
            # Now and then lower than the strip: refused.
            low = self.case.chance(0.05)
            rough = {"height": fine(most - Fraction(1, 10) if low else most + Fraction(1, 50), most + 2)}
            to_take = parse(rough["height"], self.unit) - least
        rest = to_take - parse(last_cut, self.unit)
        max_cut = fine(0.4, 1.5)
        if self.case.chance(0.3) and isinstance(rest, Fraction) and rest > 0:
            # Cuts that come out even.
            max_cut = exact_text(rest / rng.choice((1, 2, 4, 5))) or max_cut
        if parse(max_cut, self.unit) < parse(last_cut, self.unit):
            max_cut = last_cut
        plan = {"max_cut": max_cut, "last_cut": last_cut}
        return plan if rough is None else {"rough": rough, **plan}
