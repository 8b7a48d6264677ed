#!/usr/bin/python3
"""What `check` and `correct` say of readings, against the second computation.

    compare_readings.py --program PATH --what strips|groove|correct --count N --seed S [--jobs J]

Random tapers and shops, with random readings of strips, glued sections and set grooves. Every
figure of the JSON and CSV outputs is compared: words exactly, numbers to the last printed digit.
Exit status 1 if anything differs; the first differences are printed, with the case to repeat
each by.
"""

import sys

sys.dont_write_bytecode = True

from check_trial import CheckTrial
from correct_trial import CorrectTrial
from groove_trial import GrooveTrial
from many_trials import compare
from random_readings import CorrectCase, GrooveCase, ReadingsCase

# What is read: the trial and the case for it.
TRIALS = {
    "strips": (CheckTrial, ReadingsCase),
    "groove": (GrooveTrial, GrooveCase),
    "correct": (CorrectTrial, CorrectCase),
}


def trial(given, number, folder):
    make_trial, make_case = TRIALS[given.what]
    return make_trial(given.program, make_case(given.seed, number), folder)


def add_what(options):
    options.add_argument("--what", choices=list(TRIALS), default="strips",
                         help="strips and sections (check), the set groove (check, correct), trial strips (correct)")


def too_few(counts, wanted):
    away = sum(count for what, count in counts.items() if what.startswith("cases left out") or "refused" in what)
    if wanted >= 100 and away > wanted / 10:
        return f"{away} of {wanted} cases were left out or refused: too many to say that all agrees"
    return None


if __name__ == "__main__":
    sys.exit(compare(__doc__, trial, add_what, too_few=too_few))
