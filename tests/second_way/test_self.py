#!/usr/bin/python3
"""Is the second computation itself right? Its parts against published and hand-worked values.

MEM marks a value given from memory, not re-read in print. Run as a program, this runs
test_tables.py as well.
"""

import math
import os
import random
import sys
import unittest
from fractions import Fraction

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)

from mpmath import mp, mpf, sqrt

import bars
import groove
import minimax
from ledger import Ledger, Refused, crown_centre, fast_crown_centre
from lengths import LengthError, parse, plain
from passes import fewest, passes_of
from pattern import pattern_height
from strip import Strip
from taper import Taper, smooth_slopes

mp.dps = 30
F = Fraction


def allowances(**changes):
    bare = {
        "varnish": F(0), "cleanup": F(0), "glue_line": F(0), "enamel": F(0),
        "enamel_off": "before-gluing", "face": None, "culm_diameter": None,
        "apex_relief": F(0), "swell": F(0), "at_milling": F(0), "in_service": F(0),
    }
    return {**bare, **changes}


def strip_of(stations, low, high, **changes):
    """A strip whose height is half the taper, unless allowances change it."""
    taper = Taper([(F(x), F(d)) for x, d in stations], "linear")
    section = {"name": "all", "from": F(low), "to": F(high)}
    return Strip(taper, Ledger(allowances(**changes), "bare"), section)


class Lengths(unittest.TestCase):
    def test_each_form(self):
        # 1 in = 25.4 mm exactly (1959 agreement), 1 ft = 12 in, 1 thou = 0.001 in.
        for text, millimetres in {
            "0.25 in": F("6.35"), ".25in": F("6.35"), "13/64 in": F(13, 64) * F("25.4"),
            "1 3/8 in": F("34.925"), "7 ft 6 in": F(2286), "7ft6in": F(2286),
            "70 thou": F("1.778"), "6.35 mm": F("6.35"), "2.5 cm": F(25), "1.2 m": F(1200),
            "120 um": F("0.12"), "7 ft": F("2133.6"), "1/2 ft": F("152.4"), "-0.5 in": F("-12.7"), "0": F(0),
        }.items():
            self.assertEqual(parse(text, "mm"), millimetres, text)
        self.assertEqual(parse("90", "in"), 2286)

    def test_refused(self):
        for text in ("0,068", "010", "1e3", ".nan", "inf", "1/0 in", "5 furlongs", "1 mm x",
                     "0x10", "1:30", "no", "", "1_000", "--1"):
            with self.assertRaises(LengthError, msg=text):
                parse(text, "in")
        with self.assertRaises(LengthError):
            parse("5")
        with self.assertRaises(LengthError):
            plain("5 mm")

    def test_screw_leads(self):
        # Degrees of a turn for 0.01 mm. M6: ISO 261; #10-24 and 3/8-16: ASME B1.1.
        for lead, degrees in (("1 mm", 3.6), ("1/24 in", 3.401575), ("1/16 in", 2.267717)):
            self.assertAlmostEqual(float(F(1, 100) / parse(lead)) * 360, degrees, 6)


class Tapers(unittest.TestCase):
    def test_linear(self):
        taper = Taper([(F(0), F(1)), (F(10), F(3)), (F(20), F(4))], "linear")
        self.assertEqual([taper.value(F(x)) for x in (-5, 5, 10, 15, 30)], [0, 2, 3, F(7, 2), 5])

    def test_smooth_by_hand(self):
        # Secants 1 over a length of 1, 1/2 over 2: (5 + 4) / (5/1 + 4/(1/2)) = 9/13.
        stations = [(F(0), F(1)), (F(1), F(2)), (F(3), F(3))]
        self.assertEqual(smooth_slopes(stations), [1, F(9, 13), F(1, 2)])
        # Half way along a cubic: the mean of the ends + length (slope left - right) / 8.
        taper = Taper(stations, "smooth")
        self.assertEqual(taper.value(F(1, 2)), F(3, 2) + (1 - F(9, 13)) / 8)
        self.assertEqual(taper.value(F(4)), F(7, 2))

    def test_smooth_is_level_at_a_turn(self):
        stations = [(F(0), F(1)), (F(1), F(2)), (F(2), F(1)), (F(3), F(1)), (F(4), F(2))]
        self.assertEqual(smooth_slopes(stations)[1:-1], [0, 0, 0])


