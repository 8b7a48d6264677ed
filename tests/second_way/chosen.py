"""Which six of the measured strips, in which order, moved how far: docs/choosing.md, by trying all.

A candidate is a strip with one of its shifts. Rings are compared by the aims in their order,
all lengths in whole nanometres.
"""

import math
from fractions import Fraction
from itertools import combinations, product

from judging import verdicts
from moving import straight

QUARTER = 4  # a strip has to be measured over all but this part of the section at each end


def nanometres(length):
    return round(float(length) * 1e6)


def nearness(shift):
    """Shifts in the order in which they are preferred: near to 0, then towards the tip."""
    return abs(shift), shift < 0


class Candidate:
    """A strip moved by `shift` towards the tip: its deviations at the stations, in service, in
    whole nanometres from here on."""

    def __init__(self, name, shift, deviations, nodes, density):
        self.name, self.shift = name, shift
        self.deviations = [nanometres(deviation) for deviation in deviations]
        # Half a nanometre: which of two it is told as is chance.
        self.on_border = any(abs(abs(d * 1e6 - whole) - 0.5) < 1e-4 for d, whole in zip(deviations, self.deviations))
        self.nodes, self.density = nodes, density


def short(wanted, distance):
    """By how much a distance is short of what is wanted, in whole nanometres, halves up."""
    return max(0, math.floor((wanted - abs(distance)) * 1000000 + Fraction(1, 2)))


class NodeRules:
    """`places` are to be kept clear; nodes of neighbours count within the section."""

    def __init__(self, section, min_gap, keep_clear, places):
        self.section, self.min_gap, self.keep_clear, self.places = section, min_gap, keep_clear, sorted(set(places))

    def within(self, nodes):
        return [z for z in nodes if self.section["from"] <= z <= self.section["to"]]

    def alone(self, candidate):
        """What one strip's nodes lack to the places, in whole nanometres each."""
        return sum(short(self.keep_clear, z - place) for z in candidate.nodes for place in self.places)

    def between(self, one, other):
        """What the nodes of two neighbours lack to each other."""
        return sum(short(self.min_gap, y - z)
                   for y in self.within(one.nodes) for z in self.within(other.nodes))

    def lacking(self, ring):
        return sum(map(self.alone, ring)) + sum(self.between(a, b) for a, b in zip(ring, ring[1:] + ring[:1]))


class Pair:
    """Two strips that lie opposite each other: their deviations add up to that of the flats."""

    def __init__(self, one, other):
        self.first, self.second = sorted((one, other), key=lambda c: c.name)
        self.deviations = [a + b for a, b in zip(one.deviations, other.deviations)]
        self.largest = max(map(abs, self.deviations))
        # Of rings that are as good: pair by pair by names, after names by shifts.
        self.comes = self.first.name, self.second.name, nearness(self.first.shift), nearness(self.second.shift)
        both = one.density is not None and other.density is not None
        self.imbalance = abs(one.density - other.density) if both else None


def out_of_round(pairs):
    return max(max(three) - min(three) for three in zip(*(pair.deviations for pair in pairs)))


def orders(pairs):
    """All ways round the section, up to turning and turning over, with these pairs opposite."""
    one, two, three = pairs
    for x, y in product(((two.first, two.second), (two.second, two.first)),
                        ((three.first, three.second), (three.second, three.first))):
        yield [one.first, x[0], y[0], one.second, x[1], y[1]]


def round_it(ring, between):
    """What the neighbours in a ring lack together."""
    return sum(between[id(a), id(b)] for a, b in zip(ring, ring[1:] + ring[:1]))


