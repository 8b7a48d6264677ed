#!/usr/bin/python3
"""Patterns: the DXF read by ezdxf, the SVG's sizes, both against the second computation.

    check_patterns.py --program PATH --source DIR --count N --seed S [--jobs J]

For N random tapers on a random pattern mill, and for the shipped ones: ezdxf
(Debian python3-ezdxf) reads each DXF without a complaint of its auditor; its closed
outline runs within `outline_tolerance` of the pattern that ../second_way's cutter
offsets give by the definition, and so does the table's `pattern`; the SVG has the
same outline, its size in millimetres is that of its units, its rule is 100 mm, and no
words lie over others or off the sheet.
"""

import argparse
import collections
import csv
import io
import itertools
import json
import math
import multiprocessing
import os
import re
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree

import ezdxf

from routed import Refused, RoutedCase

PER_UNIT = {"in": 25.4, "mm": 1.0}
HALF_DIGIT = {"in": 0.5e-6 * 25.4, "mm": 0.5e-5}
DRAWN = 1e-5  # mm: two last digits of a drawing
SVG = "{http://www.w3.org/2000/svg}"
SHOWN = 20


class Differs(Exception):
    pass


def least(function, a, b):
    """The least value of a function with few valleys on [a, b]: looked for, then narrowed down."""
    count = 12
    xs = [a + (b - a) * i / count for i in range(count + 1)]
    best = min(range(count + 1), key=lambda i: function(xs[i]))
    low, high = xs[max(best - 1, 0)], xs[min(best + 1, count)]
    golden = (math.sqrt(5) - 1) / 2
    found = function(xs[best])
    while high - low > 1e-5:
        c, d = high - golden * (high - low), low + golden * (high - low)
        fc, fd = function(c), function(d)
        low, high = (low, d) if fc < fd else (c, high)
        found = min(found, fc, fd)
    return found


class Pattern:
    """The pattern of one section by its definition, over machine positions in mm."""

    def __init__(self, setup, section, tolerance):
        self.setup, self.section, self.tolerance = setup, section, tolerance
        machine = setup.machine
        self.follower = float(machine["follower_radius"])
        self.ratio, self.base = float(machine["pattern_per_cutter"]), float(machine["base"])
        self.begin, self.end = (float(x) for x in setup.machine_reach(section))
        self.origin = float(setup.taper_at(section, 0))
        self.sense = 1 if machine["feeds"] == "tip-first" else -1

    def station(self, x):
        return self.origin + self.sense * x

    def offset(self, x):
        return self.setup.strips[self.section["name"]].cutter_offset(
            self.station(x), self.setup.machine["cutter_radius"])

    def height(self, x):
        """min over u of k c(u) + base + (r - sqrt(r^2 - (x-u)^2)); with k < 0 max, and minus."""
        sign = 1 if self.ratio > 0 else -1
        r = self.follower

        def rim(u):
            aside = min(abs(x - u), r)
            return aside * aside / (r + math.sqrt(r * r - aside * aside)) if r else 0.0

        if not r:
            return self.ratio * self.offset(x) + self.base
        # The follower touches no further aside than where its rim is as steep as its way.
        steep = max(abs(self.offset(x + d) - self.offset(x + d - 1)) for d in (-r, -r / 2, 0, r / 2, r)) * abs(self.ratio)
        reach = min(r, 3 * r * steep + 0.5)
        return sign * least(lambda u: sign * (self.ratio * self.offset(u) + self.base) + rim(u), x - reach, x + reach)