class Ledgers(unittest.TestCase):
    def test_dimension_change(self):
        # Wood Handbook (FPL), chapter 13: a 232 mm board, 8 to 11 %, C_T = 0.00245,
        # grows by 1.7 mm (the coefficient is MEM).
        ledger = Ledger(allowances(swell=F("0.00245"), at_milling=F(11), in_service=F(8)), "bare")
        self.assertAlmostEqual(float(ledger.wet(F(232))) - 232, 1.7, 1)

    def test_glue_line_moves_each_strip_by_itself(self):
        # Six triangles 5 high with their apexes g = 0.04 from the centre: 2 (5 + 0.04) across.
        ledger = Ledger(allowances(glue_line=F("0.04")), "bare")
        self.assertEqual(ledger.glued(F("10.08")), 5)

    def test_crown_against_pythagoras(self):
        rng = random.Random(1)
        for _ in range(300):
            height, radius = rng.uniform(0.2, 9), rng.uniform(8, 60)
            exact = mpf(height) - sqrt(mpf(radius) ** 2 - mpf(height) ** 2 / 3)
            self.assertLess(abs(exact - crown_centre(height, radius)), 2e-14)
            self.assertLess(abs(exact - fast_crown_centre(height, radius)), 3e-14)

    def test_round_culm(self):
        # R = 22, enamel 0.12, h_w = 4: crown allowance 22 - sqrt(21.88^2 - 16/3) =
        # 0.24221825..., corner to flank 4.11365 (20 digits by mpmath below).
        ledger = Ledger(allowances(enamel=F("0.12"), culm_diameter=F(44)), "bare")
        rows = ledger.rows(F(8))
        milled = 4 + 22 - sqrt(mpf("21.88") ** 2 - mpf(16) / 3)
        centre = milled - 22
        flank = (sqrt(3) * centre + sqrt(4 * 22 ** 2 - centre ** 2)) / 2
        self.assertAlmostEqual(float(milled), 4.24221825, 8)
        self.assertAlmostEqual(float(flank), 4.750028, 6)
        self.assertLess(abs(milled - rows["strip_milled"]), 1e-13)
        self.assertLess(abs(flank * sqrt(3) / 2 - rows["side_milled"]), 1e-13)
        self.assertLess(abs(flank - rows["face_milled"]), 1e-13)
        self.assertEqual(rows["strip_ready"], 4)

    def test_where_the_enamel_goes(self):
        def rows(off, face):
            changed = allowances(enamel=F("0.12"), culm_diameter=F(44), enamel_off=off, face=face,
                                 cleanup=F("0.05"), apex_relief=F("0.01"))
            return Ledger(changed, "bare").rows(F("7.9"))

        crown = 22 - math.sqrt(21.88 ** 2 - 16 / 3)
        for off, face, more, ready, flats in (
            ("before-milling", "flat", 0, 4, 8), ("before-milling", "round", crown - 0.12, None, None),
            ("before-gluing", "round", crown, 4, 8), ("before-gluing", "flat", 0.12, 4, 8),
            ("after-gluing", "round", crown, None, None), ("after-gluing", "flat", 0.12, None, None),
        ):
            got = rows(off, face)
            milled = 4 + more
            self.assertAlmostEqual(float(got["strip_milled"]), milled, 12)
            self.assertAlmostEqual(float(got["strip_ready"]), (ready or milled) - 0.01, 12)
            self.assertAlmostEqual(float(got["flats_glued"]), flats or 8 + 2 * more, 12)
            self.assertEqual(float(got["strip_glued"]), 4)

    def test_refused(self):
        with self.assertRaises(Refused):
            Ledger(allowances(glue_line=F(1)), "bare").rows(F(2))
        with self.assertRaises(Refused):
            Ledger(allowances(apex_relief=F(2)), "bare").rows(F(3))
        with self.assertRaises(Refused):
            Ledger(allowances(varnish=F("0.5")), "varnished").rows(F(1))
        with self.assertRaises(Refused):
            Ledger(allowances(culm_diameter=F(15), enamel=F(2)), "bare").rows(F(20))


