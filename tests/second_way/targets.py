"""What strips, sections and the groove of a set form shall measure, stage by stage."""

from fractions import Fraction

import bars
import groove
from judging import CLOSE
from ledger import Ledger, bisect
from strip import Strip
from taper import Taper

STRIP_STAGES = ("milled", "ready")
FLAT_STAGES = ("glued", "bare", "varnished")


class Targets:
    """Targets of one section, at the moisture `now` (percent, None where nothing was said)."""

    def __init__(self, taper, bench, section, stage, now=None):
        allowances = bench.shop["allowances"]
        self.stage, self.bench = stage, bench
        self.varnish = allowances["varnish"]
        self.ledger = Ledger(allowances, taper["measured"], bench.strip)
        self.taper = Taper(taper["stations"], taper["between"])
        self.strip = Strip(self.taper, self.ledger, section)
        # How much a strip's height grew since it was milled; the flats since they are in service.
        grown = 0 if now is None else allowances["swell"] * (now - allowances["in_service"])
        self.swollen = Fraction(1) if now is None or stage in FLAT_STAGES else (1 + grown) / self.ledger.swell
        self.flats_grown = grown
        # A strip goes to the glue as it was milled, crown and all, if the face is made flat after.
        self.crown_at_glue = self.ledger.off == "after-gluing" or (
            self.ledger.off == "before-milling" and self.ledger.round)
        self.round_now = self.ledger.round and (stage == "milled" or self.crown_at_glue)
        self.relief = self.ledger.relief if stage == "ready" else Fraction(0)
        self.tolerance = bench.flats if stage in FLAT_STAGES else bench.strip

    def bare_flats(self, place):
        """Of six such strips; in the spare, where the strip is held at a least height, of those."""
        return 2 * (self.strip.glued(place) + self.ledger.glue_line) - 2 * self.ledger.cleanup

    def target(self, place, height):
        if self.stage in FLAT_STAGES:
            return self._flats(place)
        glued = self.strip.glued(place)
        milled = self.ledger.milled(glued)
        if self.stage == "milled" or self.crown_at_glue:
            size = milled if height == "a" else self.ledger.side(milled)
        else:
            size = self.ledger.wet(glued)
        if isinstance(size, Fraction):
            size = size * self.swollen
        else:
            size = size * float(self.swollen)
        return size - (self.relief if height == "a" else 0)

    def _flats(self, place):
        rows = self.ledger.rows(self.taper.value(place))
        grown = rows["flats_bare"] * self.flats_grown
        if self.stage == "glued":
            return rows["flats_glued"] + grown
        return rows["flats_bare"] + grown + (2 * self.varnish if self.stage == "varnished" else 0)

    def stiffness(self, place, deviation):
        """Percent by which the bending stiffness is off, if all of the section were so."""
        across = float(deviation) * (1 if self.stage in FLAT_STAGES else 2)
        return 100 * ((1 + across / float(self.bare_flats(place))) ** 4 - 1)


class GrooveTargets:
    """What a depth gauge shall read in the groove of a set planing form. Places are the machine's."""

    stage = "groove"

    def __init__(self, setup, section, one_pass):
        self.setup, self.section = setup, section
        self.machine = setup.machine
        numbered = self.machine["passes"] is not None
        self.last_pass = len(setup.passes(section)[1])
        number = str(one_pass or self.last_pass)
        rows = [row[0] for row in setup.cutter_table(section) if not numbered or row[0]["pass"] == number]
        self.bar = bars.Bar(self.machine["screws"], [float(row["cutter_offset_U"].value) for row in rows])
        self.tolerance = setup.shop["tolerance"]
        self.cannot_set = [at for at, row in zip(self.machine["screws"], rows) if self._empty(row)]

    def _empty(self, row):
        return self.machine["closed"] is not None and row["opening_U"] is None

    def depth(self, place):
        """Between screws that are closed a spring bar would go on into the other, which it cannot."""
        closed = self.setup.closed_depth(place)
        depth = self.bar.height(float(place))
        return depth if closed is None else max(depth, float(closed))

    def bare_flats(self, place):
        """As those of six strips: see Targets.bare_flats."""
        glued = self.setup.strips[self.section["name"]].glued(self.setup.taper_at(self.section, place))
        return 2 * (glued + self.setup.ledger.glue_line) - 2 * self.setup.ledger.cleanup

    def readings(self, place, depth):
        """What the gauge may read over a groove so deep: one, or two on a border; None for no reading."""
        return [reading for reading, _ in
                groove.read(self.machine["gauge"], depth, self.setup.closed_depth(place))]

    def bears(self, place, depth):
        return groove.read(self.machine["gauge"], depth, self.setup.closed_depth(place))[0][1]

    def depth_of(self, place, reading):
        """The depth of the groove in which the gauge reads so, or None if there is none."""
        def shallower(depth):
            found = self.readings(place, depth)[0]
            # A flat end that rests on the bars: too shallow. A ball in the slot: too deep.
            return self.machine["gauge"]["tip"] == "flat" if found is None else found < reading

        depth = bisect(0.0, self.depth(place) + 100, shallower)
        near = [r for d in (depth - CLOSE, depth + CLOSE) for r in self.readings(place, d) if r is not None]
        return depth if any(abs(r - reading) < 10 * CLOSE for r in near) else None

    def steepness(self, place):
        """How much more the gauge reads for each millimetre of depth, at the target."""
        depth, step = self.depth(place), 1e-4
        values = [self.readings(place, depth + k * step)[0] for k in (-2, -1, 1, 2)]
        near, far = values[2] - values[1], values[3] - values[0]
        return (8 * near - far) / (12 * step)

    def stiffness(self, place, depth_deviation):
        across = 2 * depth_deviation
        return 100 * ((1 + across / float(self.bare_flats(place))) ** 4 - 1)
