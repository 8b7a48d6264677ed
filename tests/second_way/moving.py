"""A strip's heights where it was not read, and where it was moved along the taper.

Between two readings the deviation from the target runs straight, beyond the outermost it
goes on as it is there. Moved by s towards the tip, a strip shows at x what it has at x + s.
docs/choosing.md, "Heights"; docs/method.md 12 and 14.
"""

from bisect import bisect_right


def straight(points, x):
    """At x of a line through points (station, value), sorted; level beyond its ends."""
    if x <= points[0][0]:
        return points[0][1]
    if x >= points[-1][0]:
        return points[-1][1]
    i = bisect_right([at for at, _ in points], x)
    (x0, d0), (x1, d1) = points[i - 1], points[i]
    return d0 + (d1 - d0) * float((x - x0) / (x1 - x0))


class Course:
    """What a strip of one section shall measure along it, spare included, at one stage."""

    def __init__(self, strip, stage, swell=1):
        """`swell`: what the cane has swollen since it was milled, a ratio of heights."""
        self.strip, self.ledger, self.stage, self.swell = strip, strip.ledger, stage, swell

    @property
    def late(self):
        """Whether what comes off the face is still on when the strip goes to the glue."""
        ledger = self.ledger
        return ledger.off == "after-gluing" or (ledger.off == "before-milling" and ledger.round)

    def enamel(self, x):
        """What is still to come off the face at milling: E."""
        glued = self.strip.glued(x)
        return self.ledger.milled(glued) - self.ledger.wet(glued)

    def ready(self, x):
        """Height a as the strip goes to the glue, as moist as milled, apex on."""
        glued = self.strip.glued(x)
        return self.ledger.milled(glued) if self.late else self.ledger.wet(glued)

    def target(self, x, height="a"):
        glued = self.strip.glued(x)
        milled = self.ledger.milled(glued)
        if self.stage == "milled":
            return milled if height == "a" else self.ledger.side(milled)
        if height == "a":
            return self.ready(x) * self.swell - self.ledger.relief
        return (self.ledger.side(milled) if self.late else self.ledger.wet(glued)) * self.swell