class Chosen:
    """The best ring of all: the aims' values, and of those that are as good the first by name."""

    def __init__(self, candidates, rules):
        self.key = self.ring = None
        dense = all(candidate.density is not None for candidate in candidates)
        alone = {id(c): rules.alone(c) if rules else 0 for c in candidates}
        between = {}
        pairs = sorted((Pair(a, b) for a, b in combinations(candidates, 2) if a.name != b.name),
                       key=lambda pair: pair.largest)
        if rules:
            for pair in pairs:
                lacking = rules.between(pair.first, pair.second)
                between[id(pair.first), id(pair.second)] = between[id(pair.second), id(pair.first)] = lacking
        for i, worst in enumerate(pairs):
            if self.key and not rules and worst.largest > self.key[1]:
                break  # all that follow are worse still
            taken = {worst.first.name, worst.second.name}
            others = [p for p in pairs[:i] if p.first.name not in taken and p.second.name not in taken]
            for two, three in combinations(others, 2):
                if {two.first.name, two.second.name} & {three.first.name, three.second.name}:
                    continue
                three_pairs = sorted((worst, two, three), key=lambda pair: pair.first.name)
                self._try(three_pairs, worst.largest, alone, between, rules, dense)

    def _try(self, pairs, largest, alone, between, rules, dense):
        lacking, ring = 0, next(orders(pairs))
        if rules:
            own = sum(alone[id(c)] for c in ring)
            if self.key and own > self.key[0]:
                return
            ring = min(orders(pairs), key=lambda order: round_it(order, between))
            lacking = own + round_it(ring, between)
        key = lacking, largest
        if self.key and key > self.key[:2]:
            return
        imbalance = max(pair.imbalance for pair in pairs) if dense else 0
        key += (out_of_round(pairs), nanometres(imbalance), [pair.comes for pair in pairs])
        if self.key is None or key < self.key:
            self.key, self.ring = key, ring


class TwoRings:
    """The aims of the best two rings of twelve strips that lie as they are: the worst of both counts."""

    def __init__(self, candidates):
        self.key = None
        dense = all(candidate.density is not None for candidate in candidates)
        self.dense = dense
        self.pairs = {}
        for a, b in combinations(candidates, 2):
            self.pairs[a.name, b.name] = self.pairs[b.name, a.name] = Pair(a, b)
        self._match([candidate.name for candidate in candidates], [])

    def _match(self, names, pairs):
        """All ways to lie opposite each other, but for those that are worse at sight."""
        if not names:
            self._share(pairs)
            return
        for other in names[1:]:
            pair = self.pairs[names[0], other]
            if self.key is None or pair.largest <= self.key[0]:
                self._match([name for name in names[1:] if name != other], pairs + [pair])

    def _share(self, pairs):
        """All ways to make two rings of six pairs; the first pair is in the first ring."""
        largest = max(pair.largest for pair in pairs)
        imbalance = nanometres(max(pair.imbalance for pair in pairs)) if self.dense else 0
        for two in combinations(range(1, 6), 2):
            mine = [pairs[i] for i in (0,) + two]
            rest = [pair for pair in pairs if pair not in mine]
            key = largest, max(out_of_round(mine), out_of_round(rest)), imbalance
            if self.key is None or key < self.key:
                self.key = key


class Bench:
    """The measured strips of one section: who may be chosen, and how each deviates where."""

    def __init__(self, course, readings, section, stations, swell_mill, swell_now):
        """`readings`: {strip: {station: {height: Repeated}}}; the two swells are ratios to service."""
        self.course, self.readings, self.section, self.stations = course, readings, section, stations
        self.swell_mill, self.swell_now = float(swell_mill), float(swell_now)
        self.lines = {name: [(at, float(read["a"].mean) - float(course.target(at)))
                             for at, read in sorted(places.items()) if "a" in read]
                      for name, places in readings.items()}

    def measured_over(self, name):
        """Whether a strip was measured nearly from end to end."""
        line, part = self.lines[name], (self.section["to"] - self.section["from"]) / QUARTER
        return line[0][0] <= self.section["from"] + part and line[-1][0] >= self.section["to"] - part

    def deviation(self, name, shift, x):
        """In service, at station x, when moved."""
        moved = float(self.course.ready(x + shift) - self.course.ready(x)) / self.swell_mill
        return moved + straight(self.lines[name], x + shift) / self.swell_now

    def words(self, name, shift, tolerance, plain):
        """What can be said of all its readings where they lie when moved: sets of words.

        Those that come to lie in the spare are cut off with it.
        """
        over, under = tolerance
        for at, places in self.readings[name].items():
            if not self.section["from"] <= at - shift <= self.section["to"]:
                continue
            for height, read in places.items():
                target = self.course.target(at - shift, height)
                yield verdicts(read.mean, read.uncertainty, target - under, target + over, plain)
