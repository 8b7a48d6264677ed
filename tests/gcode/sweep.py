"""What a disc that is moved along a path leaves of a bar.

The disc stands upright in the plane of the path, its lowest point is at the path;
all that it passes through or under is gone. Along a straight move from (x1, z1) to
(x2, z2) the lowest that its rim comes down to over u is the least of

    z(x) + R - sqrt(R^2 - (x - u)^2),

which is convex in x: its least is where the two slopes m + (x-u)/sqrt(R^2-(x-u)^2)
cancel, at x - u = -R m/sqrt(1+m^2), or at an end of the move or of the disc's reach.
"""

import math
from bisect import bisect_left, bisect_right


def rim(radius, aside):
    """How much higher than its lowest point the disc is so far aside."""
    square = aside * aside
    return square / (radius + math.sqrt(max(radius * radius - square, 0.0))) if square else 0.0


def lowest(radius, start, end, u):
    """The lowest that the disc reaches over u on one straight move, or None."""
    (x1, z1), (x2, z2) = (start, end) if start[0] <= end[0] else (end, start)
    a, b = max(x1, u - radius), min(x2, u + radius)
    if a > b:
        return None
    if x2 == x1:
        return min(z1, z2) + rim(radius, u - x1)
    slope = (z2 - z1) / (x2 - x1)
    best = min(max(u - radius * slope / math.sqrt(1 + slope * slope), a), b)
    return z1 + slope * (best - x1) + rim(radius, best - u)


class Sweep:
    """A path whose places do not go back, swept by a disc."""

    def __init__(self, radius, path):
        self.radius, self.path = radius, path
        self.xs = [x for x, _ in path]
        if any(b < a for a, b in zip(self.xs, self.xs[1:])):
            raise ValueError("a path that goes back")

    def left(self, u):
        """The height of what is left over u."""
        first = max(bisect_left(self.xs, u - self.radius) - 1, 0)
        last = min(bisect_right(self.xs, u + self.radius), len(self.path) - 1)
        found = [lowest(self.radius, self.path[i], self.path[i + 1], u) for i in range(first, last)]
        return min((z for z in found if z is not None), default=math.inf)
