"""The pattern under a round follower whose centre has to go along a given curve.

For a ratio k > 0 the follower rolls on the pattern: its centre is k times the cutter
offset, plus its radius r, plus the base; the pattern is what its lower side never goes
below, the least of centre(u) - sqrt(r^2 - (x-u)^2). For k < 0 the pattern lifts the
strip: r the other way, and the greatest of the upper side. Searched by sampling all u
within r of x, then refined about the best samples: nothing is taken to be concave here.
"""

import math

from strip import greatest

EVEN = 80  # samples evenly over the follower's width
# ... and closer and closer to x and to the corners, where the cutter turns in little room.
NEAR = [s * 10.0 ** -e for e in (1, 2, 3, 4) for s in (1, 1.5, 2, 3, 4, 6, 8)]


def _places(x, radius, corners, turning):
    low, high = x - radius, x + radius
    found = {low + 2 * radius * i / EVEN for i in range(EVEN + 1)} | {x}
    for middle, size in [(x, radius)] + [(c, turning) for c in corners]:
        found |= {middle} | {middle + way * size * s for s in NEAR for way in (-1, 1)}
    return sorted(u for u in found if low <= u <= high)


def pattern_height(offset, x, radius, ratio, base, corners=(), turning=0.0):
    """`corners` are the stations where the profile turns, `turning` the cutter's radius."""
    x, radius, ratio, base = float(x), float(radius), float(ratio), float(base)
    if radius == 0:
        return ratio * offset(x) + base
    upwards = -1.0 if ratio > 0 else 1.0

    def side(u):
        # The follower's side nearest the pattern, with its centre over u.
        centre = ratio * offset(u) - upwards * radius + base
        return upwards * centre + math.sqrt(max(radius * radius - (x - u) ** 2, 0.0))

    near = [float(c) for c in corners if abs(float(c) - x) < radius + float(turning)]
    places = _places(x, radius, near, float(turning))
    sides = [side(u) for u in places]
    best = max(sides)
    for i, value in enumerate(sides):
        a, b = max(i - 1, 0), min(i + 1, len(places) - 1)
        if value >= sides[a] and value >= sides[b] and value > best - 0.01 * (places[b] - places[a]) - 1e-6:
            best = max(best, greatest(side, places[a], places[b], 1e-7))
    return upwards * best
