#!/usr/bin/python3
"""What `check` and `correct` say of readings, against the second computation.

    compare_readings.py --program PATH --what strips|groove|correct --count N --seed S [--jobs J]

Random tapers and shops, with random readings of strips, glued sections and set grooves. Every
figure of the JSON and CSV outputs is compared: words exactly, numbers to the last printed digit.
Exit status 1 if anything differs; the first differences are printed, with the case to repeat
each by.
"""

import argparse
import multiprocessing
import os
import shutil
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True

from check_trial import CheckTrial
from correct_trial import CorrectTrial
from groove_trial import GrooveTrial
from random_readings import CorrectCase, GrooveCase, ReadingsCase
from trial import Outcome


# What is read: the trial and the case for it.
TRIALS = {
    "strips": (CheckTrial, ReadingsCase),
    "groove": (GrooveTrial, GrooveCase),
    "correct": (CorrectTrial, CorrectCase),
}


def trial_of(program, seed, number, what, folder):
    trial, case = TRIALS[what]
    return trial(program, case(seed, number), folder)


def one(task):
    """One case, whatever happens in it: nothing is left out of the count."""
    program, seed, number, what, keep = task
    folder = tempfile.mkdtemp(prefix="second-way-")
    outcome = Outcome()
    try:
        trial = trial_of(program, seed, number, what, folder)
        outcome = trial.outcome
        trial.run()
    except subprocess.TimeoutExpired:
        outcome.fail(number, "no end within a minute")
    except Exception as why:  # a fault of this referee counts as a difference
        if keep:
            raise
        outcome.fail(number, f"the second computation failed: {why!r}")
    outcome.counts["cases"] = 1
    if keep and outcome.differences:
        print(f"case {number} kept in {folder}", flush=True)
    else:
        shutil.rmtree(folder, ignore_errors=True)
    return outcome


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--count", type=int, default=100)
    options.add_argument("--seed", default="1")
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--what", choices=list(TRIALS), default="strips",
                         help="strips and sections (check), the set groove (check, correct), trial strips (correct)")
    options.add_argument("--only", type=int, help="this one case of the seed")
    options.add_argument("--keep", action="store_true", help="leave the files of cases that differ")
    options.add_argument("--show", type=int, default=20, help="so many differences")
    options.add_argument("--tell", action="store_true", help="what the cases were made of")
    given = options.parse_args()
    numbers = range(given.count) if given.only is None else [given.only]
    program = os.path.abspath(given.program)
    if not os.access(program, os.X_OK):
        options.error(f"cannot run {program}")
    tasks = [(program, given.seed, n, given.what, given.keep) for n in numbers]
    began, total = time.monotonic(), Outcome()
    if given.jobs > 1 and len(tasks) > 1:
        with multiprocessing.Pool(given.jobs) as pool:
            for outcome in pool.imap(one, tasks, chunksize=4):
                total.add(outcome)
    else:
        for task in tasks:
            total.add(one(task))
    for what, count in sorted(total.counts.items()):
        print(f"{count:10d}  {what}")
    if given.tell:
        print("what they were made of:")
        for what, count in sorted(total.made_of.items()):
            print(f"{count:10d}  {what}")
    print(f"{time.monotonic() - began:10.1f}  seconds, seed {given.seed}")
    if total.counts["cases"] != len(tasks):
        print(f"only {total.counts['cases']} of {len(tasks)} cases were looked at")
        return 1
    away = sum(count for what, count in total.counts.items() if what.startswith("cases left out") or "refused" in what)
    if len(tasks) >= 100 and away > len(tasks) / 10:
        print(f"{away} of {len(tasks)} cases were left out or refused: too many to say that all agrees")
        return 1
    for difference in total.differences[: given.show]:
        print(difference)
    rest = total.counts["differences"] - given.show
    if rest > 0:
        print(f"and {rest} more")
    if total.differences:
        print("to repeat one, and keep its files: the same call with --only NUMBER --keep")
    return 1 if total.differences else 0


if __name__ == "__main__":
    sys.exit(main())
