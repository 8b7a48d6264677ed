#!/usr/bin/python3
"""The program's tables against the second computation, on random tapers and shops.

    compare.py --program PATH --count N --seed S [--jobs J]

Every column of every row of stations.csv and cutter-<section>.csv is compared: text
exactly, numbers to the last printed digit after the second computation is rounded
half away from zero. Where the exact value lies within 1e-9 mm of a rounding tie both
neighbours are accepted, and counted. No case is left out. Exit status 1 if anything
differs; the first differences are printed, with the case to repeat each by.
"""

import sys

sys.dont_write_bytecode = True

from generate import Case
from many_trials import compare
from trial import Trial


def trial(given, number, folder):
    case = Case(given.seed, number, given.passes, given.fitted, given.curves)
    return Trial(given.program, case, folder)


def add_shares(options):
    options.add_argument("--passes", type=float, default=0.12, help="share of machines with passes")
    options.add_argument("--fitted", type=float, default=0.04, help="share of machines with fit: best")
    options.add_argument("--curves", type=float, default=0.0,
                         help="share of machines that are a pattern-mill or a cnc-mill")


if __name__ == "__main__":
    sys.exit(compare(__doc__, trial, add_shares, count=200))