def check_dxf(path):
    """The outline's points; Differs if anything is amiss."""
    document = ezdxf.readfile(path)
    audit = document.audit()
    if audit.errors or audit.fixes:
        raise Differs(f"{path}: the auditor finds {audit.errors + audit.fixes}")
    if document.dxfversion != "AC1009":
        raise Differs(f"{path}: {document.dxfversion}")
    outlines, rules = [], 0
    for entity in document.modelspace():
        kind, layer = entity.dxftype(), entity.dxf.layer
        if (kind == "POLYLINE") != (layer == "OUTLINE_MM") or kind not in ("POLYLINE", "LINE", "TEXT"):
            raise Differs(f"{path}: {kind} on {layer}")
        if not document.layers.has_entry(layer):
            raise Differs(f"{path}: no layer {layer}")
        if kind == "POLYLINE":
            if not entity.is_closed:
                raise Differs(f"{path}: an open outline")
            outlines.append([(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices])
        if kind == "LINE":
            rules += abs(abs(entity.dxf.end.x - entity.dxf.start.x) - 100) < 2 * DRAWN
    if len(outlines) != 1 or rules != 1:
        raise Differs(f"{path}: {len(outlines)} outlines, {rules} rules")
    return outlines[0]


def check_svg(path, outline):
    root = xml.etree.ElementTree.parse(path).getroot()
    size = [root.get("width"), root.get("height")]
    box = [float(v) for v in root.get("viewBox").split()]
    if [f"{v:.5f}" for v in box[2:]] != [f"{float(s.removesuffix('mm')):.5f}" for s in size] or box[:2] != [0, 0] \
            or not all(s.endswith("mm") for s in size):
        raise Differs(f"{path}: {size} for {box}")
    polygons = root.findall(f".//{SVG}polygon")
    points = [tuple(float(v) for v in p.split(",")) for p in polygons[0].get("points").split()]
    if len(polygons) != 1 or len(points) != len(outline):
        raise Differs(f"{path}: another outline than the DXF's")
    for (x1, y1), (x2, y2), (u1, v1), (u2, v2) in zip(points, points[1:], outline, outline[1:]):
        if abs((x2 - x1) - (u2 - u1)) > 2 * DRAWN or abs((y2 - y1) + (v2 - v1)) > 2 * DRAWN:
            raise Differs(f"{path}: another outline than the DXF's")
    level = [e for e in root.iter(f"{SVG}line") if e.get("y1") == e.get("y2")]
    if [round(abs(float(e.get("x2")) - float(e.get("x1"))), 4) for e in level] != [100]:
        raise Differs(f"{path}: no rule of 100 mm")
    check_words(path, root, box)


def check_words(path, root, box):
    """No words over others, none off the sheet: with letters of 0.6 of their size."""
    boxes = []
    for text in root.iter(f"{SVG}text"):
        x, y, size = (float(text.get(k)) for k in ("x", "y", "font-size"))
        wide = 0.6 * size * len(text.text)
        left = -wide if text.get("text-anchor") == "end" else 0
        if text.get("transform"):
            if not re.fullmatch(r"rotate\(-90 \S+ \S+\)", text.get("transform")):
                raise Differs(f"{path}: words turned otherwise")
            boxes.append((x - 0.75 * size, y - left - wide, x + 0.2 * size, y - left))
        else:
            boxes.append((x + left, y - 0.75 * size, x + left + wide, y + 0.2 * size))
    for a in boxes:
        if a[0] < 0 or a[1] < 0 or a[2] > box[2] or a[3] > box[3]:
            raise Differs(f"{path}: words off the sheet")
    for a, b in itertools.combinations(boxes, 2):
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            raise Differs(f"{path}: words over words at {a}, {b}")


class Trial:
    def __init__(self, program, folder, call):
        self.program, self.call, self.out = program, call, os.path.join(folder, "out")
        self.counts, self.worst = collections.Counter(), collections.Counter()

    def run(self):
        self.done = subprocess.run([self.program] + self.call, capture_output=True, text=True,
                                   timeout=300, check=False)
        self.counts[f"status {self.done.returncode}"] += 1
        return self.done.returncode

    def check(self, setup, unit, tolerance, places):
        told = {s["section"]: s for s in json.loads(self.done.stdout)["sections"]}
        for section in setup.sections:
            slug = section["name"].lower().replace(" ", "-")
            pattern = Pattern(setup, section, tolerance)
            outline = check_dxf(os.path.join(self.out, f"pattern-{slug}.dxf"))
            check_svg(os.path.join(self.out, f"pattern-{slug}.svg"), outline)
            with open(os.path.join(self.out, f"cutter-{slug}.csv"), encoding="utf-8", newline="") as file:
                rows = list(csv.DictReader(io.StringIO(file.read(), newline="")))
            self._check_outline(pattern, outline, places)
            self._check_rows(pattern, rows, unit, places)
            self._check_passes(setup, section, rows, unit, told[section["name"]])
            self.counts["patterns"] += 1

    def _check_outline(self, pattern, outline, places):
        edge = outline[:-2]
        xs = [x for x, _ in edge]
        if xs != sorted(xs) or outline[-1][0] != xs[0] or outline[-2][0] != xs[-1]:
            raise Differs("the outline goes back")
        body = {y for _, y in outline[-2:]}
        below = all(y > max(body) for _, y in edge)
        if len(body) != 1 or below != (pattern.ratio > 0) or (not below and not all(y < min(body) for _, y in edge)):
            raise Differs("the straight edge is on the wrong side")
        if xs[0] > pattern.begin or xs[-1] < pattern.end:
            raise Differs("the outline is shorter than the strip")
        for k in range(places):
            x = xs[0] + (xs[-1] - xs[0]) * (k + 0.5) / places
            index = max(i for i, at in enumerate(xs[:-1]) if at <= x)
            (x1, y1), (x2, y2) = edge[index], edge[index + 1]
            slope = (y2 - y1) / (x2 - x1)
            off = abs(y1 + slope * (x - x1) - pattern.height(x)) / math.sqrt(1 + slope * slope)
            self.worst["outline off, share of its tolerance"] = max(
                self.worst["outline off, share of its tolerance"], off / pattern.tolerance)
            if off > pattern.tolerance + DRAWN:
                raise Differs(f"the outline is {off} mm off at {x} mm")
            self.counts["outline compared"] += 1

    def _check_rows(self, pattern, rows, unit, places):
        scale, half = PER_UNIT[unit], HALF_DIGIT[unit] * 1.2 + 1e-8
        last = [r for r in rows if r.get("pass", "1") == rows[-1].get("pass", "1")]
        for row, after in list(zip(last, last[1:]))[:: max(1, len(last) // places)]:
            x1, y1, x2, y2 = (float(r[f"{c}_{unit}"]) * scale for r in (row, after) for c in ("machine_at", "pattern"))
            off = y1 - pattern.height(x1)
            if abs(off) > half * max(1, abs(pattern.ratio)):
                raise Differs(f"pattern is {off} mm off: {row}")
            off = abs((y1 + y2) / 2 - pattern.height((x1 + x2) / 2))
            self.worst["between rows, mm"] = max(self.worst["between rows, mm"], off)
            if off > 1e-4:
                raise Differs(f"between {row} and the next row the pattern is {off} mm off")
            self.counts["rows compared"] += 1

    def _check_passes(self, setup, section, rows, unit, told):
        """One pattern for all passes; the cutter is lifted by the same everywhere."""
        _, passes = setup.passes(section)
        scale = PER_UNIT[unit]
        last = [r for r in rows if int(r.get("pass", "1")) == len(passes)]
        if len(rows) != len(last) * len(passes):
            raise Differs(f"{len(rows)} rows in {len(passes)} passes")
        for number, one_pass in enumerate(passes[:-1], 1):
            for row, final in zip([r for r in rows if int(r["pass"]) == number], last):
                same = all(row[f"{c}_{unit}"] == final[f"{c}_{unit}"] for c in ("machine_at", "taper_at", "strip_milled", "pattern"))
                lift = (float(row[f"cutter_offset_{unit}"]) - float(final[f"cutter_offset_{unit}"])) * scale
                if not same or abs(lift - float(one_pass.left)) > 2.1 * HALF_DIGIT[unit]:
                    raise Differs(f"pass {number}: {row}, the last {final}")
            if abs(told["passes"][number - 1][f"lift_{unit}"] * scale - float(one_pass.left)) > HALF_DIGIT[unit] * 1.1:
                raise Differs(f"pass {number}: lift told as {told['passes'][number - 1]}")


def random_case(task):
    from lengths import parse
    program, seed, number = task
    counts, worst, fault = collections.Counter(), collections.Counter(), None
    try:
        with tempfile.TemporaryDirectory(prefix="pattern-") as folder:
            case = RoutedCase(seed, number, "pattern-mill")
            paths = []
            for name, text in (("taper.yaml", case.taper_text), ("shop.yaml", case.shop_text)):
                paths.append(os.path.join(folder, name))
                with open(paths[-1], "w", encoding="utf-8") as file:
                    file.write(text)
            trial = Trial(program, folder, case.call(*paths, os.path.join(folder, "out")))
            status = trial.run()
            counts, worst = trial.counts, trial.worst
            try:
                setup = case.second_way()
                for section in setup.sections:
                    setup.passes(section)
            except Refused as why:
                if status != 2 or os.path.exists(trial.out):
                    raise Differs(f"exit status {status}, but {why}") from why
                return counts, worst, None
            if status not in (0, 1) or (status == 1 and "too large for" not in trial.done.stderr):
                raise Differs(f"exit status {status}: {trial.done.stderr[:300]}")
            tolerance = float(parse(case.machine.get("outline_tolerance", "0.0002 in"), case.unit))
            trial.check(setup, case.output_unit, tolerance, 6)
    except Differs as why:
        fault = f"case {number}: {why}"
    except Exception as why:  # a fault of this referee counts as one
        fault = f"case {number}: the referee failed: {why!r}"
    return counts, worst, fault


def shipped_cases(program, source):
    from model import SetUp
    from reading import load_file
    counts, worst, faults = collections.Counter(), collections.Counter(), []
    shop = os.path.join(source, "profiles", "shops", "saltmarsh-lane.yaml")
    for taper, unit in (("yarrow", "in"), ("teasel", "mm"), ("burdock", "mm")):
        path = os.path.join(source, "profiles", f"{taper}.yaml")
        with tempfile.TemporaryDirectory(prefix="pattern-") as folder:
            trial = Trial(program, folder, ["setup", path, "--shop", shop, "--machine", "copier", "--out",
                                            os.path.join(folder, "out"), "--units", unit, "--format", "json"])
            try:
                if trial.run() not in (0, 1):
                    raise Differs(trial.done.stderr[:300])
                setup = SetUp(load_file(path), load_file(shop), "copier")
                trial.check(setup, unit, 0.0002 * 25.4, 12)
                counts.update(trial.counts)
                worst |= trial.worst
            except (Differs, Refused) as why:
                faults.append(f"{taper}: {why}")
    return counts, worst, faults


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--source", required=True)
    options.add_argument("--count", type=int, default=40)
    options.add_argument("--seed", default="1")
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--only", type=int, help="this one case of the seed")
    given = options.parse_args()
    program, began = os.path.abspath(given.program), time.monotonic()
    numbers = range(given.count) if given.only is None else [given.only]
    counts, worst, faults = collections.Counter(), collections.Counter(), []
    if given.only is None:
        counts, worst, faults = shipped_cases(program, given.source)
    with multiprocessing.Pool(given.jobs) as pool:
        for more, worse, fault in pool.imap(random_case, [(program, given.seed, n) for n in numbers]):
            counts.update(more)
            worst |= worse
            if fault:
                faults.append(fault)
    for what, count in sorted(counts.items()):
        print(f"{count:10d}  {what}")
    for what, size in sorted(worst.items()):
        print(f"{size:10.7f}  {what}")
    print(f"{time.monotonic() - began:10.1f}  seconds, seed {given.seed}")
    for fault in faults[:SHOWN]:
        print(fault)
    if faults:
        print(f"{len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