class Grooves(unittest.TestCase):
    def test_pins_in_a_sixty_degree_groove(self):
        # Machinery's Handbook, "Checking a V-shaped groove by measurement over pins",
        # with csc 30 = 2: the lowest point of a pin d lies d/2 above the groove's apex.
        for diameter, lowest in ((3, 1.5), (4, 2), (5, 2.5)):
            reading, bearing = groove.ball(6.0, 6.0, float(diameter))
            self.assertAlmostEqual(reading, 6 - lowest, 12)
            self.assertEqual(bearing, {"flanks"})

    def test_flat_tip(self):
        # A flat of width w rests sqrt3 w / 2 above the apex.
        for width, above in ((0.5, 0.4330127019), (1.0, 0.8660254038), (1.5, 1.299038106)):
            self.assertAlmostEqual(groove.flat(3.0, width)[0], 3 - above, 9)
        self.assertEqual(groove.flat(1.0, 1.2), (None, {"none"}))

    def test_a_ball_too_big_rests_on_the_edges(self):
        # Right triangle: ball radius, half the top width, centre above the top.
        reading, bearing = groove.ball(1.0, 0.5, 4.0)
        self.assertEqual(bearing, {"edges"})
        self.assertAlmostEqual(reading, 2 - math.sqrt(4 - 1 / 3), 12)

    def test_a_ball_too_small_drops_into_the_slot(self):
        # Depth 4, closed 1: contact must lie 3 or more above the apex; a ball of 4 touches
        # at exactly 3 (three quarters of its diameter).
        self.assertEqual(groove.ball(4.0, 1.0, 3.99)[1], {"slot"})
        self.assertEqual(groove.ball(4.0, 1.0, 4.01)[1], {"flanks"})
        self.assertIsNone(groove.ball(4.0, 1.0, 1.0)[0])
        self.assertEqual(groove.ball(4.0, 1.0, 4.0)[1], {"flanks", "slot"})

    def test_opening(self):
        # Top width of a groove 2.5 deep: 2.886751346; the bars' bevels are closed at 0.
        self.assertAlmostEqual(groove.opening(F("2.5"), F(0)), 2.886751346, 9)


