"""What readings say: repeated ones, the odds of lying within limits, the word for it.

All after docs/method.md, parts 11 to 13. Lengths are in mm, degrees for angles; the limits,
the readings and their uncertainties are of the same unit.
"""

import math

from lengths import parse

SURE = 0.95
CLOSE = 1e-9  # mm, and of a probability: nearer to a border than this both sides are accepted
NANOMETRE = 1e-6  # mm: what is off a limit by less may be taken to lie on it


class Gauge:
    """The step in which a gauge reads, and its own standard uncertainty, resolution left out."""

    def __init__(self, resolution, uncertainty):
        self.resolution, self.uncertainty = float(resolution), float(uncertainty)

    @property
    def step_variance(self):
        """What the step of the reading adds: a spread that is even over one step."""
        return self.resolution ** 2 / 12

    @property
    def single(self):
        """Standard uncertainty of one reading."""
        return math.sqrt(self.uncertainty ** 2 + self.step_variance)


def gauge_of(raw, unit):
    """One entry of a shop file's `gauges`; the greatest error is that of an even spread."""
    resolution = parse(raw["resolution"], unit)
    if "standard_uncertainty" in raw:
        return Gauge(resolution, parse(raw["standard_uncertainty"], unit))
    return Gauge(resolution, float(parse(raw["max_error"], unit)) / math.sqrt(3))


def spread(values):
    """Standard deviation of a sample; 0 of a single one."""
    if len(values) < 2:
        return 0.0
    mean = sum(values) / len(values)
    return math.sqrt(sum(float(value - mean) ** 2 for value in values) / (len(values) - 1))


class Repeated:
    """Readings of one height at one place: `mean` is exact where they are."""

    def __init__(self, values, gauge):
        self.times = len(values)
        self.mean = sum(values) / len(values)
        self.spread = spread(values)
        # The part that more readings make smaller; the gauge's own error stays whole.
        self.own_variance = max(gauge.step_variance, self.spread ** 2) / self.times
        self.uncertainty = math.sqrt(gauge.uncertainty ** 2 + self.own_variance)


def normal(z):
    """Share of a normal distribution that lies below z spreads from its middle."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def probability_within(measured, uncertainty, low, high):
    """How likely it is that what was measured lies within the limits."""
    if uncertainty == 0:
        return 1.0 if low <= measured <= high else 0.0
    above, below = float(high - measured) / uncertainty, float(measured - low) / uncertainty
    # From the nearer limit, where the tails are small: no difference of two ones.
    return max(0.0, 1.0 - normal(-above) - normal(-below))


def verdicts(measured, uncertainty, low, high, plain, large="thick", small="thin"):
    """The words that can be said of a reading: one, or two where it lies on a border."""
    if plain or uncertainty == 0:
        if measured > high:
            words = {large}
        else:
            words = {small} if measured < low else {"right"}
        exact = not isinstance(measured, float) and not isinstance(low, float)
        for limit, word in ((high, large), (low, small)):
            if abs(measured - limit) < NANOMETRE and not (exact and measured == limit):
                words |= {word, "right"}
        return words
    inside = probability_within(measured, uncertainty, low, high)
    over = normal(float(measured - high) / uncertainty)
    under = normal(float(low - measured) / uncertainty)
    words = {word for word, odds in (("right", inside), (large, over), (small, under)) if odds >= SURE - CLOSE}
    if all(odds < SURE + CLOSE for odds in (inside, over, under)):
        words.add("unsure")
    return words


def student(freedom, confidence=0.95):
    """Student's t that this share of the distribution lies within, to both sides.

    By Fisher's expansion about the normal distribution for many degrees of freedom
    (Abramowitz and Stegun 26.7.5), else by integrating the density (Simpson) and Newton.
    """
    z = _normal_within(confidence)
    if freedom > 2000:
        series = (
            (z ** 3 + z) / 4,
            (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96,
            (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384,
        )
        return z + sum(term / freedom ** (k + 1) for k, term in enumerate(series))
    scale = math.exp(math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2)) / math.sqrt(freedom * math.pi)

    def density(t):
        return scale * (1 + t * t / freedom) ** (-(freedom + 1) / 2)

    def within(t, steps=800):
        step = t / steps
        odd = sum(density((2 * k + 1) * step) for k in range(steps // 2))
        even = sum(density(2 * k * step) for k in range(1, steps // 2))
        return 2 * step / 3 * (density(0) + 4 * odd + 2 * even + density(t))

    # Newton from below: the share within t is a concave function of t.
    t = z
    for _ in range(60):
        move = (confidence - within(t)) / (2 * density(t))
        t += move
        if abs(move) < 1e-12 * t:
            break
    return t


def _normal_within(confidence):
    low, high = 0.0, 40.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if 1 - 2 * normal(-middle) < confidence else (low, middle)
    return 0.5 * (low + high)


def half_interval(error, freedom, gauge_uncertainty, confidence=0.95):
    """How far the interval of a mean reaches to either side: docs/method.md 13.

    `error` is the mean's standard error from its sample of `freedom` + 1, the gauge's own
    error left out; that is known and the same in all.
    """
    known = _normal_within(confidence) * gauge_uncertainty
    safe = math.hypot(student(freedom, confidence) * error, known)
    if error == 0:
        return safe
    total = math.hypot(error, gauge_uncertainty)
    effective = freedom * (total / error) ** 4
    return (safe + student(effective, confidence) * total) / 2
