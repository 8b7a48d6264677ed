"""From the target across flats to the strip, row by row, and the strip's section.

Everything that is rational is kept exact. What needs the culm's round face is
found by construction: a circle through a corner is found by bisection, a height
by the distance of a point from a line.
"""

import math
from fractions import Fraction

SQRT3 = math.sqrt(3.0)


class Refused(Exception):
    """The files ask for something that cannot be: exit status 2, nothing written."""


def bisect(low, high, below):
    """The place between low and high where `below` turns from true to false."""
    while True:
        middle = 0.5 * (low + high)
        if middle <= low or middle >= high:
            return middle
        if below(middle):
            low = middle
        else:
            high = middle


def crown_centre(height, inner_radius):
    """Centre of the culm's arcs, from the apex, on the strip's axis.

    The finished flat face is at `height`; its two corners lie on the circle of
    `inner_radius` round that centre, which is on the inner side of the face.
    """
    half_width = float(height) / SQRT3
    face, radius = float(height), float(inner_radius)
    if half_width >= radius:
        raise Refused("the face is wider than the culm")

    def corner_outside(centre):
        return math.hypot(half_width, face - centre) > radius

    return bisect(face - radius, face, corner_outside)


def fast_crown_centre(height, inner_radius):
    """The same by Newton's method, for the many points of a maximisation."""
    square = inner_radius * inner_radius - height * height / 3.0
    depth = inner_radius
    for _ in range(8):
        step = (depth * depth - square) / (2.0 * depth)
        depth -= step
        if abs(step) < 1e-15 * inner_radius:
            break
    return height - depth


class Ledger:
    def __init__(self, shop, measured, tolerance=None):
        self.varnish = shop["varnish"] if measured == "varnished" else Fraction(0)
        self.cleanup = shop["cleanup"]
        self.glue_line = shop["glue_line"]
        self.swell = 1 + shop["swell"] * (shop["at_milling"] - shop["in_service"])
        self.relief = shop["apex_relief"]
        self.enamel = shop["enamel"]
        self.off = shop["enamel_off"]
        culm = shop["culm_diameter"]
        face = shop["face"] or ("round" if culm is not None else "flat")
        self.round = face == "round"
        self.tolerance = tolerance or (Fraction(0), Fraction(0))
        if self.round:
            if culm is None:
                raise Refused("a round face needs a culm diameter")
            self.inner_radius = culm / 2 - self.enamel
            self.face_radius = self.inner_radius if self.off == "before-milling" else culm / 2
            self._inner, self._face = float(self.inner_radius), float(self.face_radius)
            self._swell = float(self.swell)
        self.rises = self.off != "before-milling"

    # Row by row.
    def bare(self, flats):
        return flats - 2 * self.varnish

    def cleaned(self, flats):
        """Glued, before clean-up, where the faces are flat."""
        return self.bare(flats) + 2 * self.cleanup

    def glued(self, flats):
        return self.cleaned(flats) / 2 - self.glue_line

    def wet(self, glued):
        return glued * self.swell

    def milled(self, glued):
        """Exact on a flat face; a float where the culm's arc comes in."""
        wet = self.wet(glued)
        if not self.round:
            return wet + self.enamel if self.rises else wet
        return crown_centre(wet, self.inner_radius) + self._face

    def fast_milled(self):
        """The same as a function of floats, without the bisection."""
        if self.round:
            swell, inner, face = self._swell, self._inner, self._face
            return lambda glued: fast_crown_centre(glued * swell, inner) + face
        swell, more = float(self.swell), float(self.enamel) if self.rises else 0.0
        return lambda glued: glued * swell + more

    def side(self, milled):
        """From an outer corner square to the opposite flank."""
        if not self.round:
            return milled
        centre = float(milled) - self._face
        # Along the flank, a ray from the apex at 30 degrees from the strip's axis.
        along = (0.5, SQRT3 / 2)

        def inside(length):
            return math.hypot(along[0] * length, along[1] * length - centre) < self._face

        length = bisect(0.0, 4 * (abs(centre) + self._face), inside)
        corner = (along[0] * length, along[1] * length)
        other = (-0.5, SQRT3 / 2)
        return abs(corner[0] * other[1] - corner[1] * other[0])

    def rows(self, flats, name="?"):
        """Every row of one station. Refused where a row comes out at 0 or below."""
        bare, cleaned, glued = self.bare(flats), self.cleaned(flats), self.glued(flats)
        wet = self.wet(glued)
        for row, value in (("bare", bare), ("glued", cleaned), ("strip", glued), ("wet", wet)):
            if value <= 0:
                raise Refused(f"{name}: {row} comes out at {float(value)}")
        milled = self.milled(glued)
        to_come_off = milled - wet
        # The crown is still there when the strip goes to the glue, and on the glued
        # section, unless the face was made flat before.
        round_at_glue = (self.off == "after-gluing") or (self.off == "before-milling" and self.round)
        ready = (milled if round_at_glue else wet) - self.relief
        if ready <= 0:
            raise Refused(f"{name}: the strip ready for the glue comes out at {float(ready)}")
        side = self.side(milled)
        return {
            "flats_target": flats,
            "flats_bare": bare,
            "flats_glued": cleaned + 2 * to_come_off if round_at_glue else cleaned,
            "strip_glued": glued,
            "strip_ready": ready,
            "strip_milled": milled,
            "side_milled": side,
            "face_milled": float(side) * 2 / SQRT3,
            "strip_low": milled - self.tolerance[1],
            "strip_high": milled + self.tolerance[0],
        }
