#!/usr/bin/python3
"""What `learn` says of finished sections against the second computation, on random rings.

    compare_learn.py --program PATH --count N --seed S [--jobs J]

Every value, every estimate with its interval, what is odd and what the shop file is
proposed to say. Exit status 1 if anything differs.
"""

import sys

sys.dont_write_bytecode = True

from learn_trial import LearnTrial
from many_trials import compare
from random_learning import LearnCase


def trial(given, number, folder):
    return LearnTrial(given.program, LearnCase(given.seed, number), folder)


if __name__ == "__main__":
    sys.exit(compare(__doc__, trial))
