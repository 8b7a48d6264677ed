"""The sweep against closed forms, and the reading of programs against bad ones.

    test_sweep.py
"""

import math
import random
import unittest

import ngc
from sweep import Sweep, lowest

GOOD = """(Rod: Yarrow)

G17 G20 G40 G49 G54 G80 G90 G94
G61
S9000 M3
F40.000
G0 Z1.000000

(The one pass: the final strip)
G0 X-2.000000 Y0.000000
G1 Z0.100000
G1 X2.000000 Z0.120000
G0 Z1.000000

M5
M2
"""


class Sweeps(unittest.TestCase):
    def test_a_slope_is_lowered_by_its_own_share(self):
        # Parallel lines R apart: R (sqrt(1+m^2) - 1) lower than the path (circle on a line).
        sweep = Sweep(25, [(-100, -2), (100, 2)])
        self.assertAlmostEqual(sweep.left(10), 0.2 - 25 * (math.sqrt(1 + 0.02 ** 2) - 1), 12)

    def test_a_standing_disc_leaves_its_rim(self):
        # R = 25, 15 aside: 25 - 20.
        self.assertAlmostEqual(lowest(25, (0, 1), (0, 3), 15), 6, 12)
        self.assertIsNone(lowest(25, (0, 1), (0, 3), 25.01))

    def test_where_two_slopes_meet_below_the_rim_is_round(self):
        # A valley of the path, slopes +-m: within R m/sqrt(1+m^2) of it the rim, beyond it lines.
        radius, m = 25, 0.1
        sweep = Sweep(radius, [(-50, 5), (0, 0), (50, 5)])
        self.assertAlmostEqual(sweep.left(1), radius - math.sqrt(radius ** 2 - 1), 12)
        aside = 10
        self.assertAlmostEqual(sweep.left(aside), m * aside - radius * (math.sqrt(1 + m * m) - 1), 12)

    def test_random_paths_by_plain_looking(self):
        rng = random.Random(3)
        for _ in range(20):
            xs = sorted(rng.uniform(0, 100) for _ in range(12))
            path = [(x, rng.uniform(0, 3)) for x in xs]
            radius = rng.uniform(3, 40)
            sweep = Sweep(radius, path)
            for _ in range(10):
                u = rng.uniform(0, 100)
                seen = math.inf
                for (x1, z1), (x2, z2) in zip(path, path[1:]):
                    for k in range(401):
                        x = x1 + (x2 - x1) * k / 400
                        if abs(x - u) <= radius:
                            z = z1 + (z2 - z1) * k / 400
                            seen = min(seen, z + radius - math.sqrt(radius ** 2 - (x - u) ** 2))
                self.assertLessEqual(sweep.left(u), seen + 1e-12)
                self.assertAlmostEqual(sweep.left(u), seen, 2)


class Programs(unittest.TestCase):
    def test_a_good_one_is_understood(self):
        program = ngc.Program(GOOD)
        self.assertEqual((program.unit, program.feed, len(program.passes[0])), ("in", 40, 4))

    def test_bad_ones_are_refused(self):
        for wrong, right in (
            ("", "S9000 M3\n"), ("", "F40.000\n"), ("", "M5\n"), ("", "M2\n"),
            ("M2\nM3", "M2"), ("Z0.12", "Z0.120000"), ("Z1e-3", "Z0.100000"), ("", "G61\n"),
            ("(Rod: Yarrow) G0 Z-9", "(Rod: Yarrow)"), ("(Rod: (Yarrow)", "(Rod: Yarrow)"),
            ("(MSG, Yarrow)", "(Rod: Yarrow)"), ("(Rod: Yarrow" + "w" * 200 + ")", "(Rod: Yarrow)"),
            ("(Rod: Y\u00e4rrow)", "(Rod: Yarrow)"), ("Y-0.000000", "Y0.000000"),
            ("X2.000000 Z0.120000", "G1 X2.000000 Z0.120000"),
        ):
            self.assertIn(right, GOOD)
            text = GOOD.replace(right, wrong, 1)
            with self.assertRaises(ngc.Refused, msg=f"{right!r} -> {wrong!r}"):
                ngc.Program(text)


if __name__ == "__main__":
    unittest.main()
