"""Random shops: allowances, spare, tolerances, gauges and one to two machines."""

from fractions import Fraction

from amounts import decimal_text, yaml_text
from ledger import Refused
from model import SetUp
from reading import load

MACHINE_NAMES = ["steel form", "long form", "bed", "Screw Bed 2", "old-mill", "F1"]


class ShopMaker:
    """Needs a MachineMaker beside it, and the taper made before."""

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
        if self.chance(0.1):
            del shop["spare"][rng.choice(("tip_end", "butt_end"))]
        elif self.chance(0.03):
            del shop["spare"]
        if self.chance(0.4):
            shop["rough"] = {"over": amounts.fine(0, 1.5)}
            if self.chance(0.3):
                shop["rough"]["split"] = amounts.fine(0, 3)
        strip = amounts.fine(0.01, 0.06)
        if self.chance(0.4):
            strip = {"over": strip, "under": amounts.fine(0.01, 0.06)}
        if self.chance(0.95):
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
            shop["machines"][other] = {
                "kind": "screw-mill", "screws": {"pitch": "5 in", "count": "12"},
                "cutter_radius": amounts.fine(20, 50)}
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
