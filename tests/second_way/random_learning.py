"""Random rings with their readings, for `learn`."""

import random
from fractions import Fraction

from amounts import Amounts, decimal_text
from glued_ring import ALLOWANCES, SECTION_STAGES, GluedRing
from learned import Estimate
from moving import Course
from random_bench import BenchMaker
from reading_tables import gathered, rows_of


class LearnCase(BenchMaker):
    """One call of `learn`: {file name: text} in `files`, the model's rings in `rings`."""

    def __init__(self, seed, number):
        self.rng, self.number = random.Random(f"learn/{seed}/{number}"), number
        self._bench(Amounts)
        # `learn` knows no batch: what the shop file says holds.
        self.options = [each for i, each in enumerate(self.options)
                        if each == "--gauge" or (i and self.options[i - 1] == "--gauge")]
        self.overrides = {}
        self.unit = self.rng.choice(("in", "mm"))
        self.options += ["--units", self.unit]
        self.files = {"taper.yaml": self.taper_text, "shop.yaml": self.shop_text}
        self.noise = self.rng.choice((0.0, 0.002, 0.004, 0.01))
        self.moist = self.shop["allowances"]["swell"] and self.chance(0.7)
        self.rings = []
        for rod in range(self.rng.choice((1, 1, 2, 3, 4, 6))):
            layers = {name: max(0.0, float(self.shop["allowances"][name]) + self.rng.choice((0, 0.01))
                                * self.rng.gauss(0, 1)) for name in ("glue_line", "cleanup", "varnish")}
            sections = self.raw_taper["sections"]
            for section in self.rng.sample(sections, self.rng.randint(1, min(2, len(sections)))):
                self._ring(f"rod {rod + 1}", section, layers)

    def estimates(self):
        allowances = self.shop["allowances"]
        in_shop = {"glue line": allowances["glue_line"], "clean-up": allowances["cleanup"],
                   "varnish": allowances["varnish"],
                   "clean-up less glue line": allowances["cleanup"] - allowances["glue_line"]}
        values = [value for ring in self.rings for value in ring.values()]
        return [Estimate(name, values, self.gauge, in_shop[name]) for name in ALLOWANCES]

    def features(self):
        """What this case is made of."""
        ledger = self.ledger()
        yield f"enamel off {ledger.off}, face {'round' if ledger.round else 'flat'}"
        yield f"taper measured {self.raw_taper['measured']}, {self.raw_taper['between']}"
        if ledger.relief:
            yield "apex relief"
        for ring in self.rings:
            yield f"ring with heights {ring.stage}" if ring.stage else "ring without heights"
            yield "ring with flats " + ", ".join(ring.flats)
            for what, there in (("ring with moisture", ring.moisture), ("ring not marked", not ring.marked),
                                ("ring with moved strips", any(ring.shifts.values()))):
                if there:
                    yield what
            if any(len(flats) < 3 for places in ring.flats.values() for flats in places.values()):
                yield "ring with a flat that was not read"
            if any(len(places) < len(self.stations_of(ring)) for places in ring.heights.values()):
                yield "ring with a height that was not read"
        yield f"{len({ring.rod for ring in self.rings})} rods"
        yield f"output in {self.unit}"

    @staticmethod
    def stations_of(ring):
        return {x for places in ring.flats.values() for x in places}

    def call(self):
        return ["learn"] + [ring.name + ".yaml" for ring in self.rings] + ["--shop", "shop.yaml"] + self.options

    def _ring(self, rod, section, layers):
        rng, number = self.rng, len(self.rings) + 1
        strip = self.strip_of(section)
        unit = rng.choice(("in", "mm"))
        self.places = rng.choice((4, 5)) if unit == "in" else rng.choice((2, 3))
        stations = self.places_in(section["from"], section["to"], rng.choice((1, 2, 3, 4, 7, 15)), unit)
        while not stations:
            stations = self.places_in(section["from"], section["to"], rng.choice((3, 4, 7)), "mm")
            unit = "mm"
        names = [f"s{number}{letter}" for letter in "abcdef"]
        stages = [s for s in SECTION_STAGES if self.chance(0.8)]
        heights = rng.choice((["ready"], ["ready"], ["milled"], ["milled", "ready"], []))
        if not ({"bare"} & set(stages) or (heights and "glued" in stages)):
            stages = ["glued", "bare"]
        if stages == ["bare"] and not heights:
            heights = ["ready"]
        if self.chance(0.005):
            stages, heights = ["glued"], []  # teaches nothing, and is refused
        moisture = {stage: Fraction(rng.randint(50, 120), 10) for stage in heights + stages
                    if self.moist and self.chance(0.9)}
        shifts = {}
        if self.chance(0.3):
            tip, butt = self.shop["spare"]
            shifts = {name: self._shift(-tip, butt, unit) for name in names if self.chance(0.5)}
        raw = {"name": f"ring {number}", "rod": rod, "piece": f"piece {number}", "strips": names,
               "shifts": {name: value for name, (value, _) in shifts.items()},
               "marked": self.chance(0.8), "moisture": moisture}
        tables = self._readings(raw, strip, unit, stations, heights, stages, layers)
        for stage, text in tables.items():
            self.files[f"{number}-{stage}.csv"] = text
        self._ring_file(raw, section, unit, shifts, tables, number)
        read = {stage: gathered(rows_of(text), "strip" if stage in heights else "piece",
                                ("a",) if stage in heights else ("f1", "f2", "f3"), section, self.shop["spare"])
                for stage, text in tables.items()}
        self.rings.append(GluedRing(raw, strip, read, self.gauge, self.shop["allowances"]))

    def _shift(self, low, high, unit):
        scale = Fraction(254, 10) if unit == "in" else 1
        value = Fraction(self.rng.uniform(float(low), float(high))) / scale
        text = decimal_text(value, 2 if unit == "in" else 0)
        exact = Fraction(text) * scale
        return (exact, text) if low <= exact <= high else (Fraction(0), "0")

    def _readings(self, raw, strip, unit, stations, heights, stages, layers):
        """Made from heights of strips as they are when glued, of no enamel and apex."""
        rng, allowances = self.rng, self.shop["allowances"]
        bare_course = Course(strip, "milled")
        true, tables = {}, {}
        for x in stations:
            true[x] = [float(strip.glued(x)) + rng.gauss(0, self.noise) for _ in range(6)]

        def swollen(stage):
            now = raw["moisture"].get(stage, allowances["in_service"])
            return float(1 + allowances["swell"] * (now - allowances["in_service"]))

        for stage in heights:
            rows = []
            for x, text in stations.items():
                on = float(bare_course.enamel(x)) if stage == "milled" or bare_course.late else 0.0
                off = float(allowances["apex_relief"]) if stage == "ready" else 0.0
                for name, height in zip(raw["strips"], true[x]):
                    if self.chance(0.02) and len(stations) > 1 and any(row[0] == name for row in rows):
                        continue
                    for _ in range(rng.choice((1, 1, 1, 2, 3))):
                        rows.append([name, text, self._slip(height * swollen(stage) + on - off, unit)])
            tables[stage] = self._table(["strip", f"at_{unit}", f"a_{unit}"], rows)
        for stage in stages:
            rows = []
            for x, text in stations.items():
                flats = []
                on = float(bare_course.enamel(x)) if bare_course.late and stage == "glued" else 0.0
                for i in range(3):
                    flat = true[x][i] + true[x][i + 3] + 2 * layers["glue_line"] + 2 * on
                    flat -= 0 if stage == "glued" else 2 * layers["cleanup"]
                    flat += 2 * layers["varnish"] if stage == "varnished" else 0
                    flats.append(flat * swollen(stage))
                if self.chance(0.03) and rows:
                    continue
                for _ in range(rng.choice((1, 1, 1, 2, 3))):
                    row = [self._slip(flat, unit) for flat in flats]
                    if self.chance(0.02):
                        row[rng.randrange(3)] = ""
                    rows.append([raw["piece"], text] + row)
            rows.append(["another", text] + [self.reading_text(f, unit, self.places) for f in flats])
            tables[stage] = self._table(["piece", f"at_{unit}"] + [f"f{i}_{unit}" for i in (1, 2, 3)], rows)
        return tables

    def _slip(self, value, unit):
        """A reading with its scatter; now and then the gauge slipped."""
        value += self.rng.gauss(0, self.noise / 3) + (self.rng.choice((-1, 1)) * 0.06 if self.chance(0.004) else 0)
        return self.reading_text(value, unit, self.places)

    def _table(self, columns, rows):
        self.rng.shuffle(rows)
        text = "\n".join([",".join(columns)] + [",".join(row) for row in rows]) + "\n"
        return text.replace(",", self.rng.choice((",", ",", ";", "\t")))

    def _ring_file(self, raw, section, unit, shifts, tables, number):
        lines = ["format: stripwright-ring-1", "taper: taper.yaml", f"section: {section['name']}", f"unit: {unit}",
                 f"rod: {raw['rod']}", f"piece: {raw['piece']}", f"strips: [{', '.join(raw['strips'])}]"]
        if shifts:
            lines.append("shifts: {" + ", ".join(f"{name}: {text}" for name, (_, text) in shifts.items()) + "}")
        if not raw["marked"]:
            lines.append("marked: false")
        if raw["moisture"]:
            lines.append("moisture: {" + ", ".join(
                f"{stage}: {decimal_text(value, 1)}" for stage, value in raw["moisture"].items()) + "}")
        lines.append("readings: {" + ", ".join(f"{stage}: {number}-{stage}.csv" for stage in tables) + "}")
        self.files[raw["name"] + ".yaml"] = "\n".join(lines) + "\n"
