"""What random cases of readings have in common: a taper, a shop with gauges, noise.

The readings are made from the second model's own heights; whatever they are, both sides
have to say the same of them.
"""

from fractions import Fraction

from amounts import decimal_text, yaml_text
from judging import gauge_of
from ledger import Ledger
from lengths import INCH, parse, plain
from random_shop import ShopMaker
from random_taper import TaperMaker
from reading import load, shop_of, taper_of
from strip import Strip
from taper import Taper


class BenchMaker(TaperMaker, ShopMaker):
    """Needs self.rng; makes taper and shop, and reads them as the model does."""

    COARSEST, WORST = 0.02, 0.01  # mm: of a gauge's step, and of its error

    def chance(self, share):
        return self.rng.random() < share

    def _bench(self, amounts_of):
        self.hopeless, self.options, self.overrides = False, [], {}
        unit = self.rng.choice(("in", "mm"))
        self.taper_amounts = amounts_of(self.rng, unit)
        self.shop_amounts = amounts_of(self.rng, unit if self.chance(0.8) else self.rng.choice(("in", "mm")))
        self.taper_text = yaml_text(self.rng, self._taper())
        raw_shop = self._bench_shop()
        self.shop_text = yaml_text(self.rng, raw_shop)
        self.raw_taper = taper_of(load(self.taper_text))
        raw = load(self.shop_text)
        self.shop = shop_of({**raw, "machines": {}})
        self.decide_plain = raw.get("decide", "guarded") == "plain"
        self.gauges = {name: gauge_of(entry, raw["unit"]) for name, entry in raw["gauges"].items()}
        self.gauge_name = self.rng.choice(list(self.gauges))
        if len(self.gauges) > 1:
            self.options += ["--gauge", self.gauge_name]
        self.gauge = self.gauges[self.gauge_name]
        self.given = set(raw.get("allowances", {}))
        flats = raw["tolerances"]["flats"]
        self.flats_tolerance = tuple(
            parse(flats[way] if isinstance(flats, dict) else flats, raw["unit"]) for way in ("over", "under"))

    def _bench_shop(self):
        rng, amounts = self.rng, self.shop_amounts
        shop = {"format": "stripwright-shop-1", "name": "Saltmarsh Lane", "unit": amounts.unit}
        allowances = self._allowances()
        if allowances:
            shop["allowances"] = allowances
        if self.chance(0.8):
            shop["spare"] = {"tip_end": amounts.along(5, 60), "butt_end": amounts.along(5, 60)}
        strip = amounts.fine(0.01, 0.06)
        if self.chance(0.5):
            strip = {"over": strip, "under": amounts.fine(0.01, 0.06)}
        flats = amounts.fine(0.02, 0.1)
        if self.chance(0.5):
            flats = {"over": flats, "under": amounts.fine(0.02, 0.1)}
        shop["tolerances"] = {"strip": strip, "flats": flats}
        names = rng.sample(["caliper", "micrometer", "dial"], rng.choice((1, 1, 2)))
        shop["gauges"] = {name: {
            "resolution": amounts.fine(0.0005, self.COARSEST),
            rng.choice(("max_error", "standard_uncertainty")): amounts.fine(0.0005, self.WORST)} for name in names}
        if self.chance(0.3):
            shop["decide"] = rng.choice(("plain", "guarded"))
        return shop

    def ledger_allowances(self):
        """Those of the shop, with what the call says of this batch."""
        allowances = dict(self.shop["allowances"])
        if "culm_diameter" in self.overrides:
            allowances["culm_diameter"] = parse(self.overrides["culm_diameter"], self.raw_taper["unit"])
        if "moisture" in self.overrides:
            allowances["at_milling"] = plain(self.overrides["moisture"])
        return allowances

    def ledger(self):
        return Ledger(self.ledger_allowances(), self.raw_taper["measured"], self.shop["tolerance"])

    def rows_at(self, x):
        taper = Taper(self.raw_taper["stations"], self.raw_taper["between"])
        return self.ledger().rows(taper.value(x))

    def strip_of(self, section):
        return Strip(Taper(self.raw_taper["stations"], self.raw_taper["between"]), self.ledger(), section)

    def reading_text(self, value, unit, places):
        """A measured length (mm) as a gauge shows it, now and then with a unit of its own."""
        scale = INCH if unit == "in" else 1
        text = decimal_text(Fraction(value) / scale, places)
        if self.chance(0.01):
            if unit == "in":
                return decimal_text(Fraction(value), 3) + " mm"
            return decimal_text(Fraction(value) / INCH, 4) + " in"
        return text

    def places_in(self, low, high, count, unit):
        """Texts of stations within a section, with few decimals."""
        scale = INCH if unit == "in" else 1
        found = {}
        for i in range(count):
            at = low + (high - low) * Fraction(i * 2 + 1, count * 2)
            text = decimal_text(at / scale, self.rng.choice((0, 1, 1)))
            at = parse(text, unit)
            if low <= at <= high:
                found[at] = text
        return found
