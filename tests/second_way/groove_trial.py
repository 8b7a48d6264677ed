"""What `check` and `correct` say of the set groove of a planing form."""

import math

from bench import readings_of
from judging import Repeated, probability_within, verdicts
from readings_trial import ODDS, PERCENT, TURNS, ReadingsTrial
from strip_words import NORMAL_95, Whole, worst

# The second computation finds a depth by bisection where the program may solve for it.
DEPTH = 1e-8
SAME_PLACE = 1e-6  # mm
# Here how steeply a gauge goes with the depth is found by small steps.
TANGENT = 1e-6


class GrooveReading:
    """One place of the groove: what the gauge read and shall read, and how deep it is."""

    def __init__(self, place, values, targets, gauge, plain):
        self.place, self.repeated = place, Repeated(values, gauge)
        self.measured = self.repeated.mean
        over, under = targets.tolerance
        self.depth = targets.depth(place)
        self.target = targets.readings(place, self.depth)[0]
        self.bearing = targets.bears(place, self.depth)
        self.steepness = None if self.target is None else targets.steepness(place)
        self.carried_on = False
        self.low = self._limit(targets, -float(under))
        self.high = self._limit(targets, float(over))
        self.deviation = None if self.target is None else float(self.measured) - self.target
        self.words = self.conforms = self.too_deep = None
        if None not in (self.target, self.low, self.high):
            limits = float(self.measured), self.repeated.uncertainty, self.low, self.high
            self.conforms = probability_within(*limits)
            self.words = verdicts(*limits, plain, "deep", "shallow")
        if self.target is not None:
            self.too_deep = self.depth_off(targets, 0.0)

    def depth_off(self, targets, more):
        """How much too deep the groove is in which the gauge reads so much more than it did. Where no
        groove reads so, the depth is carried on as the reading goes at the target."""
        found = targets.depth_of(self.place, float(self.measured) + more)
        return (self.deviation + more) / self.steepness if found is None else found - self.depth

    def _limit(self, targets, more):
        """What the gauge reads over a groove that is so much deeper. Where it reads nothing there the
        reading is carried on as it goes at the target."""
        if self.target is None:
            return None
        there = targets.readings(self.place, self.depth + more)[0]
        if there is None:
            self.carried_on = True
            return self.target + more * self.steepness
        return there