class Bars(unittest.TestCase):
    def test_burden_and_faires(self):
        # Numerical Analysis, natural cubic spline of e^x on 0..3 (MEM; to 12 digits by mpmath).
        bar = bars.Bar([0, 1, 2, 3], [math.exp(x) for x in range(4)])
        for at, height in ((0.5, 1.76453433387), (1.5, 4.23030403901), (2.5, 13.0085381667)):
            self.assertAlmostEqual(bar.height(at), height, 10)
        self.assertAlmostEqual(bar.slopes[0], 1.46599761417, 10)

    def test_young_and_gregory(self):
        # A Survey of Numerical Mathematics, chapter 6.8, as printed in GSL's own test.
        places = [0.2 * i for i in range(6)]
        bar = bars.Bar(places, [1 / (1 + x * x) for x in places])
        for at, height in ((0.02, 0.997583282975581), (0.10, 0.986183764184894),
                           (0.5, 0.799846963843167), (0.98, 0.510588599432241)):
            self.assertAlmostEqual(bar.height(at), height, 14)
        self.assertAlmostEqual(bar.slopes[0], -0.120113913432180, 13)

    def test_uneven_places(self):
        # (-1, 0.5), (0, 0), (3, 3): slopes -0.6875, -0.125, 1.5625 (common worked example, MEM).
        bar = bars.Bar([-1, 0, 3], [0.5, 0, 3])
        for got, slope in zip(bar.slopes, (-0.6875, -0.125, 1.5625)):
            self.assertAlmostEqual(got, slope, 14)
        self.assertAlmostEqual(bar.height(5), 3 + 2 * 1.5625, 13)
        self.assertAlmostEqual(bar.height(-2), 0.5 + 0.6875, 13)

    def test_sinking_support(self):
        # Two equal spans L, the middle support sinks by d: M = 3 E I d / L^2 (beam tables).
        length, sink = 5.0, 0.01
        bar = bars.Bar([0, length, 2 * length], [0, -sink, 0])
        h = 1e-3
        bent = (bar.height(length + h) - 2 * bar.height(length) + bar.height(length - h)) / h ** 2
        self.assertAlmostEqual(bent, 3 * sink / length ** 2, 6)

    def test_straight(self):
        bar = bars.Bar([0, 1, 3], [0, 1, 2], spring=False)
        self.assertEqual([bar.height(x) for x in (0.5, 2, 4)], [0.5, 1.5, 2.5])

    def test_greatest_miss(self):
        # A parabola over a straight bar: 1/4 in the middle of 0..1.
        bar = bars.Bar([0, 1], [0, 1], spring=False)
        size, place = bars.greatest_miss(bar, lambda x: x * x, 0, 1)
        self.assertAlmostEqual(size, 0.25, 12)
        self.assertAlmostEqual(place, 0.5, 1)


class Fits(unittest.TestCase):
    def least(self, wanted, lowest=None):
        return minimax.least_miss([-1.0, 1.0], [1.0, 1.0], [0, 1], wanted, -1.0, 1.0, [], False, lowest)

    def test_best_lines(self):
        # Chebyshev: the best line for x^2 on -1..1 is 1/2, its miss 1/2; for |x| the same.
        for wanted in (lambda x: x * x, abs):
            bound, heights = self.least(wanted)
            self.assertAlmostEqual(bound, 0.5, 7)
            self.assertAlmostEqual(heights[0], 0.5, 6)

    def test_a_lowest_setting_counts(self):
        bound, heights = self.least(lambda x: x * x, [0.8, 0.8])
        self.assertAlmostEqual(bound, 0.8, 7)
        self.assertAlmostEqual(heights[1], 0.8, 7)

    def test_lowest_settings_among_many(self):
        # Half of the screws held above what would be best: kept to, and the bound still reached.
        screws = [0.0, 90.0, 200.0, 310.0, 400.0, 520.0]
        wanted = lambda x: 2 + 0.02 * math.sin(x / 40)
        start = [wanted(x) for x in screws]
        for raised in range(6):
            lowest = [h - 1 for h in start]
            _, best = minimax.least_miss(screws, start, range(6), wanted, 50.0, 480.0, [], lowest=lowest)
            lowest[raised] = best[raised] + 0.01
            bound, heights = minimax.least_miss(
                screws, start, range(6), wanted, 50.0, 480.0, [], lowest=lowest)
            self.assertGreater(heights[raised], lowest[raised] - 1e-7)
            reached, _ = bars.greatest_miss(bars.Bar(screws, heights), wanted, 50, 480, screws)
            self.assertLess(reached, bound * 1.001)

    def test_the_bound_proves_itself(self):
        # The settings found reach the bound; none of a thousand others is below it.
        rng = random.Random(2)
        screws = [0.0, 90.0, 200.0, 310.0, 400.0, 520.0]
        wanted = lambda x: 2 + 0.003 * x + 0.02 * math.sin(x / 40) + 0.001 * abs(x - 250)
        bound, heights = minimax.least_miss(
            screws, [wanted(x) for x in screws], range(6), wanted, 50.0, 480.0, [250.0])
        cuts = screws + [250.0]
        reached, _ = bars.greatest_miss(bars.Bar(screws, heights), wanted, 50, 480, cuts)
        self.assertLess(reached, bound * 1.001)
        for _ in range(1000):
            other = [h + rng.gauss(0, 0.003) for h in heights]
            miss, _ = bars.greatest_miss(bars.Bar(screws, other), wanted, 50, 480, cuts, 4)
            self.assertGreater(miss, bound * 0.999)


