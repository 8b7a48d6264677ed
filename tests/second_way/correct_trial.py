"""What `correct` makes of trial strips: stations, amounts, correction.yaml and the corrected form."""

import csv
import os
from fractions import Fraction

import lone
from bench import readings_of
from lengths import parse
from reading import load
from readings_trial import DIGITS, ReadingsTrial
from strip_words import judged
from together import stations


class Amounts:
    """What is added to the strip's height: straight between its points, level beyond them."""

    def __init__(self, points):
        self.points = sorted(points)

    def at(self, place):
        if not self.points:
            return 0.0
        place = min(max(float(place), float(self.points[0][0])), float(self.points[-1][0]))
        for (x0, y0), (x1, y1) in zip(self.points, self.points[1:]):
            if x0 <= place <= x1:
                return float(y0) + float(y1 - y0) * (place - float(x0)) / float(x1 - x0)
        return float(self.points[0][1] if place <= self.points[0][0] else self.points[-1][1])

    @property
    def places(self):
        return [place for place, _ in self.points]


def correction_of(text):
    """{section: Amounts} of a correction file."""
    raw = load(text)
    return {name: Amounts([(parse(point["at"], raw["unit"]), parse(point["add"], raw["unit"]))
                           for point in section["points"]])
            for name, section in raw["sections"].items()}


class CorrectTrial(ReadingsTrial):
    def run(self):
        case = self.case
        if not self.prepared():
            return
        more, self.earlier = [], {}
        if case.correction_text:
            self.write(earlier=case.correction_text)
            self.earlier = correction_of(case.correction_text)
            more = ["--correction", self.path("earlier")]
        done = self.run_program("correct", "json", "corrected", *more)
        table = self.run_program("correct", "csv", "again", *more)
        if done.returncode > 1 or table.returncode > 1:
            return
        said = self.said = self.json_of(done.stdout)
        reads = readings_of(case.readings_text, case.fallback_unit, case.section_of, case.tip_end_of)
        found = {}
        for section in case.sections_read:
            name = section["name"]
            strips = {r.name: judged(r, case.targets[name], case.bench, case.gauge)
                      for r in reads if r.section == name}
            if strips:
                found[name] = stations(self._sure(strips, case.targets[name]), case.gauge)
        self.same("sections", [s["section"] for s in said["sections"]], self._in_order(found))
        new = {}
        for section in said["sections"]:
            new[section["section"]] = self._section(section, found.get(section["section"], []))
        # A section in which nothing is to be corrected stays as it was.
        new = {name: amounts for name, amounts in new.items() if any(add for _, add in amounts.points)}
        self.same("corrects", said["corrects"], bool(new))
        listed = {"strips": [{"readings": section["stations"]} for section in said["sections"]]}
        self.table(listed, self.rows_of(table.stdout))
        self.outcome.made_of.update(self._made_of())
        if new:
            written = self._file(new)
            self._form(written)

    def _sure(self, strips, targets):
        """Readings strip by strip, without those that were misread, most likely: one makes no hump in a bed."""
        doubted = lone.lone_readings(strips, targets.tolerance)
        self.outcome.made_of["misread, most likely"] += len(doubted)
        return [[r for r in readings if (name, r.place, r.height) not in doubted] for name, readings in strips.items()]

    def _in_order(self, names):
        return [s["name"] for s in self.case.taper_read["sections"] if s["name"] in names]

    def _section(self, section, wanted):
        points = []
        self.same("stations", len(section["stations"]), len(wanted))
        for row, station in zip(section["stations"], wanted):
            u, where = self.unit, f"{section['section']}, {float(station.place) / self.scale:.3f}"
            self.length(f"{where}: at", row["at_" + u], station.place)
            self.same(f"{where}: strips", row["strips"], station.count)
            self.length(f"{where}: mean", row["mean_deviation_" + u], station.mean)
            self.length(f"{where}: standard error", row["standard_error_" + u], station.error)
            self.length(f"{where}: low", row["interval_low_" + u], station.mean - station.reach)
            self.length(f"{where}: high", row["interval_high_" + u], station.mean + station.reach)
            self.one_of(f"{where}: cause", row["cause"], station.causes)
            add = station.correction(row["cause"])
            self.length(f"{where}: add", row["add_" + u], add)
            points.append((station.place, add))
            self.outcome.made_of[f"correct: {row['cause']}, {min(station.count, 3)} strips"] += 1
        self.same(f"{section['section']}: corrects", section["corrects"], any(add for _, add in points))
        return Amounts(points)

    def _file(self, new):
        """correction.yaml: what was found, on top of what the strips were cut with."""
        path = os.path.join(self.folder, "corrected", "correction.yaml")
        if not os.path.exists(path):
            self.differ("no correction.yaml")
            return {}
        with open(path, encoding="utf-8") as file:
            text = file.read()
        raw, written = load(text), correction_of(text)
        self.same("unit of the correction", raw["unit"], self.unit)
        self.same("machine of the correction", raw["machine"], self.case.machine)
        self.same("sections of the correction", sorted(written), sorted(set(new) | set(self.earlier)))
        for name, amounts in written.items():
            parts = [part[name] for part in (new, self.earlier) if name in part]
            places = sorted({self._printed(x) for part in parts for x in part.places})
            self.same(f"{name}: points", [self._printed(x) for x in amounts.places], places)
            for place, add in amounts.points:
                # A place is rounded when it is printed: so far the earlier amounts may have risen.
                wanted = sum(part.at(place) for part in parts)
                self.length(f"{name}: amount at {float(place) / self.scale:.3f}", Fraction(add) / self._unit(),
                            wanted, 0.2 * self._half() + 1e-9)
        return written

    def _unit(self):
        return Fraction(254, 10) if self.unit == "in" else Fraction(1)

    def _half(self):
        return 0.5 * 10.0 ** -DIGITS[self.unit] * self.scale

    def _printed(self, place):
        return round(Fraction(place) / self._unit() * 10 ** DIGITS[self.unit])

    def _form(self, written):
        """A planing form's depths as they are set by the correction that was written, where the strip
        lies. The amounts are those of the file, so that a set-up with it is the same."""
        setup = self.case.setup()
        if setup.machine["kind"] != "planing-form":
            return
        for section in setup.sections:
            name = section["name"]
            path = os.path.join(self.folder, "corrected", f"cutter-{name.replace(' ', '-').lower()}.csv")
            if name not in written or not os.path.exists(path):
                continue
            with open(path, encoding="utf-8", newline="") as file:
                rows = list(csv.DictReader(file))
            numbered = setup.machine["passes"] is not None
            _, passes = setup.passes(section)
            low, high = setup.machine_reach(section)
            for row in rows:
                at = setup.machine["screws"][int(row["screw"]) - 1]
                if not low <= at <= high:
                    continue
                x = setup.taper_at(section, at)
                one_pass = passes[int(row["pass"]) - 1] if numbered else None
                depth = float(setup.offset(section, x, one_pass)) + written[name].at(x)
                self.length(f"{name}: corrected depth at screw {row['screw']}",
                            Fraction(row["cutter_offset_" + self.unit]), depth)
                self.outcome.counts["corrected depths of a form"] += 1

    def _made_of(self):
        case = self.case
        yield "correct on " + case.shop["machines"][case.machine]["kind"]
        yield "correct: on top of an earlier correction" if self.earlier else "correct: the first correction"
        yield f"correct: readings in {'in' if case.scale > 1 else 'mm'}, output in {self.unit}"
        if len(case.sections_read) > 1:
            yield "correct: two sections at once"
        if set(self.earlier) - {s["name"] for s in case.sections_read}:
            yield "correct: another section kept"
