#!/usr/bin/python3
"""The second computation of readings against printed tables and worked examples."""

import math
import os
import sys
import unittest
from fractions import Fraction

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import angles
import judging
import lone
import strip_words
from judging import Gauge, Repeated


class Read:
    """A reading as the model judges them, of a deviation alone."""

    def __init__(self, place, deviation, gauge=Gauge(0, 0), times=1, height="a"):
        self.place, self.deviation, self.height, self.target = place, deviation, height, 4.0
        self.repeated = Repeated([deviation] * times, gauge)


class Judging(unittest.TestCase):
    def test_student(self):
        # Printed tables of Student's t, 95 % to both sides.
        for freedom, t in ((1, 12.706), (2, 4.303), (3, 3.182), (5, 2.571), (10, 2.228), (30, 2.042), (120, 1.980)):
            self.assertAlmostEqual(judging.student(freedom), t, delta=6e-4)
        self.assertAlmostEqual(judging.student(1), math.tan(math.pi * 0.475), places=9)
        self.assertAlmostEqual(judging.student(2000), judging.student(2000.001), places=8)

    def test_interval(self):
        # Without a gauge's error it is Student's; without scatter it is the normal one.
        self.assertAlmostEqual(judging.half_interval(1.0, 4, 0.0), judging.student(4))
        self.assertAlmostEqual(judging.half_interval(0.0, 4, 1.0), 1.959964, places=6)

    def test_proven(self):
        # Far from the other limit a reading is proven right 1.645 u inside its limit.
        self.assertEqual(judging.verdicts(8.36, 1.0, -10.0, 10.0, plain=False), {"unsure"})
        self.assertEqual(judging.verdicts(8.35, 1.0, -10.0, 10.0, plain=False), {"right"})
        self.assertEqual(judging.verdicts(11.65, 1.0, -10.0, 10.0, plain=False), {"thick"})
        self.assertEqual(judging.verdicts(-11.65, 1.0, -10.0, 10.0, plain=False), {"thin"})
        # Limits 3.92 u apart are the least between which anything is proven.
        self.assertEqual(judging.verdicts(0.0, 1.0, -1.95, 1.95, plain=False), {"unsure"})
        self.assertEqual(judging.verdicts(0.0, 1.0, -1.97, 1.97, plain=False), {"right"})

    def test_plain_on_the_limit(self):
        limit = Fraction(1, 3)
        self.assertEqual(judging.verdicts(limit, 1.0, -limit, limit, plain=True), {"right"})
        self.assertEqual(judging.verdicts(limit + Fraction(1, 10 ** 5), 1.0, -limit, limit, plain=True), {"thick"})

    def test_repeated(self):
        # The gauge's own error stays whole, the step's share shrinks with the number of readings.
        gauge = Gauge(math.sqrt(12), 3)
        self.assertAlmostEqual(Repeated([5], gauge).uncertainty, math.sqrt(10))
        self.assertAlmostEqual(Repeated([5, 5, 5, 5], gauge).uncertainty, math.sqrt(9.25))
        self.assertAlmostEqual(Repeated([3, 7], gauge).uncertainty, math.sqrt(9 + 8 / 2))


class Whole(unittest.TestCase):
    def test_anscombe(self):
        # F. J. Anscombe, The American Statistician 27 (1973) 17, the first set: slope 0.5001,
        # its standard error 0.1179.
        x = (10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5)
        y = (8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68)
        whole = strip_words.Whole([Read(a, b) for a, b in zip(x, y)], Gauge(0, 0))
        self.assertAlmostEqual(whole.growth / 10, 0.5001, places=4)
        self.assertAlmostEqual(whole.growth_uncertainty / 10, 0.1179, places=4)
        self.assertAlmostEqual(whole.mean, 7.50, places=2)

    def test_take_off(self):
        readings = [Read(0, 0.05), Read(0, 0.03, height="b"), Read(9, 0.09), Read(9, -0.01, height="b")]
        for reading in readings:
            reading.words = {"thick"} if reading.deviation > 0.02 else {"right"}
        self.assertEqual(strip_words.to_take_off(readings), (0.03, [0]))
        self.assertEqual(strip_words.to_take_off(readings, flats=True), (0.09, [9]))


class Angles(unittest.TestCase):
    def test_worked_example(self):
        # docs/method.md 4: R = 22, a strip of 4 under enamel of 0.12 is 4.24222 high, its other
        # heights are 4.11365: an equilateral one.
        for found in angles.angles([4.24222, 4.11365, 4.11365], 22.0):
            self.assertAlmostEqual(found, 60, delta=2e-4)

    def test_flat(self):
        # Sides of 3, 4 and 5 and area 6: heights of 12/3, 12/4, 12/5, each at its own corner.
        found = angles.angles([12 / 5, 12 / 3, 12 / 4], None)
        self.assertAlmostEqual(found[0], 90)
        self.assertAlmostEqual(found[1], math.degrees(math.asin(3 / 5)))
        self.assertAlmostEqual(found[2], math.degrees(math.asin(4 / 5)))

    def test_round_as_flat(self):
        for flat, arc in zip(angles.angles([4, 4.1, 3.95], None), angles.angles([4, 4.1, 3.95], 1e7)):
            self.assertAlmostEqual(flat, arc, places=4)


class Lone(unittest.TestCase):
    GAUGE = Gauge(0, 0.005)

    def found(self, off, times=1):
        strip = [Read(k, d, self.GAUGE, times) for k, d in enumerate(off)]
        return [place for _, place, _ in lone.lone_readings({"s": strip}, (0.02, 0.02))]

    def test_rule(self):
        # A jump over max(T + 3 u, 7 u) = 0.055, of five places at least.
        self.assertEqual(self.found([0, 0, 0.056, 0, 0]), [2])
        self.assertEqual(self.found([0, 0, 0.054, 0, 0]), [])
        self.assertEqual(self.found([0, 0, 0.056, 0]), [])
        self.assertEqual(self.found([0, 0, 0.3, 0.3, 0]), [], "a step of two places is real")
        self.assertEqual(self.found([0, 0, 0.3, 0, 0], times=2), [], "read so twice")
        self.assertEqual(self.found([0.3, 0, 0, 0, 0]), [], "at an end a step may be real")


if __name__ == "__main__":
    unittest.main()