class Cutters(unittest.TestCase):
    """A cutter of R = 25 over straight flanks of slope 0.02: R (sqrt(1 + m^2) - 1) =
    4.999500100e-3 higher, touching R m / sqrt(1 + m^2) = 0.49990003 to the side."""

    EXCESS = 4.999500100e-3

    def test_slope(self):
        strip = strip_of([(0, 8), (200, 16)], 0, 200)
        self.assertAlmostEqual(strip.cutter_offset(100.0, 25.0), 6 + self.EXCESS, 12)

    def test_ridge(self):
        strip = strip_of([(0, 16), (100, 20), (200, 16)], 0, 200)
        for aside in (0.0, 0.2, 0.49):
            self.assertAlmostEqual(strip.cutter_offset(100 + aside, 25.0),
                                   10 + math.sqrt(625 - aside ** 2) - 25, 12)
        for aside in (0.51, 10):
            self.assertAlmostEqual(strip.cutter_offset(100 - aside, 25.0),
                                   10 - 0.02 * aside + self.EXCESS, 12)

    def test_valley(self):
        strip = strip_of([(0, 20), (100, 16), (200, 20)], 0, 200)
        self.assertAlmostEqual(strip.cutter_offset(100.0, 25.0), 8 + 0.0049995001, 10)

    def test_vertex(self):
        # A sharp step: the corner at (0, 0), the cutter's axis 15 away: 20 - 25 above it.
        strip = strip_of([(0, 40), (100, 40), ("100.001", "0.5"), (200, "0.5")], 0, 200)
        self.assertAlmostEqual(strip.cutter_offset(115.0, 25.0), 20 - 5, 6)

    def test_sharp_edge_gives_the_profile(self):
        strip = strip_of([(0, 8), (200, 16)], 0, 200, culm_diameter=F(44), enamel=F("0.1"))
        self.assertAlmostEqual(strip.cutter_offset(50, 0), strip.milled(F(50)), 13)

    def test_brute_force(self):
        rng = random.Random(3)
        for case in range(8):
            stations = [(0, F(2))]
            for i in range(1, 8):
                stations.append((60 * i, stations[-1][1] + F(rng.randint(-50, 200), 500)))
            strip = strip_of(stations, 60, 360, culm_diameter=F(40), enamel=F("0.1"))
            strip.taper = Taper(strip.taper.stations, ("smooth", "linear")[case % 2])
            radius, x = rng.uniform(10, 60), rng.uniform(0, 420)
            tried = max(
                strip.fast(u) + math.sqrt(max(radius ** 2 - (x - u) ** 2, 0)) - radius
                for u in (x + radius * (i / 20000 - 1) for i in range(40001)))
            self.assertAlmostEqual(strip.cutter_offset(x, radius), tried, 7)
            self.assertGreaterEqual(strip.cutter_offset(x, radius), tried - 1e-12)

    def test_floor_in_the_spare(self):
        # 1 mm high at the tip end, falling by 0.01 a mm: 0.2 mm from 80 mm outside on.
        strip = strip_of([(0, 2), (100, 4)], 0, 100)
        self.assertEqual([strip.milled(F(x)) for x in (0, -40, -80, -500)], [1, F("0.6"), F("0.2"), F("0.2")])
        self.assertAlmostEqual(strip.fast(-79.0), 0.21, 12)
        self.assertAlmostEqual(strip.fast(-81.0), 0.2, 12)
        thin = strip_of([(0, "0.3"), (100, 4)], 0, 100)
        self.assertEqual(thin.milled(F(-40)), F("0.15"))
        self.assertEqual(strip_of([(0, 4), (100, 1)], 0, 100).milled(F(200)), F("0.2"))


