#!/usr/bin/python3
"""Names from files cannot break out of a program's comments, nor out of a drawing.

    check_comments.py --program PATH --count N --seed S

A taper and a shop with names and notes made to do harm, and with random ones: the
program has the same moves as with plain names, each line is ASCII, shorter than 200
characters and a comment or words (ngc.py), the interpreter runs it with nothing but
comments added; the DXF and the SVG are read without a complaint and have the same
outline.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

import ngc
from check_patterns import Differs, check_dxf, check_svg

HARMFUL = [
    "Yarrow) G0 Z-9 (", "Yarrow)\nG0 Z-9\n(", "Yarrow\r\nM2", "MSG, stop here", "(MSG, stop)", "%", ";", "a;b%c",
    "((((((((", "))))))))", "print, #1", "debug,x", "M2", "N10 G0 X0", "\u2212\u00d7\u00e9\u4e2d\U0001f3a3", "a" * 200,
    "a " * 99, " " * 199, "\u00e9" * 190, "a" * 5000, "!~?$X", "/G0 Z-5", "#5220=3", "o100 sub", "<b>&amp;\"'</b>", "]]>", "<!--",
    "%%d %%u ^J", "0\nSECTION", "\x07", "\u0085\u2028", "-->", "{}", "..", "=1+1",
]
ALPHABET = "()%;!~ MSGg0zZx-9,.#<>&\"'^=$/\u00e9\u2212\u4e2d\U0001f3a3"


def quoted(text):
    return json.dumps(text, ensure_ascii=False)


def taper(name, about):
    return (f"format: stripwright-taper-1\nname: {quoted(name)}\nabout: {quoted(about)}\nunit: mm\n"
            "taper: {0: 1.8, 400: 3.1, 900: 5.6}\nsections:\n  tip: {from: 0, to: 450}\n")


def shop(name):
    return (f"format: stripwright-shop-1\nname: {quoted(name)}\nunit: mm\nmachines:\n"
            "  slide: {kind: cnc-mill, cutter_radius: 30, feed: 900, spindle_rpm: 9000, clear_height: 20}\n"
            "  copier: {kind: pattern-mill, cutter_radius: 30, follower_radius: 5, pattern_per_cutter: 2, base: 12}\n")


class Names:
    """One taper and one shop under these names, set up on both machines."""

    def __init__(self, program, folder, names):
        self.folder, self.status = folder, 0
        for file, text in (("taper.yaml", taper(names[0], names[1])), ("shop.yaml", shop(names[2]))):
            with open(os.path.join(folder, file), "w", encoding="utf-8") as out:
                out.write(text)
        for machine in ("slide", "copier"):
            done = subprocess.run([program, "setup", "taper.yaml", "--shop", "shop.yaml", "--machine", machine,
                                   "--out", f"out/{machine}"],
                                  capture_output=True, timeout=60, check=False, cwd=folder)
            self.status = self.status or done.returncode
            self.said = done.stderr.decode("utf-8", "replace")

    def moves(self):
        path = os.path.join(self.folder, "out", "slide", "tip.ngc")
        with open(path, "rb") as file:
            program = ngc.Program(file.read().decode("ascii"))
        if ngc.interpreter():
            ngc.compare(program, ngc.run(path, self.folder))
        return [(m.fast, m.end) for m in program.moves]

    def outline(self):
        found = check_dxf(os.path.join(self.folder, "out", "copier", "pattern-tip.dxf"))
        check_svg(os.path.join(self.folder, "out", "copier", "pattern-tip.svg"), found)
        return found


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--count", type=int, default=100)
    options.add_argument("--seed", default="1")
    given = options.parse_args()
    program, rng = os.path.abspath(given.program), random.Random(given.seed)
    trials = [["Yarrow", "a rod", "a shop"]] + [[text] * 3 for text in HARMFUL]
    trials += [["".join(rng.choice(ALPHABET) for _ in range(rng.choice((3, 20, 150)))) for _ in range(3)]
               for _ in range(given.count)]
    wanted, refused, faults = None, 0, []
    for names in trials:
        with tempfile.TemporaryDirectory(prefix="names-") as folder:
            try:
                found = Names(program, folder, names)
                if found.status == 2 and found.said and not os.path.exists(os.path.join(folder, "out")):
                    refused += 1  # the readers take no such name
                    continue
                if found.status != 0:
                    raise Differs(f"exit status {found.status}: {found.said[:200]}")
                seen = (found.moves(), found.outline())
                wanted = wanted or seen
                if seen != wanted:
                    raise Differs("other moves, or another outline")
            except (Differs, ngc.Refused, UnicodeDecodeError, xml.etree.ElementTree.ParseError) as why:
                faults.append(f"{[n[:60] for n in names]}: {why}")
    print(f"{len(trials)} sets of names, {refused} of them refused by the readers, {len(faults)} faults")
    for fault in faults[:20]:
        print(fault)
    if faults or wanted is None or refused > len(trials) // 5:
        return 1
    if not ngc.interpreter():
        print("no rs274 here (Debian: linuxcnc-uspace): its part was left out")
        return 77
    return 0


if __name__ == "__main__":
    sys.exit(main())
