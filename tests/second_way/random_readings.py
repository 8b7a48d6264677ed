"""Random readings of strips, sections and grooves, as a shop would write them down."""

from fractions import Fraction

from amounts import decimal_text, yaml_text
from bench import Bench, HEIGHTS
from generate import Case
from lengths import INCH, parse, plain
from reading import load, taper_of
from targets import FLAT_STAGES, STRIP_STAGES, GrooveTargets, Targets


class ReadingsCase(Case):
    """One call of a command that reads readings: taper, shop, readings, options."""

    def __init__(self, seed, number, stages=STRIP_STAGES + FLAT_STAGES):
        self.stages = stages
        super().__init__(f"readings {seed}", number, passes=0.4 if stages == ("groove",) else 0.1, fitted=0.0)
        rng = self.rng
        self.stage = rng.choice(stages)
        self._measuring()
        self.shop_text = yaml_text(rng, self.shop)
        self.bench = Bench(load(self.shop_text))
        self._override()
        self.taper_read = taper_of(load(self.taper_text))
        self.now = self.gauge = self.fallback_unit = None
        self.call_options = list(self.options)

    def _options(self):
        """Those of `setup` that the commands on readings have too."""
        self.hopeless = False
        if self.chance(0.6):
            self.options += ["--units", self.rng.choice(("in", "mm"))]

    def _override(self):
        allowances = self.bench.shop["allowances"]
        if "culm_diameter" in self.overrides:
            allowances["culm_diameter"] = parse(self.overrides["culm_diameter"], self.taper_amounts.unit)
        if "moisture" in self.overrides:
            allowances["at_milling"] = plain(self.overrides["moisture"])

    def _measuring(self):
        rng, fine = self.rng, self.shop_amounts.fine
        tolerances = {}
        for what in ("strip", "flats"):
            if self.chance(0.9):
                tolerances[what] = fine(0.01, 0.06)
                if self.chance(0.4):
                    tolerances[what] = {"over": fine(0.01, 0.1), "under": fine(0.005, 0.05)}
        if self.chance(0.7):
            tolerances["angle"] = decimal_text(Fraction(rng.uniform(0.2, 1.5)), 2)
        self.shop["tolerances"] = tolerances
        if not tolerances:
            del self.shop["tolerances"]
        gauges = {}
        for name in rng.sample(("caliper", "micrometer", "bench dial"), rng.choice((1, 1, 1, 2))):
            gauges[name] = {"resolution": rng.choice((fine(0.001, 0.02), "0.01 mm", "0.0005 in"))}
            if self.chance(0.05):
                gauges[name]["resolution"] = fine(0.03, 0.1)
            if self.chance(0.5):
                gauges[name]["standard_uncertainty"] = fine(0.001, 0.012)
            else:
                gauges[name]["max_error"] = fine(0.002, 0.02)
        self.shop["gauges"] = gauges
        if self.chance(0.3):
            self.shop["decide"] = rng.choice(("plain", "plain", "guarded"))

    # What was read.
    def prepare(self):
        """Readings and options, after the files; Refused where the files cannot be computed."""
        self._choose_gauge()
        moisture = self.bench.shop["allowances"]["swell"]
        if self.stage != "milled" and moisture and self.chance(0.6):
            self.now = Fraction(self.rng.randint(40, 140), 10)
            self.call_options += ["--moisture-now", decimal_text(self.now, 1)]
        if self.stage not in ("milled", "glued") or self.chance(0.3):
            self.call_options += ["--stage", self.stage]
        self._refuse()
        kind = "strip" if self.stage in STRIP_STAGES else "piece"
        sections = self.taper_read["sections"]
        if len(sections) > 1 and self.chance(0.2):
            self.sections_read = self.rng.sample(sections, 2)
            self.section_column = True
        else:
            self.sections_read = [self.rng.choice(sections)]
            self.section_column = self.chance(0.3)
        if not self.section_column:
            self.call_options += ["--section", self.sections_read[0]["name"]]
        self.targets = {s["name"]: Targets(self.taper_read, self.bench, s, self.stage, self.now)
                        for s in self.sections_read}
        self._write(kind)

    def _refuse(self):
        """Refused where any section of the taper, read or not, has no strip."""
        for section in self.taper_read["sections"]:
            targets = Targets(self.taper_read, self.bench, section, self.stage, self.now)
            inside = [x for x, _ in targets.taper.stations if section["from"] < x < section["to"]]
            for place in [section["from"], section["to"]] + inside:
                targets.ledger.rows(targets.taper.value(place))

    def _choose_gauge(self):
        names = list(self.bench.gauges)
        self.gauge_name = self.rng.choice(names)
        if len(names) > 1:
            self.call_options += ["--gauge", self.gauge_name]
        self.gauge = self.bench.gauge(self.gauge_name)

    def _write(self, kind):
        rng = self.rng
        unit = rng.choice(("in", "mm"))
        self.scale = INCH if unit == "in" else Fraction(1)
        self.digits = rng.choice((4, 4, 5)) if unit == "in" else rng.choice((2, 3))
        from_end = kind == "strip" and self.chance(0.15)
        named = not self.chance(0.1)
        if not named:
            self.fallback_unit = unit
            self.call_options += ["--readings-unit", unit]
        suffix = "_" + unit if named else ""
        heights = HEIGHTS[kind]
        if kind == "strip" and self.chance(0.25):
            heights = ("a",)
        rows = []
        for section in self.sections_read:
            rows += self._section_rows(kind, section, heights, from_end)
        self.rows = len(rows)
        if self.chance(0.7):
            rng.shuffle(rows)
        columns = [kind, ("from_end" if from_end else "at") + suffix] + [h + suffix for h in heights]
        if self.section_column:
            columns.append("section")
        order = list(range(len(columns)))
        if self.chance(0.3):
            rng.shuffle(order)
        mark = rng.choice((",", ",", ",", ";", "\t"))
        lines = [mark.join(row[i] for i in order) for row in [columns] + rows]
        if self.chance(0.2):
            lines.insert(1, "# read in the evening")
        self.readings_text = "\n".join(lines) + "\n"

    def _read_places(self, section, spare):
        rng = self.rng
        low, high = section["from"], section["to"]
        if spare and self.chance(0.15):  # a strip is read in its spare as well, now and then
            tip, butt = self.bench.shop["spare"]
            low, high = low - tip, high + butt
        count = rng.choice((1, 2, 3, 4, 5, 6, 8, 11))
        digits = 2 if self.scale > 1 else 1
        places = set()
        for k in range(count):
            near = low + (high - low) * Fraction(2 * k + 1, 2 * count) + (
                (high - low) * Fraction(rng.uniform(-0.4, 0.4)) / count)
            places.add(decimal_text(near / self.scale, digits))
        return sorted(places, key=Fraction)

    def _section_rows(self, kind, section, heights, from_end):
        rng = self.rng
        targets = self.targets[section["name"]]
        wide = float(max(targets.tolerance)) or 0.02
        places = self._read_places(section, kind == "strip")
        step = {place: rng.gauss(0, 0.9) * wide if self.chance(0.1) else 0.0 for place in places}
        size = rng.choice((0.2, 0.7, 1.5))
        bias = rng.choice((0, 0, 1, -1)) * wide
        rows = []
        for name in self._names(section):
            offset, slope, noise = bias + rng.gauss(0, size * wide), rng.gauss(0, size * wide), rng.choice((0.05, 0.3))
            tilt = {height: rng.gauss(0, 0.3 * size * wide) for height in heights}
            careless = rng.choice((0, 0, 0, 0.03, 0.15))
            if self.chance(0.2):  # a strip that scatters, against which a misreading counts for less
                noise *= rng.choice((3, 10))
            absent = {height for height in heights[1:] if self.chance(0.1)}
            for index, place in enumerate(places):
                if len(places) > 1 and self.chance(0.06):
                    continue
                along = index / len(places) - 0.5
                at, where = Fraction(place) * self.scale, place
                if from_end:
                    start = self.tip_end_of(section["name"])
                    where = decimal_text((at - start) / self.scale, self.digits)
                    at = start + Fraction(where) * self.scale
                misread = {h: rng.choice((-1, 1)) * rng.uniform(1.5, 12) * wide if self.chance(careless) else 0
                           for h in heights}
                for _ in range(rng.choice((1, 1, 1, 2, 3))):
                    cells = []
                    for height in heights:
                        if height in absent or self.chance(0.04):
                            cells.append("")
                            continue
                        wanted = float(targets.target(at, height))
                        off = offset + slope * along + tilt[height] + step[place] + misread[height]
                        off += rng.gauss(0, noise * wide)
                        # What is off by much more cannot be of this taper, and is refused.
                        cells.append(self._cell(wanted + min(max(off, -0.25 * wanted), 0.3 * wanted)))
                    if any(cells):
                        rows.append([name, where] + cells + ([section["name"]] if self.section_column else []))
        return rows

    def _names(self, section):
        letter = section["name"][0] if self.section_column else "s"
        return [f"{letter}{k + 1}" for k in range(self.rng.choice((1, 2, 3, 4, 6)))]

    def _cell(self, true):
        smallest = Fraction(1, 10 ** self.digits)
        text = decimal_text(max(Fraction(true) / self.scale, smallest), self.digits)
        if self.chance(0.02):
            return decimal_text(Fraction(text) * self.scale, 5) + " mm"
        return text

    def section_of(self, cells):
        return self.sections_read[0]["name"]

    def tip_end_of(self, name):
        section = next(s for s in self.sections_read if s["name"] == name)
        return section["from"] - self.bench.shop["spare"][0]


