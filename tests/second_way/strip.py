"""The strip's profile along the rod, and a round cutter going over it.

Inside the section the profile is the ledger's. Outside, in the spare and beyond,
the taper's extension holds, but the glued height stays at 0.2 mm (or at what it
is at that end of the section, if that is less) where it would fall lower.

The cutter's centre is found by the definition: the greatest of
h(u) + sqrt(R^2 - (x-u)^2) over all u within R of x, searched piece by piece.
"""

import math
from bisect import bisect_right
from fractions import Fraction

from ledger import bisect
from taper import de_casteljau

FLOOR = Fraction(2, 10)
GOLDEN = (math.sqrt(5.0) - 1) / 2


def greatest(f, a, b, sure=1e-9):
    """Greatest value of f on [a, b], where f rises and then falls (golden section)."""
    best = max(f(a), f(b))
    span = b - a
    c, d = b - GOLDEN * span, a + GOLDEN * span
    fc, fd = f(c), f(d)
    while span > sure:
        if fc >= fd:
            b, d, fd = d, c, fc
            span = b - a
            c = b - GOLDEN * span
            fc = f(c)
        else:
            a, c, fc = c, d, fd
            span = b - a
            d = a + GOLDEN * span
            fd = f(d)
    return max(best, fc, fd)


class Strip:
    def __init__(self, taper, ledger, section):
        self.taper, self.ledger = taper, ledger
        self.low, self.high = section["from"], section["to"]
        self.low_floor = min(FLOOR, ledger.glued(taper.value(self.low)))
        self.high_floor = min(FLOOR, ledger.glued(taper.value(self.high)))
        self._pieces = None
        self._milled = ledger.fast_milled()

    def glued(self, x):
        height = self.ledger.glued(self.taper.value(x))
        if x < self.low:
            return max(height, self.low_floor)
        if x > self.high:
            return max(height, self.high_floor)
        return height

    def milled(self, x):
        return self.ledger.milled(self.glued(x))

    # The pieces below are all floats: (from, to, function of u), each monotone.
    def pieces(self):
        if self._pieces is None:
            self._pieces = list(self._make_pieces())
            self.corners = [p[1] for p in self._pieces[:-1]]
        return self._pieces

    def _make_pieces(self):
        for start, end, points in self.taper.pieces():
            cuts = [start] + [
                x for x in (self.low, self.high)
                if (start is None or x > start) and (end is None or x < end)
            ] + [end]
            for a, b in zip(cuts, cuts[1:]):
                yield from self._floored(a, b, self._function(start, end, points))

    def _function(self, start, end, points):
        """Glued height as a function of a float u on one piece of the taper."""
        heights = [float(self.ledger.glued(d)) for d in points] if len(points) != 2 else None
        if start is None or end is None:
            level = float(self.ledger.glued(points[0]))
            slope, at = float(points[1]) / 2, float(end if start is None else start)
            return lambda u: level + slope * (u - at)
        at, length = float(start), float(end - start)
        if heights is None:
            h0, h1 = (float(self.ledger.glued(d)) for d in points)
            slope = (h1 - h0) / length
            return lambda u: h0 + slope * (u - at)
        return lambda u: de_casteljau(heights, (u - at) / length)

    def _floored(self, a, b, function):
        """Cut a piece outside the section where it crosses the floor."""
        low = -math.inf if a is None else float(a)
        high = math.inf if b is None else float(b)
        if a is not None and a >= self.low and b is not None and b <= self.high:
            yield low, high, function
            return
        floor = float(self.low_floor if b is not None and b <= self.low else self.high_floor)
        # An end without end is looked at for ten metres: no rod and no machine is longer.
        near_low = high - 1e4 if low == -math.inf else low
        near_high = low + 1e4 if high == math.inf else high

        def level(u):
            return floor

        above_low, above_high = function(near_low) >= floor, function(near_high) >= floor
        if above_low and above_high:
            yield low, high, function
        elif not above_low and not above_high:
            yield low, high, level
        elif above_low:
            crossing = bisect(near_low, near_high, lambda u: function(u) >= floor)
            yield low, crossing, function
            yield crossing, high, level
        else:
            crossing = bisect(near_low, near_high, lambda u: function(u) < floor)
            yield low, crossing, level
            yield crossing, high, function

    def fast(self, u):
        """Milled height as a float."""
        pieces = self.pieces()
        return self._milled(pieces[bisect_right(self.corners, u)][2](u))

    def least_milled(self, start, end):
        """Least and greatest milled height between two stations, exact where it can be."""
        inside = [x for x, _ in self.taper.stations if start < x < end]
        inside += [x for x in (self.low, self.high) if start < x < end]
        heights = [self.milled(x) for x in [start, end] + inside]
        return min(heights), max(heights)

    def cutter_offset(self, x, radius, parts=None):
        """z(x) - R. `parts` turn a milled height into the one wanted, the greatest of them
        (a pass): the cutter rests on whichever stands highest."""
        milled = self._milled
        if parts is None:
            return self._offset(float(x), float(radius), milled)
        return max(
            self._offset(float(x), float(radius), lambda glued, part=part: part(milled(glued)))
            for part in parts)

    def _offset(self, x, radius, top):
        pieces = self.pieces()
        here = bisect_right(self.corners, x)
        if radius == 0:
            return top(pieces[here][2](x))
        square = radius * radius
        best = -math.inf
        order = [here] + [i for i in range(len(pieces)) if i != here]
        for index in order:
            low, high, function = pieces[index]
            a, b = max(low, x - radius), min(high, x + radius)
            if a > b:
                continue

            def over(u):
                t = (x - u) * (x - u)
                return top(function(u)) - t / (radius + math.sqrt(max(square - t, 0.0)))

            # Pieces are monotone, so this much can be reached at most.
            nearest = min(max(x, a), b)
            t = (x - nearest) * (x - nearest)
            bound = max(top(function(a)), top(function(b)))
            if bound - t / (radius + math.sqrt(max(square - t, 0.0))) < best:
                continue
            best = max(best, greatest(over, a, b))
        return best
