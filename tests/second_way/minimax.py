"""How small the greatest miss of fitted bars can be at all: a bound that proves itself.

The bar is linear in its settings: bar(x) = set(x) + sum of v_j S_j(x), v_j the change
of the free screw j, S_j the bar with 1 at screw j and 0 at all others. The least
greatest miss E over a set of places is a linear programme; its dual puts weights on
places, signed, of sum 1 in size, that no v_j can see:

    E = max of sum w_i r_i   with   sum w_i S_j(x_i) = 0,  sum |w_i| = 1,
    r_i = wanted(x_i) - set(x_i).

Whatever weights are found, no settings do better than their sum. The simplex method
A screw that must not go below v_j >= l_j adds a weight that only S_j's equation sees,
worth l_j; every screw has one, if only at an l_j that no bar bears. The simplex method
is run on the dual; the place that enters is where the present settings miss most
(the exchange method of Stiefel), first on a grid, then anywhere.
"""

from bars import Bar, greatest_miss, solve

LARGEST_CHANGE = 10.0  # mm a free screw may be turned away from the taper
TINY = 1e-9            # keeps the simplex method from standing still on a vertex


class Programme:
    """The dual over a growing set of places: rows S_j(x_i) and misses r_i."""

    def __init__(self, lowest):
        self.free = free = len(lowest)
        # The last equation's start is a miss that nobody can fall short of.
        self.lowest = list(lowest) + [-LARGEST_CHANGE]
        self.rows, self.misses = [], []
        self.basis = [("lowest", j) for j in range(free + 1)]
        self.right = [TINY * (1 + 0.37 * j) for j in range(free)] + [1.0]

    def add(self, row, miss):
        self.rows.append(row)
        self.misses.append(miss)

    def _column(self, name):
        kind, index = name
        if kind == "lowest":
            return [1.0 if j == index else 0.0 for j in range(self.free + 1)]
        return [kind * value for value in self.rows[index]] + [1.0]

    def _gain(self, name):
        return self.lowest[name[1]] if name[0] == "lowest" else name[0] * self.misses[name[1]]

    def run(self):
        """(v, E) best on the places there are."""
        for _ in range(2000):
            columns = [self._column(name) for name in self.basis]
            answer = solve(columns, [self._gain(name) for name in self.basis])
            v, level = answer[:-1], answer[-1]
            most, place = max(
                (abs(r - sum(a * b for a, b in zip(row, v))), i)
                for i, (row, r) in enumerate(zip(self.rows, self.misses)))
            low, screw = max((l - change, j) for j, (l, change) in enumerate(zip(self.lowest, v)))
            if low > max(most - level, 1e-10):
                self._enter(("lowest", screw), columns)
                continue
            if most <= level + 1e-10:
                return v, level
            left = self.misses[place] - sum(a * b for a, b in zip(self.rows[place], v))
            self._enter((1 if left > 0 else -1, place), columns)
        raise ValueError("the bound was not found in 2000 exchanges")

    def _enter(self, name, columns):
        matrix = [list(row) for row in zip(*columns)]
        weights = solve(matrix, self.right)
        step = solve(matrix, self._column(name))
        leaves = min(
            (max(weights[k], 0.0) / step[k], k) for k in range(len(step)) if step[k] > 1e-11)[1]
        self.basis[leaves] = name


def _unit(screws, j, spring=True):
    return Bar(screws, [1.0 if k == j else 0.0 for k in range(len(screws))], spring)


def least_miss(screws, settings, free, wanted, start, end, cuts, spring=True, lowest=None):
    """(bound, heights): no settings that differ from `settings` at the screws `free`
    (indices) only, and go no lower than `lowest` there, miss by less on [start, end];
    the heights come very near to that."""
    there = Bar(screws, settings, spring)
    units = [_unit(screws, j, spring) for j in free]
    least = [-LARGEST_CHANGE] * len(free)
    if lowest is not None:
        least = [max(l, lowest[j] - settings[j]) for l, j in zip(least, free)]
    programme = Programme(least)

    def add(x):
        programme.add([bar.height(x) for bar in units], wanted(x) - there.height(x))

    ends = sorted({start, end} | {float(c) for c in cuts if start < c < end})
    grid = sorted({a + (b - a) * i / 10 for a, b in zip(ends, ends[1:]) for i in range(11)})
    for x in grid:
        add(x)
    for _ in range(6):
        v, level = programme.run()
        heights = list(settings)
        for j, change in zip(free, v):
            heights[j] += change
        bar = Bar(screws, heights, spring)
        missed = [abs(bar.height(x) - wanted(x)) for x in grid]
        found = []
        for k, miss in enumerate(missed):
            a, b = max(k - 1, 0), min(k + 1, len(grid) - 1)
            if miss >= 0.9 * level and miss >= missed[a] and miss >= missed[b]:
                found.append(_peak(bar, wanted, grid[a], grid[b]))
        if all(miss <= level * 1.0002 + 1e-8 for miss, _ in found):
            break
        for _, x in found:
            if min(abs(x - g) for g in grid) > 1e-6:
                add(x)
                grid = sorted(grid + [x])
    return level, heights


