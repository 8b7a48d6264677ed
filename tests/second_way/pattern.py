"""The pattern under a round follower whose centre has to go along a given curve.

For a ratio k > 0 the follower rolls on the pattern: its centre is k times the cutter
offset, plus its radius r, plus the base; the pattern is what its lower side never goes
below, the least of centre(u) - sqrt(r^2 - (x-u)^2). For k < 0 the pattern lifts the
strip: r the other way, and the greatest of the upper side. Searched by sampling all u
within r of x, then refined about the best samples: nothing is taken to be concave here.
"""

import math

from strip import greatest

SAMPLES = 120


def pattern_height(offset, x, radius, ratio, base):
    x, radius, ratio, base = float(x), float(radius), float(ratio), float(base)
    if radius == 0:
        return ratio * offset(x) + base
    upwards = -1.0 if ratio > 0 else 1.0

    def side(u):
        # The follower's side nearest the pattern, with its centre over u.
        centre = ratio * offset(u) - upwards * radius + base
        return upwards * centre + math.sqrt(max(radius * radius - (x - u) ** 2, 0.0))

    step = 2 * radius / SAMPLES
    places = [x - radius + step * i for i in range(SAMPLES + 1)]
    sides = [side(u) for u in places]
    best = max(sides)
    for i, value in enumerate(sides):
        a, b = max(i - 1, 0), min(i + 1, SAMPLES)
        if value >= sides[a] and value >= sides[b] and value > best - step:
            best = max(best, greatest(side, places[a], places[b], 1e-6))
    return upwards * best
