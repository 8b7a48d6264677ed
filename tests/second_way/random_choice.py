"""Random strips to choose six of, for `choose`: with and without shifts, nodes, densities."""

import random
from fractions import Fraction

from amounts import Amounts, decimal_text
from chosen import Bench, Candidate, NodeRules
from judging import Repeated
from lengths import INCH, parse
from moving import Course
from printing import printed
from random_bench import BenchMaker
from reading_tables import gathered, rows_of


class ChooseCase(BenchMaker):
    """One call of `choose` for one section: one ring of it, or two of twelve strips that lie as they are."""

    COARSEST, WORST = 0.004, 0.002  # mm: most strips can be proven right

    def __init__(self, seed, number):
        self.rng, self.number = random.Random(f"choose/{seed}/{number}"), number
        self._bench(Amounts)
        rng = self.rng
        self.section = rng.choice(self.raw_taper["sections"])
        self.stage = rng.choice(("milled", "ready"))
        self.all, self.unit = self.chance(0.5), rng.choice(("in", "mm"))
        self.rings = 2 if self.chance(0.06) else 1
        self.options += ["--section", self.section["name"], "--stage", self.stage, "--rings", str(self.rings),
                         "--units", self.unit, "--out", "out"] + (["--all"] if self.all else [])
        self._moisture()
        self._shifts()
        self.course = Course(self.strip_of(self.section), self.stage, self.swell_now / self.swell_mill)
        self.dense = self.chance(0.4)
        count = rng.choice((6, 6, 6 if self.few else 7) if self.nodes else (5, 6, 6, 7, 7, 8, 8))
        count = 12 if self.rings == 2 else count
        names = [f"s{i}" for i in range(1, count + 1)]
        self.files = {"taper.yaml": self.taper_text, "shop.yaml": self.shop_text}
        self._readings(names)
        self.node_places = {name: [] for name in names}
        self.rules = None
        if self.nodes:
            self._nodes(names)

    def features(self):
        """What this case is made of."""
        ledger = self.ledger()
        yield f"enamel off {ledger.off}, face {'round' if ledger.round else 'flat'}"
        yield f"strips {self.stage}" + (", apex relief" if ledger.relief else "")
        if self.swell_now != self.swell_mill:
            yield "strips measured at another moisture than milled"
        if ledger.swell != 1:
            yield "milled at another moisture than in service"
        rings = "two rings" if self.rings == 2 else "a ring"
        yield f"{len(self.density)} strips for {rings}" + (", all may be chosen" if self.all else "")
        yield f"{len(self.grid)} shifts" + (", nodes known" if self.nodes else "")
        yield "decided " + ("plainly" if self.decide_plain else "with proof")
        if self.dense:
            yield "densities"
        if self.shop["tolerance"][0] != self.shop["tolerance"][1]:
            yield "more allowed one way than the other"
        yield f"output in {self.unit}"

    def call(self):
        return ["choose", "taper.yaml", "strips.csv", "--shop", "shop.yaml"] + self.options

    def _moisture(self):
        allowances = self.shop["allowances"]
        at_milling = self.ledger_allowances()["at_milling"]
        now = at_milling
        if self.stage == "ready" and allowances["swell"] and self.chance(0.6):
            text = decimal_text(Fraction(self.rng.uniform(4, 13)), 1)
            self.options += ["--moisture-now", text]
            now = Fraction(text)
        self.swell_mill, self.swell_now = (
            1 + allowances["swell"] * (moisture - allowances["in_service"]) for moisture in (at_milling, now))

    def _shifts(self):
        """The grid, and whether nodes are known."""
        tip, butt = self.shop["spare"]
        self.shifting = self.rings == 1 and self.chance(0.65)
        self.nodes = self.shifting and self.chance(0.6)
        self.grid, self.few = [Fraction(0)], False
        if not self.shifting:
            return
        part = max(tip, butt) / self.rng.choice((1, 1, 1, 2) if self.nodes else (1, 2, 3))
        unit = self.rng.choice(("in", "mm"))
        text = decimal_text(part * Fraction(99, 100) / (INCH if unit == "in" else 1), 2) + " " + unit
        step = parse(text)
        self.options += ["--shift-step", text]
        count = int(max(tip, butt) / step) + 1 if step else 0
        self.grid += [sign * i * step for i in range(1, count + 1) for sign in (1, -1)
                      if -tip <= sign * i * step <= butt]
        # A strip is moved by what its ring file can say, in whole digits of the output's unit.
        self.grid = [Fraction(printed(shift, self.unit)) * (INCH if self.unit == "in" else 1) for shift in self.grid]
        self.few = len(self.grid) > 3  # so that all rings can be tried in a second or two

    def _readings(self, names):
        rng, section = self.rng, self.section
        unit = rng.choice(("in", "mm"))
        self.places = rng.choice((4, 5)) if unit == "in" else rng.choice((2, 3))
        stations = self.places_in(section["from"], section["to"], rng.choice((3, 4, 5)), unit)
        if len(stations) < 3:
            stations = self.places_in(section["from"], section["to"], 4, "mm")
            unit = "mm"
        heights = rng.choice(("a", "a", "abc"))
        from_end = self.chance(0.2)
        scale = INCH if unit == "in" else 1
        size = rng.choice((0.1, 0.1, 0.3, 1.0)) * float(min(self.shop["tolerance"]))
        rows, self.density = [], {}
        for name in names:
            off, self.density[name] = rng.gauss(0, size), Fraction(rng.randint(50, 90), 100)
            read_at = list(stations)
            if self.chance(0.04):
                read_at = read_at[1:-1] or read_at
            for x in read_at:
                where = stations[x]
                if from_end:
                    where = decimal_text((x - section["from"] + self.shop["spare"][0]) / scale, 12)
                for _ in range(rng.choice((1, 1, 1, 2))):
                    row = [name, where]
                    for height in heights:
                        value = float(self.course.target(x, height)) + off + rng.gauss(0, size / 2)
                        row.append("" if height != "a" and self.chance(0.02) else
                                   self.reading_text(value, unit, self.places))
                    rows.append(row + ([decimal_text(self.density[name], 2)] if self.dense else []))
        rng.shuffle(rows)
        columns = ["strip", ("from_end_" if from_end else "at_") + unit] + [f"{h}_{unit}" for h in heights]
        columns += [rng.choice(("density", "mass"))] if self.dense else []
        self.files["strips.csv"] = "\n".join(",".join(row) for row in [columns] + rows) + "\n"

    def _nodes(self, names):
        """A culm file: nodes of the culm that the strips came from, and of some strips themselves."""
        rng, amounts, section = self.rng, self.taper_amounts, self.section
        length = section["to"] - section["from"] + sum(self.shop["spare"])
        unit = amounts.unit
        scale = INCH if unit == "in" else 1
        min_gap, keep_clear = amounts.fine(2, 40), amounts.fine(2, 40)
        place = decimal_text((section["from"] + Fraction(rng.randint(-5, 105), 100)
                              * (section["to"] - section["from"])) / scale, 1)
        start = Fraction(rng.randint(0, 40), 10)

        def some():
            texts = {decimal_text(length * Fraction(rng.randint(1, 99), 100) / scale, 1)
                     for _ in range(rng.choice((2, 3, 4)))}
            if self.chance(0.2):  # just at an end of the section
                end = self.shop["spare"][0] + rng.choice((0, section["to"] - section["from"]))
                texts.add(decimal_text(end / scale, 12))
            return sorted(texts, key=Fraction)

        base = some()
        shifted = ", ".join(decimal_text(Fraction(text) + start, 12) for text in base)
        text = (f"format: stripwright-culms-1\nunit: {unit}\nrules: {{min_gap: {min_gap}, keep_clear: {keep_clear}, "
                f"places: [{place}]}}\nculms:\n  bank:\n    diameter: 50 mm\n    nodes: [{shifted}]\n    pieces:\n"
                f"      - {{section: {section['name']}, starts_at: {decimal_text(start, 1)}, "
                f"strips: [{', '.join(names)}]}}\n")
        own = {name: some() for name in names if self.chance(0.5)}
        if own:
            text += "strips:\n" + "".join(
                f"  - {{strip: {name}, nodes: [{', '.join(texts)}]}}\n" for name, texts in own.items())
        self.files["culms.yaml"] = text
        self.options += ["--nodes", "culms.yaml"]
        begin = section["from"] - self.shop["spare"][0]
        self.node_places = {name: [begin + Fraction(z) * scale for z in own.get(name, base)] for name in names}
        sections = self.raw_taper["sections"]
        places = [section["from"]]
        if section["to"] < max(s["to"] for s in sections):
            places.append(section["to"])
        mine = parse(place, unit)
        places += [mine] if section["from"] <= mine <= section["to"] else []
        self.rules = NodeRules(section, parse(min_gap, unit), parse(keep_clear, unit), places)

    def bench(self):
        rows = rows_of(self.files["strips.csv"])
        read = gathered(rows, "strip", ("a", "b", "c"), self.section, self.shop["spare"])
        readings = {name: {at: {height: Repeated(values, self.gauge) for height, values in heights.items()}
                           for at, heights in places.items()} for name, places in read.items()}
        low, high = self.section["from"], self.section["to"]
        stations = sorted({low, high} | {x for x, _ in self.raw_taper["stations"] if low <= x <= high})
        return Bench(self.course, readings, self.section, stations, self.swell_mill, self.swell_now)

    def candidates(self, bench):
        """(candidates, whether what was judged of them was on no border)."""
        found, sure = [], True
        for name in bench.readings:
            if not bench.measured_over(name):
                continue
            for shift in self.grid:
                words = list(bench.words(name, shift, self.shop["tolerance"], self.decide_plain))
                right = all("right" in each for each in words)
                sure = sure and (self.all or not right or all(len(each) == 1 for each in words))
                if right or self.all:
                    found.append(Candidate(
                        name, shift, [bench.deviation(name, shift, x) for x in bench.stations],
                        [z - shift for z in self.node_places[name]], self.density[name] if self.dense else None))
        return found, sure
