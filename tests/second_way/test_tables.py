#!/usr/bin/python3
"""Whole tables worked by hand, and whether the comparison sees what it should."""

import io
import os
import sys
import unittest
from fractions import Fraction

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import cells
import curves
import model
from generate import Case
from ledger import Refused
from printing import Number, printed, write
from reading import load, shop_of
from test_self import allowances

F = Fraction


class SetUps(unittest.TestCase):
    TAPER = """
format: stripwright-taper-1
unit: mm
taper: {0: 4, 100: 6, 200: 8}
sections: {tip: {from: 0, to: 100}, butt: {from: 100, to: 200}}
"""
    SHOP = """
format: stripwright-shop-1
unit: mm
spare: {tip_end: 10, butt_end: 20}
tolerances: {strip: {over: 0.02, under: 0.01}}
machines:
  form:
    kind: planing-form
    screws: {first: 0, pitch: 50, count: 4}
    strip_at: 10
    closed_depth: {thin_end: 1.95, thick_end: 1.95}
    screw_lead: 1
    feeds: %s
  bed:
    kind: screw-mill
    screws: [0, 50, 100, 150]
    strip_at: 10
    cutter_diameter: 0
    dial: {zero: 5, counts: down, dial_per_offset: 2, division: 0.25, screw_lead: 0.5, range: [0, %s]}
"""

    def tables(self, machine, feeds="tip-first", high="9"):
        setup = model.SetUp(load(self.TAPER), load(self.SHOP % (feeds, high)), machine)
        return setup, [row[0] for row in setup.cutter_table(setup.sections[0])]

    def test_where_the_screws_stand(self):
        _, rows = self.tables("form")
        self.assertEqual([r["taper_at_U"].value for r in rows], [-20, 30, 80, 130])
        _, rows = self.tables("form", "butt-first")
        self.assertEqual([r["taper_at_U"].value for r in rows], [130, 80, 30, -20])

    def test_form(self):
        setup, rows = self.tables("form")
        # The first screw, outside the strip, cannot come down to 1.8: closed, no complaint.
        self.assertEqual(rows[0]["strip_milled_U"].value, F("1.8"))
        self.assertEqual(rows[0]["cutter_offset_U"].value, F("1.95"))
        self.assertEqual(rows[0]["opening_U"].value, 0)
        self.assertAlmostEqual(rows[1]["opening_U"].value, (2.3 - 1.95) * 1.1547005383792515, 12)
        self.assertEqual(setup.statuses, {0})
        setup = model.SetUp(load(self.TAPER), load(
            (self.SHOP % ("tip-first", "9")).replace("1.95", "2.5")), "form")
        rows = [row[0] for row in setup.cutter_table(setup.sections[0])]
        self.assertIsNone(rows[1]["opening_U"])
        self.assertEqual(rows[1]["cutter_offset_U"].value, F("2.3"))
        self.assertEqual(setup.statuses, {1})

    def test_dial(self):
        setup, rows = self.tables("bed")
        # Offset 2.3: dial 5 - 4.6 = 0.4, shown 0.5, which is an offset of 2.25: 0.05 left.
        self.assertAlmostEqual(float(rows[1]["dial_U"].value), 0.5)
        self.assertAlmostEqual(float(rows[1]["residual_U"].value), 0.05, 12)
        self.assertAlmostEqual(rows[1]["turns"].value, 4.6, 12)
        # At 80 mm: 5 - 5.6 = -0.6, shown -0.5: below the range, within the strip.
        self.assertIsNone(rows[2]["dial_U"])
        self.assertEqual(setup.statuses, {1})

    def test_stations(self):
        setup, _ = self.tables("bed")
        table = [row[0] for row in setup.station_table()]
        self.assertEqual([(r["section"], r["at_U"].value) for r in table],
                         [("tip", 0), ("tip", 100), ("butt", 100), ("butt", 200)])
        self.assertEqual(table[0]["strip_low_U"].value, F("1.99"))
        self.assertEqual(table[0]["strip_high_U"].value, F("2.02"))

    def test_strip_longer_than_the_machine(self):
        shop = load((self.SHOP % ("tip-first", "9")).replace("count: 4", "count: 3"))
        setup = model.SetUp(load(self.TAPER), shop, "form")
        setup.cutter_table(setup.sections[0])
        self.assertEqual(setup.statuses, {1})

    def test_defaults(self):
        shop = shop_of(load("""
unit: in
spare: {tip_end: 1, butt_end: 1}
tolerances: {strip: 0.001}
machines: {m: {kind: screw-mill, screws: [0, 5], strip_at: 0, cutter_radius: 1}}
"""))
        self.assertEqual(shop["allowances"], allowances())
        self.assertEqual(shop["machines"]["m"]["feeds"], "tip-first")


