"""A strip's angles from its three heights, and what follows from them.

The apex is at the origin, the strip's axis points up to the outer face. Height a is that of the
face (of the crown's tangent, where the face is round); b and c are from the two outer corners,
square to the opposite flank. The corner that b is measured from lies at `tilt[0]` from the axis,
that of c at `tilt[1]`, to the other side.
"""

import math


NAMES = ("apex", "b", "c")
RIGHT = math.pi / 2
SIXTY = math.pi / 3


def flank(crown, radius, tilt):
    """Length of a flank from the apex to the arc of the face (or to the flat face)."""
    if radius is None:
        return crown / math.cos(tilt)
    centre = crown - radius
    return centre * math.cos(tilt) + math.sqrt(radius * radius - (centre * math.sin(tilt)) ** 2)


def tilts(heights, radius):
    """The two flanks' angles off the axis, by Newton's method in two unknowns.

    The corner at the end of one flank is as far from the other flank as its height says.
    """
    crown, b, c = heights
    left = right = SIXTY / 2

    def misses(left, right):
        span = math.sin(left + right)
        return flank(crown, radius, left) * span - b, flank(crown, radius, right) * span - c

    for _ in range(40):
        here, step = misses(left, right), 1e-7
        by_left = [(m - h) / step for m, h in zip(misses(left + step, right), here)]
        by_right = [(m - h) / step for m, h in zip(misses(left, right + step), here)]
        area = by_left[0] * by_right[1] - by_left[1] * by_right[0]
        move_left = (here[0] * by_right[1] - here[1] * by_right[0]) / area
        move_right = (by_left[0] * here[1] - by_left[1] * here[0]) / area
        left, right = left - move_left, right - move_right
        if abs(move_left) + abs(move_right) < 1e-14:
            break
    return left, right


def angles(heights, radius):
    """Degrees at the apex and at the corners of b and c, to the tangent at the crown."""
    left, right = tilts(heights, radius)
    return [math.degrees(angle) for angle in (left + right, RIGHT - left, RIGHT - right)]


def rates(heights, radius):
    """rates[i][k]: degrees of angle k for each millimetre more of height i."""
    step = 1e-3 * heights[0]

    def moved(index, by):
        return angles([h + (by if i == index else 0) for i, h in enumerate(heights)], radius)

    table = []
    for index in range(3):
        two, one = moved(index, 2 * step), moved(index, step)
        back, back_two = moved(index, -step), moved(index, -2 * step)
        table.append([(8 * (p - m) - (pp - mm)) / (12 * step)
                      for pp, p, m, mm in zip(two, one, back, back_two)])
    return table


class Corner:
    """The angles of one place where all three heights were read."""

    def __init__(self, readings, relief, swollen, radius):
        """`readings` of a, b and c; `relief` was knocked off the apex before, and the strip is
        `swollen` against what it was at the mill, where the face's radius was `radius`."""
        self.place = readings[0].place
        self.readings = readings
        self.heights = [float(r.measured) / swollen for r in readings]
        self.heights[0] += float(relief) / swollen
        self.swollen, self.radius = swollen, radius
        self.degrees = angles(self.heights, radius)
        self.rates = [[rate / swollen for rate in row] for row in rates(self.heights, radius)]

    def uncertainty(self, k):
        return math.sqrt(sum((row[k] * r.repeated.uncertainty) ** 2 for row, r in zip(self.rates, self.readings)))


def mean_uncertainty(corners, k, gauge):
    """Of the mean of angle k: the readings' own scatter, and what the gauge's error makes of the angle
    at each place, which is the same error at all of them and does not shrink in the mean."""
    count = len(corners)
    own = sum((corner.rates[i][k] / count) ** 2 * corner.readings[i].repeated.own_variance
              for corner in corners for i in range(3))
    same = sum(math.hypot(*(corner.rates[i][k] for i in range(3))) for corner in corners) / count
    return math.hypot(math.sqrt(own), same * gauge.uncertainty)


def to_sixty(corner):
    """((at the apex, at the outer edge) off the flank b stands on, the same of c's, height after).

    A flank whose angle to the face is wide loses at the apex, one whose angle is narrow at its
    outer edge: the flank is turned about its other end until it stands at 60 degrees.
    """
    left, right = tilts(corner.heights, corner.radius)
    crown, swollen = corner.heights[0], corner.swollen
    lines, losses = [], []
    for tilt, side in ((left, -1), (right, 1)):
        length = flank(crown, corner.radius, tilt)
        end = side * length * math.sin(tilt), length * math.cos(tilt)
        off = length * math.sin(abs(SIXTY / 2 - tilt)) * swollen
        wide = RIGHT - tilt > SIXTY
        losses.append((off, 0.0) if wide else (0.0, off))
        lines.append((end if wide else (0.0, 0.0), side))
    # The two new flanks at 30 degrees to the axis meet at the new apex.
    (start_left, _), (start_right, _) = lines
    slope = math.sqrt(3)
    apex = (start_left[1] + slope * start_left[0] + start_right[1] - slope * start_right[0]) / 2
    # b stands on the flank that ends in the corner of c, and c on the other.
    return losses[1], losses[0], (crown - apex) * swollen


def seam(corners, gauge):
    """(opening, its uncertainty, the place, off 60) six such strips leave: the mean apex angle
    over all places, the flank of the widest."""
    apex = sum(corner.degrees[0] for corner in corners) / len(corners)
    best = max(corners, key=lambda corner: flank_length(corner))
    length = flank_length(best)
    opening = 2 * length * math.sin(math.radians(abs(60 - apex)) / 2)
    return opening, length * math.radians(mean_uncertainty(corners, 0, gauge)), best.place, apex - 60


def flank_length(corner):
    """The mean of the two flanks."""
    left, right = tilts(corner.heights, corner.radius)
    lengths = [flank(corner.heights[0], corner.radius, tilt) for tilt in (left, right)]
    return sum(lengths) / 2 * corner.swollen


def farthest(corner):
    """How far its worst angle is off 60 degrees."""
    return max(abs(degrees - 60) for degrees in corner.degrees)


