#!/usr/bin/python3
"""Is the second computation of learn and choose itself right? Its parts against published and
hand-worked values. MEM marks a value given from memory, not re-read in print."""

import os
import sys
import unittest
from fractions import Fraction

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from chosen import Candidate, Chosen, NodeRules, TwoRings
from glued_ring import CLEANUP, DIFFERENCE, GLUE, VARNISH, GluedRing
from judging import Gauge
from learned import Estimate
from moving import straight
from outliers import limit, odd_ones
from reading_tables import gathered, rows_of
from test_self import allowances, strip_of

F = Fraction

# B. Rosner's example as in the NIST/SEMATECH e-Handbook, 1.3.5.17.3. MEM
ROSNER = [float(text) for text in """
    -0.25 0.68 0.94 1.15 1.20 1.26 1.26 1.34 1.38 1.43 1.49 1.49 1.55 1.56 1.58 1.65 1.69 1.70 1.76
    1.77 1.81 1.91 1.94 1.96 1.99 2.06 2.09 2.10 2.14 2.15 2.23 2.24 2.26 2.35 2.37 2.40 2.47 2.54
    2.62 2.64 2.90 2.92 2.92 2.93 3.21 3.26 3.30 3.59 3.68 4.30 4.64 5.34 5.42 6.01""".split()]


class Outliers(unittest.TestCase):
    def test_rosners_example(self):
        # Three of ten at 5 %; the handbook's critical values.
        self.assertEqual(sorted(ROSNER[i] for i in odd_ones(ROSNER, 10, false_alarm=0.05)), [5.34, 5.42, 6.01])
        for step, wanted in ((1, 3.159), (2, 3.151), (3, 3.144), (10, 3.086)):
            self.assertAlmostEqual(limit(54, step, 0.05), wanted, 2)

    def test_a_step_of_the_gauge_is_no_outlier(self):
        self.assertEqual(odd_ones([1.0] * 9 + [1.5], 1), [9])
        self.assertEqual(odd_ones([1.0] * 9 + [1.5], 1, least_spread=0.3), [])


def ring(shifts=None, marked=True, heights="0.0925", moisture=None, **changes):
    """The strips and flats of docs/first-rod.md, in inches, at one station of a level rod."""
    names = list("abcdef")
    strip = strip_of([(0, 4), (1000, 4)], 0, 1000, **changes)
    section = {"from": F(0), "to": F(1000)}
    read = {"ready": gathered(rows_of("strip,at_in,a_in\n" + "\n".join(f"{name},5,{heights}" for name in names)),
                              "strip", "a", section, (F(0), F(0)))}
    for stage, flat in (("glued", "0.1872"), ("bare", "0.1841"), ("varnished", "0.1874")):
        table = rows_of(f"piece;at_in;f1_in;f2_in;f3_in\n# a remark\np;5;{flat};{flat};{flat}\n")
        read[stage] = gathered(table, "piece", ("f1", "f2", "f3"), section, (F(0), F(0)))
    raw = {"name": "r", "rod": "1", "piece": "p", "strips": names, "shifts": shifts or {}, "marked": marked,
           "moisture": moisture or {}}
    return GluedRing(raw, strip, read, Gauge(F(1, 10 ** 6), F(0)), allowances(**changes))


class Learned(unittest.TestCase):
    def inches(self, one):
        return {value.allowance: value.value / 25.4 for value in one.values()}

    def test_the_example_of_the_first_rod(self):
        found = self.inches(ring())
        for name, wanted in ((GLUE, 0.0011), (CLEANUP, 0.00155), (VARNISH, 0.00165), (DIFFERENCE, 0.00045)):
            self.assertAlmostEqual(found[name], wanted, 9)
        self.assertEqual(len(list(ring().values())), 12)
        self.assertEqual(len(list(ring(marked=False).values())), 4)

    def test_what_comes_off_later_is_no_glue(self):
        # An apex that is knocked off by 0.001 in makes every height so much too low.
        found = self.inches(ring(heights="0.0915", apex_relief=F(254, 10000)))
        self.assertAlmostEqual(found[GLUE], 0.0011, 9)
        # 0.001 in of enamel that goes after gluing goes with the clean-up, and is none of it.
        found = self.inches(ring(enamel=F(254, 10000), enamel_off="after-gluing"))
        self.assertAlmostEqual(found[CLEANUP], 0.00055, 9)

    def test_moisture(self):
        # Read 2 % damper than the section, at 0.5 % of height each: 1 % too high.
        found = self.inches(ring(heights="0.093425", moisture={"ready": F(9), "glued": F(7)}, swell=F(5, 1000)))
        self.assertAlmostEqual(found[GLUE], 0.0011, 9)

    def test_a_sample_of_rods(self):
        values = [value._replace(rod=rod, value=value.value + more)
                  for rod, more in (("1", -0.01), ("2", 0), ("3", 0.01)) for value in ring().values()]
        estimate = Estimate(VARNISH, values, Gauge(F(0), F(0)), 0)
        self.assertTrue(estimate.sample.of_rods)
        # Student's t for 2 degrees of freedom, 4.303, times 0.01 over the root of 3.
        self.assertAlmostEqual(estimate.half, 4.3027 * 0.01 / 3 ** 0.5, 5)


def candidates(deviations, densities=None):
    return [Candidate(f"s{i + 1}", F(0), [each / 1000], [], densities and densities[i])
            for i, each in enumerate(deviations)]


class Rings(unittest.TestCase):
    def test_deviations_run_straight_and_go_on(self):
        points = [(F(0), 0.0), (F(10), 0.1)]
        self.assertEqual([straight(points, F(x)) for x in (-5, 0, 5, 10, 99)], [0, 0, 0.05, 0.1, 0.1])

    def test_low_against_high(self):
        best = Chosen(candidates([3, -3, 5, -5, 1, -1, 9]), None)
        self.assertEqual(best.key[:3], (0, 0, 0))
        self.assertEqual([pair[:2] for pair in best.key[4]], [("s1", "s2"), ("s3", "s4"), ("s5", "s6")])

    def test_density_only_where_all_else_is_alike(self):
        best = Chosen(candidates([0] * 6, [1, 5, 3, 1, 3, 5]), None)
        self.assertEqual([pair[:2] for pair in best.key[4]], [("s1", "s4"), ("s2", "s6"), ("s3", "s5")])

    def test_nodes_before_all_else(self):
        section = {"from": F(0), "to": F(100)}
        rules = NodeRules(section, F(10), F(5), [F(0)])
        six = candidates([0] * 6)
        for each, node in zip(six, (50, 50, 50, 80, 80, 80)):
            each.nodes = [F(node)]
        self.assertEqual(Chosen(six, rules).key[0], 0)  # turn about
        six[3].nodes = [F(50)]
        # Four of one kind: two of them must lie side by side, twice; each lacks 10 mm.
        self.assertEqual(Chosen(six, rules).key[0], 20000000)
        six[0].nodes = [F(-2), F(50)]  # cut off with the spare, but 3 mm too near to the tip end
        self.assertEqual(Chosen(six, rules).key[0], 23000000)

    def test_two_rings(self):
        two = TwoRings(candidates([1, 1, 1, 2, 2, 2, -1, -1, -1, -2, -2, -2]))
        self.assertEqual(two.key, (0, 0, 0))


if __name__ == "__main__":
    unittest.main()