class Passes(unittest.TestCase):
    def test_fewest(self):
        # 30 to take, 5 at last, at most 5 each: 6 passes exactly; a hair more needs a 7th.
        self.assertEqual(fewest(F(30), F(5), F(5)), 6)
        self.assertEqual(fewest(F(30) + F(1, 10 ** 9), F(5), F(5)), 7)
        self.assertEqual(fewest(F(5), F(5), F(5)), 1)
        self.assertEqual(fewest(F(2), F(5), F(1)), 1)
        self.assertEqual(fewest(F("2.54") * 3 / 10, F("0.127"), F("0.127")), 6)

    def test_levels(self):
        plan = {"over": None, "height": F(10), "max_cut": F(2), "last_cut": F(1)}
        # 4 to 9 high: 6 to take at most, 1 + 2 + 2 + 1 <= 6: 4 passes, 5/3 each and 1.
        before, passes = passes_of(plan, F(4), F(9))
        self.assertEqual([p.left for p in passes], [1 + F(5) * 2 / 3, 1 + F(5) / 3, 1, 0])
        self.assertEqual([p.height(F(9)) for p in passes], [10, 10, 10, 9])
        self.assertEqual(passes[0].height(F(4)), 4 + 1 + F(10, 3))
        self.assertEqual(before.height(F(5)), 10)
        # Beyond its ends the strip may be higher than the rough one: it is left alone there.
        self.assertEqual([p.height(F(11)) for p in passes], [11, 11, 11, 11])
        self.assertEqual(max(part(11.0) for part in passes[0].parts()), 11)
        with self.assertRaises(Refused):
            passes_of(plan, F(4), F(11))

    def test_a_plain_strip(self):
        # No rough strip named, 1 over the highest of 9: the same bar of 10 as above.
        plan = {"over": None, "height": None, "plain_over": F(1), "max_cut": F(2), "last_cut": F(1)}
        before, passes = passes_of(plan, F(4), F(9))
        self.assertEqual([p.left for p in passes], [1 + F(5) * 2 / 3, 1 + F(5) / 3, 1, 0])
        self.assertEqual([before.height(h) for h in (F(4), F(9))], [10, 10])
        cuts, found = [], before
        for one in passes:
            cuts.append(max(found.height(h) - one.height(h) for h in (F(4), F(6), F(9))))
            found = one
        self.assertLessEqual(max(cuts[:-1]), 2)
        self.assertLessEqual(cuts[-1], 1)


class Patterns(unittest.TestCase):
    def test_equal_radii_give_the_strip(self):
        # A follower as large as the cutter rolls on the strip itself.
        strip = strip_of([(0, 16), (100, 20), (200, 16)], 0, 200)
        for x in (60.0, 99.8, 100.0, 130.0):
            self.assertAlmostEqual(
                pattern_height(lambda u: strip.cutter_offset(u, 25.0), x, 25, 1, F(3)),
                float(strip.milled(F(x))) + 3, 6)

    def test_slope(self):
        # Along a slope m the follower stands r (sqrt(1 + (k m)^2) - 1) off, to either side.
        for ratio, upwards in ((2, -1), (-2, 1)):
            off = 25 * (math.sqrt(1 + (ratio * 0.02) ** 2) - 1)
            self.assertAlmostEqual(
                pattern_height(lambda u: 5 + 0.02 * u, 50.0, 25, ratio, 1),
                ratio * 6 + 1 + upwards * off, 10)


if __name__ == "__main__":
    unittest.main(module=None, argv=[sys.argv[0], "discover", "-s", HERE] + sys.argv[1:])