class GrooveCase(ReadingsCase):
    """The set groove of a planing form, read with its depth gauge."""

    def __init__(self, seed, number):
        super().__init__(seed, number, stages=("groove",))

    def _bare_machine(self):
        while True:
            machine = super()._bare_machine()
            if machine["kind"] == "planing-form":
                return machine

    def _fit_form(self, machine, screws, wanted):
        super()._fit_form(machine, screws, wanted)
        machine.setdefault("depth_gauge", {"tip": "sharp"})

    def prepare(self):
        rng = self.rng
        self._choose_gauge()
        self._refuse()
        setup = self.setup()
        self.section = rng.choice(setup.sections)
        self.sections_read = [self.section]
        self.call_options += ["--section", self.section["name"], "--machine", self.machine]
        if self.chance(0.5):
            self.call_options += ["--stage", "groove"]
        self.one_pass = None
        if setup.machine["passes"] and self.chance(0.7):
            self.one_pass = rng.randint(1, len(setup.machine["passes"]["stages"]))
            self.call_options += ["--pass", str(self.one_pass)]
        self.targets = GrooveTargets(setup, self.section, self.one_pass)
        unit = rng.choice(("in", "mm"))
        self.scale, digits = (INCH, 4) if unit == "in" else (Fraction(1), rng.choice((2, 3)))
        suffix = "_" + unit
        if self.chance(0.1):
            self.fallback_unit, suffix = unit, ""
            self.call_options += ["--readings-unit", unit]
        rows = []
        screws_low, screws_high = self._groove_reach(setup)
        for at in self._groove_places(setup):
            place = decimal_text(at / self.scale, 5)
            exact = Fraction(place) * self.scale
            if not screws_low <= exact <= screws_high:
                continue  # rounded beyond the last of the groove that can be read
            depth = self.targets.depth(exact)
            off = 0.0 if self.chance(0.3) else rng.gauss(0, 1.2) * float(max(self.targets.tolerance))
            reading = self.targets.readings(exact, max(depth + off, 0.2 * depth))[0]
            target = self.targets.readings(exact, depth)[0]
            # Where the gauge reads next to nothing, what it reads is soon taken for a slip of the pen.
            if reading is None or target is None or not 0.1 < target or not 0.6 < reading / target < 1.5:
                continue
            for _ in range(rng.choice((1, 1, 2, 3))):
                text = decimal_text(Fraction(max(reading + rng.gauss(0, 0.003), 0.0)) / self.scale, digits)
                rows.append([place, text if Fraction(text) else decimal_text(Fraction(1, 10 ** digits), digits)])
        rng.shuffle(rows)
        self.rows = len(rows)
        lines = [f"machine_at{suffix},gauge{suffix}"] + [",".join(row) for row in rows]
        self.readings_text = "\n".join(lines) + "\n"

    def _groove_reach(self, setup):
        low, high = setup.machine_reach(self.section)
        return max(low, setup.machine["screws"][0]), min(high, setup.machine["screws"][-1])

    def _groove_places(self, setup):
        """At screws and between, on the strip."""
        screws = setup.machine["screws"]
        low, high = self._groove_reach(setup)
        there = [at for at in screws if low <= at <= high]
        places = set(self.rng.sample(there, self.rng.randint(0, min(5, len(there)))))
        for _ in range(self.rng.randint(1, 4)):
            places.add(low + (high - low) * Fraction(self.rng.uniform(0.01, 0.99)))
        return sorted(places)


