"""What is said of a whole strip or section: docs/method.md 12."""

import math

from judging import CLOSE, Repeated, probability_within, verdicts

MOST_READINGS = 20  # of one place; more are no way out of a gauge that is too coarse
NORMAL_95 = 1.959963984540054  # spreads of a normal distribution, to both sides, that 95 % lie within


class Judged:
    """One height at one place, held against its target."""

    def __init__(self, place, height, repeated, target, tolerance, plain, words=("thick", "thin")):
        over, under = tolerance
        self.place, self.height, self.repeated = place, height, repeated
        self.measured, self.target = repeated.mean, target
        self.low, self.high = target - under, target + over
        self.deviation = repeated.mean - target
        self.conforms = probability_within(self.measured, repeated.uncertainty, self.low, self.high)
        self.words = verdicts(self.measured, repeated.uncertainty, self.low, self.high, plain, *words)


def judged(read, targets, bench, gauge):
    """Every height of a read, place by place."""
    return [
        Judged(place, height, Repeated(values, gauge), targets.target(place, height), targets.tolerance, bench.plain)
        for place, heights in sorted(read.places.items())
        for height, values in sorted(heights.items())
    ]


def worst(words, order=("thin", "shallow", "thick", "deep", "unsure", "right")):
    """Of a strip: thin if anything is, for that cannot be mended; then thick; then unsure."""
    return min(words, key=order.index)


class Whole:
    """Mean deviation of a strip and its growth from tip to butt, with standard uncertainties."""

    def __init__(self, readings, gauge):
        count = len(readings)
        places = [float(r.place) for r in readings]
        off = [float(r.deviation) for r in readings]
        own = [r.repeated.own_variance for r in readings]
        middle = sum(places) / count
        arms = [place - middle for place in places]
        square = sum(arm * arm for arm in arms)
        self.length = max(places) - min(places)
        self.mean = sum(off) / count
        slope = sum(arm * d for arm, d in zip(arms, off)) / square if self.length > CLOSE else 0.0
        rest = [d - self.mean - slope * arm for arm, d in zip(arms, off)]
        freedom = count - (2 if self.length > CLOSE else 1)
        scatter = sum(e * e for e in rest) / freedom if freedom > 0 else 0.0
        self.mean_uncertainty = math.sqrt(
            gauge.uncertainty ** 2 + max(sum(own) / count ** 2, scatter / count))
        self.growth = self.growth_uncertainty = None
        if self.length > CLOSE:
            if count == 2:  # two readings have no scatter about their line
                own = [r.repeated.uncertainty ** 2 for r in readings]
            variance = max(sum(arm * arm * u for arm, u in zip(arms, own)), scatter * square) / square ** 2
            self.growth = slope * self.length
            self.growth_uncertainty = math.sqrt(variance) * self.length


def to_take_off(readings, flats=False):
    """(how much, the places) to plane off where it is most, of the places where something is thick.

    What is planed off a strip's flank all three heights lose, so it is the least that any of them is
    over there. Each across flats of a section is scraped by itself. Where something is too thin
    already nothing is to be taken off.
    """
    amounts = []
    for place in sorted({r.place for r in readings if r.words == {"thick"}}):
        here = [r for r in readings if r.place == place]
        if any(r.words == {"thin"} for r in here):
            continue
        if flats:
            most = max(float(r.deviation) for r in here if r.words == {"thick"})
        else:
            most = max(min(float(r.deviation) for r in here), 0.0)
        amounts.append((most, place))
    if not amounts:
        return None
    greatest = max(most for most, _ in amounts)
    return greatest, [place for most, place in amounts if most > greatest - CLOSE]


def one_side_more(readings, plain):
    """Whether somewhere a height is too thick still when all that its place allows was planed off
    both flanks, so that one flank alone has to be planed there: the answers that can be given,
    both where a height then lies on its limit."""
    answers = [set()]
    for place in {r.place for r in readings if r.words == {"thick"}}:
        here = [r for r in readings if r.place == place]
        if any(r.words == {"thin"} for r in here):
            continue
        least = max(min(float(r.deviation) for r in here), 0.0)
        answers += [verdicts(float(r.measured) - least, r.repeated.uncertainty, float(r.low), float(r.high), plain)
                    for r in here]
    if {"thick"} in answers:
        return {True}
    return {False, True} if any("thick" in words for words in answers) else {False}


def too_coarse(tolerance, gauge):
    """(the standard uncertainty that would do, the fewest readings of a place that would do), where
    no single reading can prove anything right; no number of readings makes the gauge's own error less."""
    would_do = float(sum(tolerance)) / (2 * NORMAL_95)
    if gauge.single <= would_do:
        return None
    room = would_do ** 2 - gauge.uncertainty ** 2
    fewest = math.ceil(gauge.step_variance / room - CLOSE) if room > 0 else None
    return would_do, fewest if fewest and fewest <= MOST_READINGS else None
