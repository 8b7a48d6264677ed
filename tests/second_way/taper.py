"""Across flats along the rod, in exact fractions.

`linear` joins the stations by straight lines. `smooth` is a monotone cubic.
Its slope at an inner station is a weighted mean taken over the INVERSE slopes
dx/dD of the two neighbouring secants, with weights 2 h_right + h_left for the
left one and h_right + 2 h_left for the right one (the weighted harmonic mean of
Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984); where the secants
disagree in sign, or one is level, it is level. At the outermost stations it is
the secant. The cubic is built from its four Bezier points and evaluated by
repeated interpolation (de Casteljau). Beyond the outermost stations the end
slope goes on.
"""

from bisect import bisect_right
from fractions import Fraction


def smooth_slopes(stations):
    secants = [
        (right[1] - left[1]) / (right[0] - left[0])
        for left, right in zip(stations, stations[1:])
    ]
    slopes = [secants[0]]
    for k in range(1, len(stations) - 1):
        before, after = secants[k - 1], secants[k]
        if before * after <= 0:
            slopes.append(Fraction(0))
            continue
        left = stations[k][0] - stations[k - 1][0]
        right = stations[k + 1][0] - stations[k][0]
        weight_before, weight_after = 2 * right + left, right + 2 * left
        inverse = (weight_before / before + weight_after / after) / (weight_before + weight_after)
        slopes.append(1 / inverse)
    slopes.append(secants[-1])
    return slopes


def de_casteljau(points, t):
    while len(points) > 1:
        points = [a + (b - a) * t for a, b in zip(points, points[1:])]
    return points[0]


class Taper:
    def __init__(self, stations, between):
        self.smooth = between == "smooth"
        self.stations = stations
        self._at = [x for x, _ in stations]
        if between == "smooth":
            slopes = smooth_slopes(stations)
        else:
            slopes = None
        self._spans = []
        for k, ((x0, d0), (x1, d1)) in enumerate(zip(stations, stations[1:])):
            if slopes is None:
                points = [d0, d1]
            else:
                third = (x1 - x0) / 3
                points = [d0, d0 + slopes[k] * third, d1 - slopes[k + 1] * third, d1]
            self._spans.append((x0, x1, points))
        self.first_slope = slopes[0] if slopes else self._secant(0)
        self.last_slope = slopes[-1] if slopes else self._secant(-1)

    def _secant(self, which):
        x0, x1, points = self._spans[which]
        return (points[-1] - points[0]) / (x1 - x0)

    def value(self, x):
        """Across flats at x, exact where x is a Fraction."""
        first, last = self.stations[0], self.stations[-1]
        if x <= first[0]:
            return first[1] + self.first_slope * (x - first[0])
        if x >= last[0]:
            return last[1] + self.last_slope * (x - last[0])
        x0, x1, points = self._spans[bisect_right(self._at, x) - 1]
        return de_casteljau(points, (x - x0) / (x1 - x0))

    def pieces(self):
        """(from, to, Bezier points over from..to); None marks an end without end.

        An endless piece is (None, x, [value, slope]) or (x, None, [value, slope]).
        """
        first, last = self.stations[0], self.stations[-1]
        return (
            [(None, first[0], [first[1], self.first_slope])]
            + list(self._spans)
            + [(last[0], None, [last[1], self.last_slope])]
        )
