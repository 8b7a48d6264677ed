"""Strip or machine: what several strips have in common at a station (docs/method.md 13)."""

import math

from judging import half_interval, spread
from strip_words import NORMAL_95


class Station:
    """The deviations of all strips at one station; `strips` are lists of Judged, one a strip."""

    def __init__(self, place, strips, gauge):
        self.place, self.count = place, len(strips)
        means = [sum(float(r.deviation) for r in heights) / len(heights) for heights in strips]
        # The readings' own scatter of each strip's mean, and of an average strip.
        own = [sum(r.repeated.own_variance for r in heights) / len(heights) ** 2 for heights in strips]
        self.mean = sum(means) / self.count
        self.spread = spread(means) if self.count > 1 else None
        variance = max((self.spread or 0.0) ** 2, sum(own) / self.count)
        error = math.sqrt(variance / self.count)
        self.error = math.hypot(error, gauge.uncertainty)
        if self.count == 1:  # nothing is estimated from a sample
            self.reach = NORMAL_95 * self.error
        else:
            self.reach = half_interval(error, self.count - 1, gauge.uncertainty)

    @property
    def causes(self):
        """The word for it; two where the interval ends at 0."""
        if self.count == 1:
            return {"one strip"}
        words = {"machine"} if abs(self.mean) > self.reach - 1e-9 else set()
        return words | ({"scatter"} if abs(self.mean) < self.reach + 1e-9 else set())

    def correction(self, cause):
        """What is added to the strip's height when the machine is set."""
        return -self.mean if cause == "machine" else 0.0


def stations(strips, gauge):
    """Station by station. `strips` are lists of Judged, doubted readings left out."""
    places = {}
    for readings in strips:
        heights = {}
        for reading in readings:
            heights.setdefault(reading.place, []).append(reading)
        for place, here in heights.items():
            places.setdefault(place, []).append(here)
    return [Station(place, here, gauge) for place, here in sorted(places.items())]
