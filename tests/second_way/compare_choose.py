#!/usr/bin/python3
"""The ring that `choose` keeps against all rings there are, on random strips.

    compare_choose.py --program PATH --count N --seed S [--jobs J]

Which strips may be chosen, the aims of the best ring, the ring itself, and what it
achieves. Exit status 1 if anything differs.
"""

import sys

sys.dont_write_bytecode = True

from choose_trial import ChooseTrial
from many_trials import compare
from random_choice import ChooseCase


def trial(given, number, folder):
    return ChooseTrial(given.program, ChooseCase(given.seed, number), folder)


if __name__ == "__main__":
    sys.exit(compare(__doc__, trial))
