"""Sliding a strip along the taper: the shift that makes the most of its readings right.

Moved towards the tip by s, what was read at x comes to lie at x - s and is held against the target
there. Between the corners of its profile a taper rises or falls all the way, so the shifts that
make a reading right are one stretch from corner to corner, with ends found by bisection.
"""

from judging import SURE, probability_within
from ledger import bisect

NEAR = 1e-7  # mm: ends of stretches closer than this are one


def right_deviations(reading, tolerance, plain):
    """(from, to): so far off its target the reading is right, or None if it never is."""
    over, under = (float(t) for t in tolerance)
    u = reading.repeated.uncertainty
    if plain or u == 0:
        return -under, over

    def right(off):
        return probability_within(off, u, -under, over) >= SURE

    middle = (over - under) / 2
    if not right(middle):
        return None
    return (bisect(-under - 9 * u, middle, lambda off: not right(off)),
            bisect(middle, over + 9 * u, right))


def stretches(reading, targets, reach, plain):
    """The shifts, from lowest to highest, that make a reading right: a list of (from, to)."""
    allowed = right_deviations(reading, targets.tolerance, plain)
    if allowed is None:
        return []
    x, measured = float(reading.place), float(reading.measured)
    low, high = x - reach[1], x + reach[0]
    corners = [float(at) for at, _ in targets.taper.stations] + [float(targets.strip.low), float(targets.strip.high)]
    cuts = [low] + sorted(at for at in set(corners) if low < at < high) + [high]

    def off(place):
        return measured - float(targets.target(place, reading.height))

    found = []
    for a, b in zip(cuts, cuts[1:]):
        first, last = off(a), off(b)
        rising = last >= first
        lowest, highest = min(first, last), max(first, last)
        if highest < allowed[0] or lowest > allowed[1]:
            continue

        def crossing(level):
            return bisect(a, b, lambda place: (off(place) < level) == rising)

        enters = crossing(allowed[0]) if lowest < allowed[0] else (a if rising else b)
        leaves = crossing(allowed[1]) if highest > allowed[1] else (b if rising else a)
        found.append((x - max(enters, leaves), x - min(enters, leaves)))
    found.sort()
    joined = []
    for start, end in found:
        if joined and start - joined[-1][1] < NEAR:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((start, end))
    return joined


class Shift:
    """`towards_tip` makes `then` readings right, where `now` are; it holds on to `until`."""

    def __init__(self, readings, targets, reach, plain):
        reach = [float(end) for end in reach]
        every = [stretches(reading, targets, reach, plain) for reading in readings]

        def right(s):
            return sum(any(start - NEAR <= s <= end + NEAR for start, end in one) for one in every)

        self.now = right(0.0)
        ends = sorted({0.0} | {end for one in every for stretch in one for end in stretch})
        counts = [right(s) for s in ends]
        self.then = max(counts)
        between = [right((a + b) / 2) for a, b in zip(ends, ends[1:])]
        # The most at a single point, where one stretch ends and another begins: rounding decides.
        self.touching = max(between, default=self.then) < self.then
        self.best = sorted((s for s, n in zip(ends, counts) if n == self.then), key=abs)
        self.towards_tip = self.best[0]
        # Of two that are as short either may be told.
        self.either = len(self.best) > 1 and abs(abs(self.best[1]) - abs(self.best[0])) < NEAR
        self.until = self._until(ends, right)

    def _until(self, ends, right):
        """From the shift on, away from 0, for as long as so many are right."""
        if self.towards_tip == 0:
            return 0.0
        sign = 1 if self.towards_tip > 0 else -1
        until = self.towards_tip
        for end in sorted((s for s in ends if sign * (s - until) > 0), key=abs):
            if right(end) < self.then or right((until + end) / 2) < self.then:
                break
            until = end
        return until
