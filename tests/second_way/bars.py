"""Bars set by screws: bent ones as a beam of finite elements, straight ones between screws.

An unloaded elastic beam held at given heights takes the shape of least bending
energy. Each span is one Hermite element: four unknowns, the two heights (known)
and the two slopes. The stiffness matrix of an element of length L is the textbook
one, E I / L^3 [12 6L -12 6L; 6L 4L^2 -6L 2L^2; ...]; no moment acts on a free node,
so the equations of the slopes are those rows set to nothing.
"""

from bisect import bisect_right

from strip import greatest


def solve(matrix, right):
    """Gaussian elimination with row exchange; `matrix` is a list of rows."""
    n = len(right)
    rows = [list(row) + [value] for row, value in zip(matrix, right)]
    for column in range(n):
        pivot = max(range(column, n), key=lambda r: abs(rows[r][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        for r in range(column + 1, n):
            if rows[r][column] == 0:
                continue
            factor = rows[r][column] / rows[column][column]
            for c in range(column, n + 1):
                rows[r][c] -= factor * rows[column][c]
    answer = [0.0] * n
    for r in range(n - 1, -1, -1):
        rest = sum(rows[r][c] * answer[c] for c in range(r + 1, n))
        answer[r] = (rows[r][n] - rest) / rows[r][r]
    return answer


def beam_slopes(places, heights):
    n = len(places)
    stiffness = [[0.0] * n for _ in range(n)]
    load = [0.0] * n
    for k in range(n - 1):
        L = places[k + 1] - places[k]
        w0, w1 = heights[k], heights[k + 1]
        element = {
            (0, 0): 4 / L, (0, 1): 2 / L,
            (1, 0): 2 / L, (1, 1): 4 / L,
        }
        for (i, j), value in element.items():
            stiffness[k + i][k + j] += value
        turned = 6 / (L * L) * w0 - 6 / (L * L) * w1
        load[k] -= turned
        load[k + 1] -= turned
    return solve(stiffness, load)


class Bar:
    """The height of a bar anywhere, from its settings at the screws."""

    def __init__(self, places, heights, spring=True):
        self.places = [float(p) for p in places]
        self.heights = [float(h) for h in heights]
        n = len(self.places)
        if spring:
            self.slopes = beam_slopes(self.places, self.heights)
        self.spring = spring and n > 1

    def height(self, at):
        n = len(self.places)
        k = min(max(bisect_right(self.places, at) - 1, 0), n - 2)
        a, b = self.places[k], self.places[k + 1]
        w0, w1 = self.heights[k], self.heights[k + 1]
        L = b - a
        if not self.spring:
            return w0 + (w1 - w0) * (at - a) / L
        s0, s1 = self.slopes[k], self.slopes[k + 1]
        if at < a:
            return w0 + s0 * (at - a)
        if at > b:
            return w1 + s1 * (at - b)
        t = (at - a) / L
        # The Hermite shape functions of the element.
        return (
            (1 - 3 * t * t + 2 * t ** 3) * w0
            + L * (t - 2 * t * t + t ** 3) * s0
            + (3 * t * t - 2 * t ** 3) * w1
            + L * (t ** 3 - t * t) * s1
        )


def greatest_miss(bar, target, start, end, cuts=(), steps=16):
    """(size, place) of the largest |bar - target| on [start, end].

    Sampled densely between the cuts (screws, corners of the target), then refined
    about the best sample.
    """
    places = sorted({float(start), float(end)} | {float(c) for c in cuts if start < c < end})
    best = (-1.0, places[0])
    for a, b in zip(places, places[1:]):
        for i in range(steps + 1):
            at = a + (b - a) * i / steps
            miss = abs(bar.height(at) - target(at))
            if miss > best[0]:
                best = (miss, at, max(a, at - (b - a) / steps), min(b, at + (b - a) / steps))
    if best[0] < 0:
        return abs(bar.height(places[0]) - target(places[0])), places[0]
    size = greatest(lambda at: abs(bar.height(at) - target(at)), best[2], best[3], 1e-7)
    return max(size, best[0]), best[1]
