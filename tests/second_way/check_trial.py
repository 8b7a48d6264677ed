"""What `check` says of strips and sections, as JSON and as CSV."""

import lone
from angles_trial import compare_angles
from bench import readings_of
from judging import CLOSE
from readings_trial import ODDS, PERCENT, ReadingsTrial
from shift import Shift
from strip_words import Whole, judged, one_side_more, to_take_off, too_coarse, worst
from together import stations
from targets import FLAT_STAGES, STRIP_STAGES

SLID = 1e-6  # mm: along the strip a height changes so little that an end is no better known
WORDS = ("right", "unsure", "thick", "thin")


class CheckTrial(ReadingsTrial):
    def run(self):
        case = self.case
        if not self.prepared():
            return
        reads = readings_of(case.readings_text, case.fallback_unit, case.section_of, case.tip_end_of)
        done, table = (self.run_program("check", f, f) for f in ("json", "csv"))
        if done.returncode > 1 or table.returncode > 1:
            return
        said = self.said = self.json_of(done.stdout)
        self.judged = {(r.name, r.section): judged(r, case.targets[r.section], case.bench, case.gauge)
                       for r in reads}
        self.sure = {}
        self.outcome.made_of.update(self._made_of())
        self.head(said)
        self._coarse(said)
        self._lone()
        strips = {(s["strip"], s["section"]): s for s in said["strips"]}
        self.same("strips", sorted(strips), sorted(self.judged))
        for name in sorted(set(strips) & set(self.judged)):
            self.strip(strips[name], name, self.judged[name])
        self._together(said)
        self._counts(said)
        self.table(said, self.rows_of(table.stdout))
        self.same("status", done.returncode, self._status())

    def _coarse(self, said):
        case = self.case
        targets = next(iter(case.targets.values()))
        coarse = None if case.bench.plain else too_coarse(targets.tolerance, case.gauge)
        told = said["gauge_too_coarse"]
        if coarse is None or told is None:
            self.same("gauge too coarse", told, coarse)
        else:
            self.length("gauge that would do", told["standard_uncertainty_that_would_do"], coarse[0])
            self.same("readings that would do", told["readings_of_each_place"], coarse[1])
            self.outcome.made_of["gauge too coarse"] += 1

    def strip(self, said, name, readings):
        where = f"{name[0]}, {name[1]}"
        self._readings(said["readings"], where, readings)
        doubted = self._read_again(said["read_again"], name, readings)
        sure = [r for r in readings if (r.place, r.height) not in doubted]
        self.sure[name] = sure
        self._whole(said, where, sure)
        self._take_off(said["take_off"], where, sure)
        self._thinnest(said["thinnest"], where, sure)
        if self.case.stage in STRIP_STAGES:
            doubtful = {place for place, _ in doubted}
            compare_angles(self, said["angles"], where, (readings, doubtful), self._targets(where))
            self._shift(said["shift"], where, sure)
        else:
            self.same(f"{where}: angles", said.get("angles"), None)

    def _lone(self):
        """What was misread, most likely, section by section."""
        self.lone = {}
        for section, targets in self.case.targets.items():
            strips = {n: readings for (n, s), readings in self.judged.items() if s == section}
            if targets.stage in lone.STAGES:
                found = lone.lone_readings(strips, targets.tolerance)
                self.lone.update({((n, section), place, height): what for (n, place, height), what in found.items()})

    def _read_again(self, said, name, readings):
        """(place, height) of the readings that the program doubts: the rest is compared without those."""
        doubted = {}
        for again in said:
            for r in readings:
                if r.height == again["height"] and self.near(again["at"], r.place):
                    doubted[r.place, r.height] = again, r
        self.same(f"{name}: readings doubted there", len(doubted), len(said))
        wanted = {(place, height): what for (n, place, height), what in self.lone.items() if n == name}
        told = sorted((float(place), height) for place, height in doubted)
        self.same(f"{name}: readings doubted", told, sorted((float(place), height) for place, height in wanted))
        for key in set(doubted) & set(wanted):
            again, reading = doubted[key]
            say, go_on = wanted[key]
            where = f"{name}: doubted at {float(key[0]):.3f} mm"
            self.length(f"{where}, measured", again["measured"], reading.measured)
            self.length(f"{where}, neighbours say", again["neighbours_say"], say)
            self.same(f"{where}, other heights stay", again["other_heights_stay"], go_on)
            self.outcome.made_of["misread, most likely" + (", and the other heights stay" if go_on else "")] += 1
        return set(doubted)

    def near(self, printed, place):
        return abs(float(printed) * self.scale - float(place)) < 1e-4

    def _readings(self, rows, where, readings):
        self.same(f"{where}: readings", len(rows), len(readings))
        for row, reading in zip(rows, readings):
            u, here = self.unit, f"{where}, {float(reading.place) / self.scale:.3f} {reading.height}"
            self.length(f"{here} at", row["at_" + u], reading.place)
            self.same(f"{here} height", row["height"], reading.height)
            self.length(f"{here} measured", row["measured_" + u], reading.measured)
            self.length(f"{here} target", row["target_" + u], reading.target)
            self.length(f"{here} deviation", row["deviation_" + u], reading.deviation)
            self.length(f"{here} low", row["low_" + u], reading.low)
            self.length(f"{here} high", row["high_" + u], reading.high)
            self.number(f"{here} conforms", row["conforms"], reading.conforms, ODDS, 1e-9)
            self.one_of(f"{here} verdict", row["verdict"], reading.words)
            stiffness = self._targets(where).stiffness(reading.place, reading.deviation)
            self.number(f"{here} stiffness", row["stiffness_pct"], stiffness, PERCENT, 1e-7)
            self.same(f"{here} times", row["times"], reading.repeated.times)
            self.length(f"{here} spread", row["spread"], reading.repeated.spread)
            self.length(f"{here} uncertainty", row["standard_uncertainty"], reading.repeated.uncertainty)
            # What follows rests on the word that was said, where two were possible.
            reading.words = {row["verdict"]}

    def _targets(self, where):
        return self.case.targets[where.split(", ", 1)[1]]

    def _whole(self, said, where, readings):
        if not readings:
            self.same(f"{where}: mean deviation", said["mean_deviation"], None)
            return
        whole = Whole(readings, self.case.gauge)
        mean, growth = said["mean_deviation"], said["deviation_growth"]
        self.length(f"{where}: mean deviation", mean["value"], whole.mean)
        self.length(f"{where}: its uncertainty", mean["standard_uncertainty"], whole.mean_uncertainty)
        if growth is None or whole.growth is None:
            self.same(f"{where}: growth", growth, whole.growth)
        else:
            self.length(f"{where}: growth", growth["value"], whole.growth)
            self.length(f"{where}: growth's uncertainty", growth["standard_uncertainty"], whole.growth_uncertainty)
        targets = self._targets(where)
        stiffness = [targets.stiffness(r.place, r.deviation) for r in readings]
        self.number(f"{where}: stiffness, least", said["stiffness_pct"]["least"], min(stiffness), PERCENT, 1e-7)
        self.number(f"{where}: stiffness, most", said["stiffness_pct"]["most"], max(stiffness), PERCENT, 1e-7)

    def _take_off(self, said, where, readings):
        wanted = to_take_off(readings, flats=self.case.stage in FLAT_STAGES)
        if said is None or wanted is None:
            self.same(f"{where}: take off", said, wanted)
            return
        self.length(f"{where}: take off", said["most"], wanted[0])
        self.length(f"{where}: half of it", said["half_from_each_side"], wanted[0] / 2)
        there = [place for place in wanted[1] if self.near(said["at"], place)]
        self.same(f"{where}: take off where it is most", len(there), 1)
        if self.case.stage in STRIP_STAGES:
            answers = one_side_more(readings, self.case.bench.plain)
            self.same(f"{where}: one side more", said["one_side_more"] in answers, True)

    def _shift(self, said, where, readings):
        spare = self.case.bench.shop["spare"]
        best = Shift(readings, self._targets(where), spare, self.case.bench.plain)
        if best.touching:
            self.outcome.counts["shifts left out: stretches that only touch"] += 1
            return
        if said is None:
            self.same(f"{where}: readings made right by sliding it", best.then, best.now)
            return
        self.outcome.made_of["slid along the taper"] += 1
        self.same(f"{where}: right now", said["right_now"], best.now)
        self.same(f"{where}: right then", said["right_then"], best.then)
        if best.either:
            self.outcome.counts["shifts with more than one right answer"] += 1
            return
        self.length(f"{where}: shift", said["towards_tip"], best.towards_tip, SLID)
        self.length(f"{where}: shift, until", said["until"], best.until, SLID)

    def _thinnest(self, said, where, readings):
        thin = [r for r in readings if r.words == {"thin"}]
        if said is None or not thin:
            self.same(f"{where}: thinnest", said, None if not thin else "thinnest")
            return
        least = min(float(r.deviation) for r in thin)
        self.length(f"{where}: thinnest", said["deviation"], least)
        there = [r for r in thin if self.near(said["at"], r.place) and r.height == said["height"]]
        self.same(f"{where}: thinnest there", any(float(r.deviation) < least + CLOSE for r in there), True)

    def _together(self, said):
        """Only of sections of which there are several strips, as milled or ready; without what was misread."""
        groups = {}
        for (name, section), readings in self.judged.items():
            groups.setdefault(section, []).append(self.sure.get((name, section), readings))
        told = {group["section"]: group["stations"] for group in said["together"]}
        self.same("sections with strips together", sorted(told), sorted(groups))
        for section in set(told) & set(groups):
            wanted = stations(groups[section], self.case.gauge)
            self.same(f"{section}: stations together", len(told[section]), len(wanted))
            for printed, station in zip(told[section], wanted):
                self._station(f"{section} together, {float(station.place) / self.scale:.3f}", printed, station)

    def _station(self, where, printed, station):
        u = self.unit
        self.length(f"{where} at", printed["at_" + u], station.place)
        self.same(f"{where} strips", printed["strips"], station.count)
        self.length(f"{where} mean", printed["mean_" + u], station.mean)
        self.length(f"{where} standard error", printed["standard_error_" + u], station.error)
        self.length(f"{where} spread", printed["spread_" + u], station.spread)
        self.length(f"{where} low", printed["low_" + u], station.mean - station.reach)
        self.length(f"{where} high", printed["high_" + u], station.mean + station.reach)
        self.one_of(f"{where} cause", printed["cause"], station.causes)
        self.outcome.made_of[f"together: {printed['cause']}, {min(station.count, 3)} strips"] += 1

    def _counts(self, said):
        words = [word for readings in self.judged.values() for r in readings for word in r.words]
        for word in WORDS:
            self.same(f"count of {word}", said["counts"][word], words.count(word))
        strips = {name: worst([w for r in readings for w in r.words]) for name, readings in self.judged.items()}
        for strip in said["strips"]:
            name = strip["strip"], strip["section"]
            self.same(f"{name}: verdict", strip["verdict"], strips.get(name))
        for word in WORDS:
            self.same(f"strips {word}", said["strip_counts"][word], list(strips.values()).count(word))

    def _status(self):
        right = all(r.words == {"right"} for readings in self.judged.values() for r in readings)
        return 0 if right else 1

    def _made_of(self):
        case = self.case
        yield f"stage {case.stage}"
        targets = next(iter(case.targets.values()))
        if case.stage in ("milled", "ready"):
            yield f"{case.stage}, enamel off {targets.ledger.off}, face {'round' if targets.ledger.round else 'flat'}"
        yield "decides " + ("plain" if case.bench.plain else "guarded")
        yield f"readings in {'in' if case.scale > 1 else 'mm'}, output in {self.unit}"
        if targets.tolerance[0] != targets.tolerance[1]:
            yield "over and under differ"
        if case.now is not None:
            yield f"{case.stage}, moisture now"
        if targets.relief:
            yield "apex relief, ready"
        for readings in self.judged.values():
            yield f"places in a strip: {min(len({r.place for r in readings}), 6)}"
            if len(readings) == 2 and len({r.place for r in readings}) == 2:
                yield "two readings and no more"
            for r in readings:
                yield f"{case.stage}: {sorted(r.words)[0]}"
                yield f"readings at a place: {r.repeated.times}"
                if r.place < targets.strip.low - CLOSE and len(case.sections_read) == 1:
                    yield "read in the spare"
