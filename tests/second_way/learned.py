"""A shop's own allowances with their intervals, from the values of its rings: docs/method.md 14."""

import math
from statistics import median

from glued_ring import DIFFERENCE, GLUE
from judging import half_interval, spread
from outliers import odd_ones, suspects

ROD_SAMPLE = 3  # so many rods are a sample; with fewer the stations are


def grouped(values, key):
    """Lists of what has the same key, in order."""
    found = {}
    for value in values:
        found.setdefault(key(value), []).append(value)
    return list(found.values())


def mean(numbers):
    numbers = list(numbers)
    return sum(numbers) / len(numbers)


class Sample:
    """Stations, or rods, of some values: `means`, and what the gauge's step leaves open of them."""

    def __init__(self, values, of_rods=None):
        rods = grouped(values, lambda value: value.rod)
        self.rods = len(rods)
        stations = [grouped(rod, lambda value: (value.ring, value.at)) for rod in rods]
        self.stations = sum(map(len, stations))
        self.of_rods = self.rods >= ROD_SAMPLE if of_rods is None else of_rods
        by_station = [[mean(value.value for value in station) for station in rod] for rod in stations]
        if self.of_rods:
            self.means = [mean(rod) for rod in by_station]
            together = rods
        else:
            self.means = [each for rod in by_station for each in rod]
            together = [station for rod in stations for station in rod]
        # A rod's as of the plain mean of its values: where all stations have three it is the same.
        self.variances = [1 / sum(1 / value.variance for value in many) for many in together]


class Estimate:
    """One allowance from all values there are of it; `half` is None of a sample of one."""

    def __init__(self, name, values, gauge, in_shop):
        self.name, self.in_shop = name, float(in_shop)
        self.values = [value for value in values if value.allowance == name]
        self.sample = Sample(self.values)
        self.gauge_part = gauge.uncertainty / 2 if name in (DIFFERENCE, GLUE) else 0.0
        means = self.sample.means
        self.half = None
        if not means:
            return
        self.measured, self.spread = mean(means), spread(means)
        self.error = math.sqrt(max(self.spread ** 2, mean(self.sample.variances)) / len(means))
        if len(means) > 1:
            self.half = half_interval(self.error, len(means) - 1, self.gauge_part)

    @property
    def off(self):
        return self.measured - self.in_shop

    def differs(self):
        """Whether the shop's value is outside the interval; None where there is none."""
        return None if self.half is None else abs(self.off) > self.half

    def odd(self):
        """Indices into `values`: off their rods' medians, for rods differ in themselves."""
        middle = {rod[0].rod: median(value.value for value in rod)
                  for rod in grouped(self.values, lambda value: value.rod)}
        distances = [value.value - middle[value.rod] for value in self.values]
        # No less than the step alone makes of one flat's values; of means of three as well.
        least = math.sqrt(max(value.variance * (3 if value.flats == "mean" else 1) for value in self.values))
        return odd_ones(distances, suspects(len(distances)), least)

    def without(self, odd):
        """What would be measured if what is odd were left out; None if nothing is left."""
        kept = [value for i, value in enumerate(self.values) if i not in odd]
        return mean(Sample(kept, self.sample.of_rods).means) if kept else None