class CurveTables(unittest.TestCase):
    SHOP = """
format: stripwright-shop-1
unit: mm
machines:
  copier: {kind: pattern-mill, cutter_radius: 25, follower_radius: 25, base: 1}
"""

    def test_a_table_of_points(self):
        setup = model.SetUp(load(SetUps.TAPER), load(self.SHOP), "copier")
        section = setup.sections[0]

        def rows(cell=None, text=None, step=F("17.62")):
            out = []
            for k in range(11):
                x = F("-38.1") + k * step
                numbers = {
                    "machine_at": x + F("38.1"), "taper_at": x, "strip_milled": setup.strips["tip"].milled(x),
                    "cutter_offset": setup.offset(section, x), "pattern": setup.strips["tip"].milled(x) + 1}
                out.append({name: printed(v, "mm") for name, v in numbers.items()})
            if cell:
                out[cell[0]][cell[1]] = text
            return out

        def wrong(table):
            return list(curves.curve_differences(
                setup, section, table, cells.half_digit("mm"), lambda row, c: cells.number_of(row[c], "mm")))

        self.assertEqual(wrong(rows()), [])
        self.assertIn("row 4 cutter_offset: 2.2000000", str(wrong(rows((3, "cutter_offset"), "2.20000"))))
        self.assertIn("row 5 pattern: 3.0000000", str(wrong(rows((4, "pattern"), "3.00000"))))
        self.assertIn("the strip from", wrong(rows(step=F(17)))[0])
        self.assertIn("not the place", str(wrong(rows((5, "taper_at"), "50.10000"))))

    def test_a_chord_too_long(self):
        setup = model.SetUp(load(SetUps.TAPER.replace("100: 6", "100: 7")), load(self.SHOP), "copier")
        section = setup.sections[0]
        table = []
        for x in (F("-38.1"), F(60), F("138.1")):  # passes by the corner at 100
            numbers = {"machine_at": x + F("38.1"), "taper_at": x, "strip_milled": setup.strips["tip"].milled(x),
                       "cutter_offset": setup.offset(section, x), "pattern": setup.strips["tip"].milled(x) + 1}
            table.append({name: printed(v, "mm") for name, v in numbers.items()})
        found = list(curves.curve_differences(
            setup, section, table, cells.half_digit("mm"), lambda row, c: cells.number_of(row[c], "mm")))
        self.assertTrue(any("between rows 2 and 3 cutter_offset" in what for what in found), found)


class Comparing(unittest.TestCase):
    def verdict(self, text, value, unit="mm", turns=False):
        return cells.cell_agrees(text, Number(value, turns), unit)

    def test_last_digit(self):
        self.assertEqual(self.verdict("1.23457", 1.234567), "equal")
        self.assertEqual(self.verdict("1.23456", 1.234567), "no")
        self.assertEqual(self.verdict("1.23458", 1.234567), "no")
        self.assertEqual(self.verdict("1.000000", 25.4, "in"), "equal")
        self.assertEqual(self.verdict("1.000001", 25.4, "in"), "no")
        self.assertEqual(self.verdict("0.3333", 1 / 3, turns=True), "equal")
        self.assertEqual(self.verdict("0.3334", 1 / 3, turns=True), "no")

    def test_ties(self):
        for text in ("1.00000", "1.00001"):
            self.assertEqual(self.verdict(text, F("1.000005")), "tie")
            self.assertEqual(self.verdict("-" + text, F("-1.000005")), "tie")
        self.assertEqual(self.verdict("1.00000", 1.000005 + 2e-9), "no")

    def test_form(self):
        for text in ("1.5", "1.500000", "1,50000", "+1.50000", "01.50000", "1.5e0", "", " 1.50000"):
            self.assertEqual(self.verdict(text, 1.5), "no", text)
        self.assertEqual(self.verdict("-0.00000", 0), "no")
        self.assertEqual(cells.cell_agrees("", None, "mm"), "equal")
        self.assertEqual(cells.cell_agrees("0.00000", None, "mm"), "no")
        self.assertEqual(cells.cell_agrees("edges", "flanks", "mm"), "no")

    def test_header(self):
        columns = ["screw", "at_U"]
        rows, more = cells.read_table("screw,note,at_mm\r\n1,x,2.00000\r\n", columns, "mm", "t")
        self.assertEqual((rows[0]["at_mm"], more), ("2.00000", ["note"]))
        for text in ("", "screw\r\n1\r\n", "at_mm,screw\r\n", "screw,at_in\r\n", "screw,at_mm\r\n1\r\n"):
            with self.assertRaises(cells.Differs, msg=text):
                cells.read_table(text, columns, "mm", "t")

    def test_printed(self):
        for value, unit, text in (
            (F("0.000005"), "mm", "0.00001"), (F("-0.000005"), "mm", "-0.00001"),
            (F("-0.000004"), "mm", "0.00000"), (F("25.4"), "in", "1.000000"), (F("-1.5"), "mm", "-1.50000"),
        ):
            self.assertEqual(printed(value, unit), text)
        out = io.StringIO()
        write([[{"at_U": Number(F(1)), "gauge_on": None}]], ["at_U", "gauge_on"], "mm", out)
        self.assertEqual(out.getvalue(), "at_mm,gauge_on\n1.00000,\n")


class Generating(unittest.TestCase):
    def test_same_seed_same_case(self):
        one, two = Case("s", 7), Case("s", 7)
        self.assertEqual((one.taper_text, one.shop_text, one.options),
                         (two.taper_text, two.shop_text, two.options))
        self.assertNotEqual(one.taper_text, Case("s", 8).taper_text)

    def test_every_case_is_computed_or_refused(self):
        statuses = set()
        for number in range(150):
            case = Case("self", number)
            try:
                setup = case.setup()
                for section in setup.sections:
                    setup.cutter_table(section)
                statuses |= setup.statuses
            except Refused:
                statuses.add(2)
        self.assertEqual(statuses, {0, 1, 2})


if __name__ == "__main__":
    unittest.main()
