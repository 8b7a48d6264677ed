"""How many passes, and what each but the last leaves on: exact where the strip is."""

from fractions import Fraction

from ledger import Refused


class Pass:
    """From a milled height to the height after one pass: so much left on, but no more than
    the rough strip has; where that is lower than the strip (beyond its ends), the strip."""

    def __init__(self, left, rough=None):
        self.left, self.rough = left, rough
        self._left = float(left)
        self._rough = None if rough is None else float(rough)

    def height(self, milled):
        if isinstance(milled, float):
            left, rough = self._left, self._rough
        else:
            left, rough = self.left, self.rough
        return milled + left if rough is None else max(milled, min(milled + left, rough))

    def parts(self):
        """Functions of a float whose greatest is `height`, none of them with a valley."""
        left, rough = self._left, self._rough
        if rough is None:
            return [lambda milled: milled + left]
        return [lambda milled: min(milled + left, rough), lambda milled: milled]


def fewest(most, last_cut, max_cut):
    """Counted, not computed: add a pass until what is left can be taken.

    Works on Fractions; a float within 1e-12 mm of the border counts as on it.
    """
    exact = isinstance(most, Fraction)
    passes, reach = 1, last_cut
    while most > reach and (exact or most - float(reach) > 1e-12):
        passes += 1
        reach += max_cut
    return passes


def passes_of(plan, least, greatest):
    """(the strip before the first, or None; the passes in order, [None] where there are none).

    `least` and `greatest` are the milled heights over the strip, spare included.
    """
    if plan is None:
        return None, [None]
    if "stages" in plan:
        return None, [Pass(more) for more in plan["stages"]]
    if plan["over"] is not None:
        most, rough = plan["over"], None
    else:
        # A bar of one height: the maker's own, or one for the section by its thickest place.
        rough = plan["height"]
        if rough is None:
            rough = greatest + plan["plain_over"]
        most = rough - least
        if rough < greatest:
            raise Refused("the rough strip is lower than the strip to be milled from it")
    n = fewest(most, plan["last_cut"], plan["max_cut"])
    ordered = []
    for k in range(1, n):
        level = plan["last_cut"] + (most - plan["last_cut"]) * (n - 1 - k) / (n - 1)
        ordered.append(Pass(min(most, level), rough))
    return Pass(most, rough), ordered + [Pass(Fraction(0))]