class CorrectCase(ReadingsCase):
    """Trial strips of one machine, cut with an earlier correction or without."""

    def __init__(self, seed, number):
        super().__init__(seed, number, stages=("milled",))

    def prepare(self):
        serves = self.shop["machines"][self.machine].get("for")
        if serves:
            served = [s for s in self.taper_read["sections"] if s["name"] in serves]
            self.taper_read = {**self.taper_read, "sections": served}
        super().prepare()
        setup = self.setup()
        for section in setup.sections:
            setup.passes(section)  # refuses a rough strip that is too low
        self.call_options += ["--machine", self.machine]
        self.correction_text = self._earlier() if self.chance(0.4) else ""

    def _earlier(self):
        """What an earlier trial found of the sections read, and of others now and then."""
        rng = self.rng
        unit = rng.choice(("in", "mm"))
        scale = INCH if unit == "in" else Fraction(1)
        lines = ["format: stripwright-correction-1", f"taper: {self.taper.get('name', 'taper')}",
                 f"machine: {self.machine}", f"unit: {unit}", "sections:"]
        names = [s["name"] for s in self.sections_read if self.chance(0.9)]
        names += [s["name"] for s in self.taper_read["sections"] if s not in self.sections_read and self.chance(0.3)]
        if not names:
            return ""
        for section in self.taper_read["sections"]:
            if section["name"] not in names:
                continue
            lines += [f"  {section['name']}:", "    points:"]
            low, high = section["from"], section["to"]
            places = {decimal_text((low + (high - low) * Fraction(rng.uniform(0, 1))) / scale, 2)
                      for _ in range(rng.choice((1, 2, 3, 5)))}
            for place in sorted(places, key=Fraction):
                add = decimal_text(Fraction(rng.gauss(0, 0.03)) / scale, 4)
                lines.append(f"      - {{at: {place}, add: {add}}}")
        return "\n".join(lines) + "\n"