class GrooveTrial(ReadingsTrial):
    def run(self):
        case = self.case
        if not self.prepared():
            return
        if case.targets.cannot_set:
            self.outcome.counts["cases left out: not to be set"] += 1
            return
        read = readings_of(case.readings_text, case.fallback_unit, case.section_of, None)[0]
        self.readings = [GrooveReading(place, heights["gauge"], case.targets, case.gauge, case.bench.plain)
                         for place, heights in sorted(read.places.items(), key=self._from_tip)]
        self.outcome.made_of.update(self._made_of())
        self._check()
        self._correct()

    def _from_tip(self, item):
        return self.case.targets.setup.taper_at(self.case.section, item[0])

    def _check(self):
        done, table = (self.run_program("check", f, f) for f in ("json", "csv"))
        if done.returncode > 1 or table.returncode > 1:
            return
        self.said = said = self.json_of(done.stdout)
        self.head(said)
        self.same("machine", said["machine"], self.case.machine)
        strip = said["strips"][0]
        self.same("grooves", len(said["strips"]), 1)
        self.same("places", len(strip["readings"]), len(self.readings))
        for row, reading in zip(strip["readings"], self.readings):
            self._place(row, reading)
        self._summary(said, strip)
        self.table(said, self.rows_of(table.stdout))

    def _where(self, reading):
        return f"groove at {float(reading.place) / self.scale:.3f} on {reading.bearing}"

    def _place(self, row, reading):
        u, where = self.unit, self._where(reading)
        self.length(f"{where}: at", row["at_" + u], reading.place)
        self.length(f"{where}: measured", row["measured_" + u], reading.measured)
        self.length(f"{where}: target", row["target_" + u], reading.target, DEPTH)
        self.length(f"{where}: deviation", row["deviation_" + u], reading.deviation, DEPTH)
        limit = DEPTH + (TANGENT * max(map(float, self.case.targets.tolerance)) if reading.carried_on else 0)
        self.length(f"{where}: low", row["low_" + u], reading.low, limit)
        self.length(f"{where}: high", row["high_" + u], reading.high, limit)
        # No density of a normal distribution is over 0.4.
        odds = 1e-6 + 0.4 * (limit - DEPTH) / reading.repeated.uncertainty
        self.number(f"{where}: conforms", row["conforms"], reading.conforms, ODDS, odds)
        self.one_of(f"{where}: verdict", row["verdict"], reading.words)
        reading.words = {row["verdict"]}
        stiffness = self.case.targets.stiffness(reading.place, reading.too_deep)
        self.number(f"{where}: stiffness", row["stiffness_pct"], stiffness, PERCENT, 1e-6 + 1e-6 * abs(stiffness))
        reading.stiffness = row["stiffness_pct"]

    def _summary(self, said, strip):
        words = [word for reading in self.readings for word in reading.words]
        for word in ("right", "unsure", "deep", "shallow"):
            self.same(f"count of {word}", said["counts"][word], words.count(word))
        self.same("verdict of the groove", strip["verdict"], worst(words))
        stations = [Station(reading, self._from_tip((reading.place,))) for reading in self.readings]
        whole = Whole(stations, self.case.gauge)
        self.length("mean deviation", strip["mean_deviation"]["value"], whole.mean, DEPTH)
        self.length("its uncertainty", strip["mean_deviation"]["standard_uncertainty"], whole.mean_uncertainty, DEPTH)
        growth = strip["deviation_growth"]
        if growth is None or whole.growth is None:
            self.same("growth", growth, whole.growth)
        else:
            self.length("growth", growth["value"], whole.growth, DEPTH)
            self.length("growth's uncertainty", growth["standard_uncertainty"], whole.growth_uncertainty, DEPTH)
        stiffness = [reading.stiffness for reading in self.readings]
        self.same("stiffness", list(strip["stiffness_pct"].values()), [min(stiffness), max(stiffness)])

    def _correct(self):
        done, table = (self.run_program("correct", f, "correct-" + f, *self._stage()) for f in ("json", "csv"))
        if done.returncode > 1 or table.returncode > 1:
            return
        said = self.json_of(done.stdout)
        section = said["sections"][0]
        self.same("places to correct", len(section["places"]), len(self.readings))
        in_order = sorted(self.readings, key=lambda reading: reading.place)
        for place, reading in zip(section["places"], in_order):
            self._corrected(place, reading)
        off = any(place["add_" + self.unit] for place in section["places"] if place["screw"] is not None)
        self.same("corrects", said["corrects"], off)
        listed = {"strips": [{"readings": section["places"]}]}
        self.table(listed, self.rows_of(table.stdout))

    def _stage(self):
        """What is corrected is told by the stage, unless it is told already."""
        return [] if "--stage" in self.case.call_options else ["--stage", "groove"]

    def _corrected(self, place, reading):
        u, where = self.unit, self._where(reading) + " to correct"
        machine = self.case.targets.machine
        self.length(f"{where}: at", place["machine_at_" + u], reading.place)
        self.length(f"{where}: target", place["target_" + u], reading.target, DEPTH)
        self.length(f"{where}: gauge", place["gauge_" + u], reading.measured)
        reach = NORMAL_95 * reading.repeated.uncertainty
        low, high = (reading.depth_off(self.case.targets, more) for more in (-reach, reach))
        slack = DEPTH + TANGENT * abs(reading.too_deep)
        self.length(f"{where}: too deep", place["depth_deviation_" + u], reading.too_deep, slack)
        self.length(f"{where}: low", place["interval_low_" + u], low, slack)
        self.length(f"{where}: high", place["interval_high_" + u], high, slack)
        add = place["add_" + u]
        if min(abs(low), abs(high)) < slack:  # on the border either is right
            off = add != 0
        else:
            off = low > 0 or high < 0
        self.outcome.made_of[f"groove, {'turn' if off else 'leave'} the screw"] += 1
        more = -reading.too_deep if off else 0.0
        self.length(f"{where}: add", add, more, DEPTH)
        screws = machine["screws"]
        screw = next((n for n, at in enumerate(screws, 1) if abs(at - reading.place) < SAME_PLACE), None)
        self.same(f"{where}: screw", place["screw"], screw)
        opening = more * 2 * math.tan(math.pi / 6)
        self.length(f"{where}: opening", place["opening_change_" + u], None if screw is None else opening, DEPTH)
        lead = machine["screw_lead"]
        turns = None if screw is None or lead is None else opening / float(lead)
        self.number(f"{where}: turns", place["turns"], turns, TURNS, DEPTH)

    def _made_of(self):
        machine = self.case.targets.machine
        yield f"depth gauge {machine['gauge']['tip']}, closed depth {'known' if machine['closed'] else 'unknown'}"
        yield f"feeds {machine['feeds']}"
        yield f"groove in {'in' if self.case.scale > 1 else 'mm'}, output in {self.unit}"
        if self.case.one_pass and self.case.one_pass < self.case.targets.last_pass:
            yield "an earlier pass"
        for reading in self.readings:
            yield f"gauge {machine['gauge']['tip']} on {reading.bearing}"
            yield f"groove: {sorted(reading.words or ['not told'])[0]}"
            yield f"groove, readings at a place: {reading.repeated.times}"


class Station:
    """A groove's reading at its station of the rod, for the mean and the growth from tip to butt."""

    def __init__(self, reading, place):
        self.place, self.deviation, self.repeated = place, reading.deviation, reading.repeated