def _peak(bar, wanted, a, b):
    def miss(x):
        return abs(bar.height(x) - wanted(x))

    for _ in range(12):  # thirds: the place itself is wanted here, roughly
        c, d = a + (b - a) / 3, b - (b - a) / 3
        if miss(c) >= miss(d):
            b = d
        else:
            a = c
    return miss(0.5 * (a + b)), 0.5 * (a + b)


def fitted_settings(setup, section, printed, half):
    """(settings to take as they are printed, complaints about them).

    Only the screws from the nearest outside the strip at one end to the nearest outside
    at the other may leave the taper; their greatest miss over the section must be within
    1 % and the last printed digits of the least there is.
    """
    machine = setup.machine
    screws = machine["screws"]
    reach = setup.machine_reach(section)
    outside_low = [k for k, at in enumerate(screws) if at < reach[0]][-1:]
    outside_high = [k for k, at in enumerate(screws) if at > reach[1]][:1]
    within = [k for k, at in enumerate(screws) if reach[0] <= at <= reach[1]]
    free = outside_low + within + outside_high
    # A screw right at the strip's end may be taken as the nearest one.
    surely = [k for k in free
              if not (k in outside_low and reach[0] in screws)
              and not (k in outside_high and reach[1] in screws)]
    start, end = sorted(float(setup.machine_at(section, section[w])) for w in ("from", "to"))
    cuts = list(screws) + [setup.machine_at(section, x) for x in setup.stations(section)]
    fitted, complaints = {}, []
    for number, one_pass in enumerate(setup.passes(section)[1], 1):
        settings, lowest = [], []
        for at in screws:
            wanted = float(setup.offset(section, setup.taper_at(section, at), one_pass))
            floor = wanted - LARGEST_CHANGE
            if machine["kind"] == "planing-form":
                # Where the closed depth is not known, a groove still has a depth.
                floor = float(setup.closed_depth(at) or 0)
            outside = not reach[0] <= at <= reach[1]
            settings.append(max(wanted, floor) if outside else wanted)
            # One within the strip that cannot be set is no bound for the others.
            lowest.append(min(floor, settings[-1]))
        target = _target(setup, section, one_pass)
        bound, _ = least_miss(screws, settings, surely, target, start, end, cuts, lowest=lowest)
        for k in free:
            if (number, k + 1) not in printed:
                raise ValueError(f"no row for screw {k + 1}")
            fitted[number, k + 1] = settings[k] = printed[number, k + 1]
            if machine["kind"] == "planing-form" and settings[k] < 0:
                complaints.append(f"pass {number}: a groove depth of {settings[k]} mm at screw {k + 1}")
        miss, place = greatest_miss(Bar(screws, settings), target, start, end, cuts)
        # What the rounding of the printed settings can do at that place.
        rounding = half * sum(abs(_unit(screws, k).height(place)) for k in free)
        if miss > 1.01 * bound + rounding + 1e-6:
            complaints.append(
                f"pass {number}: the settings miss by {miss:.7f} mm at machine position "
                f"{place:.3f} mm, {bound:.7f} mm would do")
    return fitted, complaints


def _target(setup, section, one_pass):
    strip = setup.strips[section["name"]]
    origin = float(setup.taper_at(section, 0))
    sign = 1 if setup.machine["feeds"] == "tip-first" else -1
    if setup.machine["kind"] == "planing-form":
        after = one_pass.height if one_pass else (lambda milled: milled)
        return lambda at: after(strip.fast(origin + sign * at))
    radius = setup.machine["cutter_radius"]
    parts = None if one_pass is None else one_pass.parts()
    known = {}

    def offset(at):
        if at not in known:
            known[at] = strip.cutter_offset(origin + sign * at, radius, parts)
        return known[at]

    return offset
