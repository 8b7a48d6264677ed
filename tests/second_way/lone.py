"""Readings that stand alone, and were most likely misread: docs/method.md 12.

What is milled or planed does not jump at one station and be back at the next. Of the readings that
can be doubted the one that is farthest off the rest of its strip goes first; it is then left
out, and what remains is looked at again. No more than a quarter of a strip's places is doubted.
"""

import math
from statistics import median

FEWEST = 5  # places at which a height was read
STAGES = ("milled", "ready", "bare", "varnished")  # a section as glued has lumps that are real


class Series:
    """One height of one strip along its places; `readings` are Judged."""

    def __init__(self, readings):
        self.readings = sorted(readings, key=lambda reading: reading.place)
        self.index = {reading.place: i for i, reading in enumerate(self.readings)}
        self.off = [float(reading.deviation) for reading in self.readings]
        self.at = [float(reading.place) for reading in self.readings]

    def without(self, i):
        return Series(self.readings[:i] + self.readings[i + 1:])

    def neighbours(self, i):
        """Those to both sides; at an end the one there is, twice."""
        last = len(self.off) - 1
        return (i - 1 if i else 1), (i + 1 if i < last else last - 1)

    def at_end(self, i):
        return i in (0, len(self.off) - 1)

    def jump(self, i):
        """How far it is over the larger or (below 0) under the smaller of its neighbours."""
        beside = [self.off[k] for k in self.neighbours(i)]
        return max(self.off[i] - max(beside), 0.0) + min(self.off[i] - min(beside), 0.0)

    def _share(self, i):
        """Where it lies between its neighbours, 0 at the one before and 1 at the one after."""
        left, right = self.neighbours(i)
        return 0.0 if left == right else (self.at[i] - self.at[left]) / (self.at[right] - self.at[left])

    def line(self, i):
        """What its neighbours say: the straight line between them."""
        left, right = self.neighbours(i)
        return self.off[left] + self._share(i) * (self.off[right] - self.off[left])

    def beside(self, i):
        """How far it is off what its neighbours say."""
        return self.off[i] - self.line(i)

    def distances(self):
        """Of its inner places from their neighbours' lines, each over what such a distance is on the
        average where a single reading is off by 1: reading and line are both uncertain."""
        shares = [self._share(i) for i in range(1, len(self.off) - 1)]
        return [abs(self.beside(i)) / math.sqrt(1 + share ** 2 + (1 - share) ** 2)
                for i, share in enumerate(shares, 1)]


def _beside_there(series, place):
    """How far each of these is off what its neighbours say at a place, where that can be told."""
    found = []
    for one in series:
        i = one.index.get(place)
        if i is not None and len(one.off) > 1:
            found.append(one.beside(i))
    return found


def _alike(jump, others):
    """How many jump the same way, by half as much or more."""
    return sum(other * jump > 0 and abs(other) >= abs(jump) / 2 for other in others)


def _doubted(one, i, heights, strips, tolerance):
    """Whether `one`'s reading i was misread, and whether the other heights there go on: None if it
    was not. `heights` are the other heights of its strip, `strips` the same height of the others."""
    reading, jump = one.readings[i], one.jump(i)
    u = reading.repeated.uncertainty
    if reading.repeated.times > 1 or abs(jump) <= max(float(sum(tolerance)) + 3 * u, 7 * u):
        return None
    scatter = one.without(i).distances()
    for other in heights:
        scatter += other.distances()
    if scatter and abs(jump) <= 3.5 * median(scatter) / 0.6745:
        return None
    others = _beside_there(heights, reading.place)
    if _alike(jump, others):
        return None
    go_on = len(others) == 2 and all(abs(other) <= abs(jump) / 4 for other in others)
    if one.at_end(i):
        beside = one.jump(one.neighbours(i)[0])
        if not go_on or abs(beside) >= abs(jump) / 4:
            return None
    there = _beside_there(strips, reading.place)
    if len(there) >= 2 and 2 * _alike(jump, there) > len(there):
        return None
    return {"go_on": go_on}


def lone_readings(strips, tolerance):
    """{(strip, place, height): (what its neighbours say, whether the other heights go on)} of all that
    were most likely misread. `strips` maps a name to the Judged readings of one section."""
    series = {}
    for name, readings in strips.items():
        for reading in readings:
            series.setdefault((name, reading.height), []).append(reading)
    series = {key: Series(readings) for key, readings in series.items()}
    as_read = dict(series)  # other strips tell with all that was read of them
    may_still = {key: len(one.off) // 4 if len(one.off) >= FEWEST else 0 for key, one in series.items()}
    found = {}
    while True:
        worst = None
        for (name, height), one in series.items():
            if not may_still[name, height]:
                continue
            middle = median(one.off)
            heights = [s for (n, h), s in series.items() if n == name and h != height]
            strips_there = [s for (n, h), s in as_read.items() if n != name and h == height]
            for i, off in enumerate(one.off):
                far = abs(off - middle)
                if worst and far <= worst[0]:
                    continue
                doubt = _doubted(one, i, heights, strips_there, tolerance)
                if doubt:
                    worst = far, (name, height), i, doubt["go_on"]
        if not worst:
            return found
        _, key, i, go_on = worst
        one = series[key]
        say = float(one.readings[i].target) + one.line(i)
        found[key[0], one.readings[i].place, key[1]] = say, go_on
        may_still[key] -= 1
        series[key] = one.without(i)
