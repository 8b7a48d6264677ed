"""The groove of a planing form and what a depth gauge does in it, by geometry.

Two bars stand face to face. Each has a bevel at 30 degrees to the upright, ground
from its top edge down to the closed depth d0; below that its face is upright. With
the bars opened the bevels' planes meet at depth d, the groove depth. Here y counts
down from the top, x across from the middle.
"""

import math

from ledger import SQRT3, bisect

CLOSE = 1e-9  # mm: nearer to a change of bearing than this, both are accepted


def opening(depth, closed):
    """Side of the equilateral triangle that is `depth` high, less that of the closed groove."""
    return 2 / SQRT3 * float(depth - closed)


def half_width(depth, y):
    """Half the width between the bevels' planes at y."""
    return (depth - y) * math.sin(math.pi / 6) / math.cos(math.pi / 6)


def ball(depth, closed, diameter):
    """(reading or None, set of possible bearings) of a ball let down into the groove."""
    radius = 0.5 * diameter
    edge = (half_width(depth, 0.0), 0.0)
    foot = (half_width(depth, closed), closed)
    length = math.hypot(foot[0] - edge[0], foot[1] - edge[1])
    along = (-math.sin(math.pi / 6), math.cos(math.pi / 6))  # not by the length: a depth may be 0

    def place(y):
        """Where on the bevel's line the point nearest to the centre (0, y) lies."""
        return -edge[0] * along[0] + (y - edge[1]) * along[1]

    def distance(y):
        t = min(max(place(y), 0.0), length)
        return math.hypot(edge[0] + t * along[0], edge[1] + t * along[1] - y)

    # The distance falls while the ball is let down, until its centre is level with
    # the bevel's foot; there only the slot is left.
    if distance(closed) > radius:
        return None, {"slot"}
    centre = bisect(-2 * radius - depth, closed, lambda y: distance(y) > radius)
    touches = place(centre)
    reading = centre + radius
    bearings = set()
    if touches < CLOSE:
        bearings.add("edges")
    if -CLOSE < touches < length + CLOSE:
        bearings.add("flanks")
    if touches > length - CLOSE:
        bearings.add("slot")
    return reading, bearings


def flat(depth, diameter):
    """A cone of the groove's angle cut off at `diameter`: where its end just fits."""
    spare = half_width(depth, 0.0) - 0.5 * diameter
    if spare < -CLOSE:
        return None, {"none"}
    reading = bisect(-depth, depth, lambda y: half_width(depth, y) > 0.5 * diameter)
    return reading, {"flanks", "none"} if spare < CLOSE else {"flanks"}


def read(gauge, depth, closed):
    """Every pair (reading, bearing) that can be defended; one pair nearly always.

    `closed` is None where the closed depth is unknown: the bevels are then taken to
    go all the way down.
    """
    depth = float(depth)
    closed = depth if closed is None else min(float(closed), depth)
    if gauge["tip"] == "sharp":
        return [(depth, "flanks")]
    diameter = float(gauge["diameter"])
    if gauge["tip"] == "flat":
        reading, bearings = flat(depth, diameter)
    else:
        reading, bearings = ball(depth, closed, diameter)
    return [
        (None if bearing in ("slot", "none") else reading, bearing)
        for bearing in sorted(bearings)
    ]
