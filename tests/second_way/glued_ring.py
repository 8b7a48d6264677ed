"""What one ring's readings say of glue line, clean-up and varnish, flat by flat.

docs/method.md 14: two opposite strips and two glue lines make the flats of the section.
"""

from collections import namedtuple

from judging import Repeated
from moving import Course, straight

DIFFERENCE, GLUE, CLEANUP, VARNISH = ALLOWANCES = (
    "clean-up less glue line", "glue line", "clean-up", "varnish")
HEIGHT_STAGES = ("ready", "milled")  # the first of them that was read counts
SECTION_STAGES = ("glued", "bare", "varnished")

# `flats` is f1, f2, f3, or mean where it is not known which strips they cross; `variance` is
# what the step of the gauge alone leaves open of the value.
Value = namedtuple("Value", "allowance ring rod at flats value variance")


class GluedRing:
    """One ring file with its readings, {stage: reading_tables.gathered}.

    `raw` has name, rod, piece, strips, shifts, marked, moisture; lengths in mm.
    """

    def __init__(self, raw, strip, readings, gauge, allowances):
        self.name, self.rod = raw["name"], raw["rod"]
        self.strips, self.shifts, self.marked = raw["strips"], raw["shifts"], raw["marked"]
        self.moisture, self.swell = raw["moisture"], allowances["swell"]
        self.step_variance = gauge.step_variance
        mean = {stage: {who: {at: {height: float(Repeated(values, gauge).mean) for height, values in heights.items()}
                              for at, heights in places.items()}
                        for who, places in found.items()}
                for stage, found in readings.items()}
        self.stage = next((stage for stage in HEIGHT_STAGES if stage in mean), None)
        self.heights = mean.get(self.stage, {})
        self.flats = {stage: mean[stage].get(raw["piece"], {}) for stage in SECTION_STAGES if stage in mean}
        self.course = Course(strip, self.stage or "milled", self._swell_since_milled(allowances))

    def _swell_since_milled(self, allowances):
        """Of strips ready to glue, where the ring tells how moist they were read."""
        if self.stage != "ready" or "ready" not in self.moisture:
            return 1
        now, milled = (1 + self.swell * (percent - allowances["in_service"])
                       for percent in (self.moisture["ready"], allowances["at_milling"]))
        return now / milled

    def growth(self, before, after):
        """What a length read at one stage is divided by to be as at another."""
        if before not in self.moisture or after not in self.moisture:
            return 1.0
        return float(1 + self.swell * (self.moisture[before] - self.moisture[after]))

    def height(self, name, x):
        """Of one strip as it lies at x: apex still on, enamel off unless it stays; None if not read there."""
        points = [(at, read["a"]) for at, read in sorted(self.heights.get(name, {}).items()) if "a" in read]
        shift = self.shifts.get(name, 0)
        shown = x + shift
        # Known where it was read, or, moved, no farther from a reading than it was moved.
        near = [height for at, height in points if abs(at - shown) <= abs(shift)]
        if not near:
            return None
        height = near[0]
        if shift:
            height = float(self.course.target(shown)) + straight(
                [(at, read - float(self.course.target(at))) for at, read in points], shown)
        if self.stage == "ready":
            return height + float(self.course.ledger.relief)
        return height if self.course.late else height - float(self.course.enamel(shown))

    def _pair(self, i, x):
        """Height of the two strips together that f1, f2 or f3 crosses."""
        sides = [self.height(self.strips[k], x) for k in (i, i + 3)]
        return None if None in sides else sum(sides)

    def flat_values(self, i, x):
        """{allowance: value} of one of the three across flats at a station."""
        key = f"f{i + 1}"
        flat = {stage: places[x][key] for stage, places in self.flats.items() if key in places.get(x, {})}
        pair = self._pair(i, x)
        # What the faces lose when they are made flat; counted at the station itself.
        enamel = float(self.course.enamel(x)) if self.course.late else 0.0
        found = {}
        if pair is not None and "bare" in flat:
            found[DIFFERENCE] = (pair / self.growth(self.stage, "bare") - flat["bare"]) / 2 - enamel
        if pair is not None and "glued" in flat:
            found[GLUE] = (flat["glued"] - pair / self.growth(self.stage, "glued")) / 2
        if "glued" in flat and "bare" in flat:
            found[CLEANUP] = (flat["glued"] / self.growth("glued", "bare") - flat["bare"]) / 2 - enamel
        if "varnished" in flat and "bare" in flat:
            found[VARNISH] = (flat["varnished"] - flat["bare"] / self.growth("bare", "varnished")) / 2
        return found

    def variance(self, allowance):
        """Half of a sum of three readings, or of two, each as sure as the gauge's step."""
        return (3 if allowance in (DIFFERENCE, GLUE) else 2) * self.step_variance / 4

    def teaches(self):
        """Whether it has two stages that together say anything; else it is refused."""
        return (self.stage is not None and bool({"glued", "bare"} & set(self.flats))
                or "bare" in self.flats and len(self.flats) > 1)

    def values(self):
        for x in sorted({x for places in self.flats.values() for x in places}):
            three = [self.flat_values(i, x) for i in range(3)]
            for allowance in ALLOWANCES:
                found = {f"f{i + 1}": flat[allowance] for i, flat in enumerate(three) if allowance in flat}
                variance = self.variance(allowance)
                if not self.marked:
                    # The mean of all three holds whichever strips each of them crosses.
                    variance /= 3
                    found = {"mean": sum(found.values()) / 3} if len(found) == 3 else {}
                for flats, value in found.items():
                    yield Value(allowance, self.name, self.rod, x, flats, value, variance)
