"""What the comparisons have in common: many random cases, one after the other or side by side,
what differed, what they were made of."""

import argparse
import multiprocessing
import os
import shutil
import subprocess
import tempfile
import time
import traceback

from trial import Outcome


def one(task):
    """One case, whatever happens in it: nothing is left out of the count."""
    given, number, make_trial = task
    folder = tempfile.mkdtemp(prefix="second-way-")
    outcome = Outcome()
    try:
        trial = make_trial(given, number, folder)
        outcome = trial.outcome
        trial.run()
    except subprocess.TimeoutExpired:
        outcome.fail(number, "no end within a minute")
    except Exception as why:  # a fault of this referee counts as a difference
        if given.keep:
            traceback.print_exc()
        outcome.fail(number, f"the second computation failed: {why!r}")
    outcome.counts["cases"] = 1
    if given.keep and outcome.differences:
        print(f"case {number} kept in {folder}", flush=True)
    else:
        shutil.rmtree(folder, ignore_errors=True)
    return outcome


def compare(what, make_trial, add_options=None, count=100, too_few=None):
    """The exit status, for a script whose text is `what`. A trial is made from what was called with, the
    case's number and its folder; `too_few` says of all counts, and of how many cases were asked for,
    why they are no agreement, if so."""
    options = argparse.ArgumentParser(description=what, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True)
    options.add_argument("--count", type=int, default=count)
    options.add_argument("--seed", default="1")
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--only", type=int, help="this one case of the seed")
    options.add_argument("--keep", action="store_true", help="leave the files of cases that differ")
    options.add_argument("--show", type=int, default=20, help="so many differences")
    options.add_argument("--tell", action="store_true", help="what the cases were made of")
    if add_options:
        add_options(options)
    given = options.parse_args()
    numbers = range(given.count) if given.only is None else [given.only]
    given.program = os.path.abspath(given.program)
    if not os.access(given.program, os.X_OK):
        options.error(f"cannot run {given.program}")
    tasks = [(given, number, make_trial) for number in numbers]
    began, total = time.monotonic(), Outcome()
    if given.jobs > 1 and len(tasks) > 1:
        with multiprocessing.Pool(given.jobs) as pool:
            for outcome in pool.imap(one, tasks, chunksize=4):
                total.add(outcome)
    else:
        for task in tasks:
            total.add(one(task))
    return _tell(total, given, len(tasks), time.monotonic() - began, too_few)


def _tell(total, given, wanted, seconds, too_few):
    """The counts, the first differences; the exit status."""
    for what, count in sorted(total.counts.items()):
        print(f"{count:10d}  {what}")
    if given.tell:
        print("what they were made of:")
        for what, count in sorted(total.made_of.items()):
            print(f"{count:10d}  {what}")
    print(f"{seconds:10.1f}  seconds, seed {given.seed}")
    if total.counts["cases"] != wanted:
        print(f"only {total.counts['cases']} of {wanted} cases were looked at")
        return 1
    why = too_few(total.counts, wanted) if too_few else None
    if why:
        print(why)
        return 1
    for difference in total.differences[: given.show]:
        print(difference)
    rest = total.counts["differences"] - given.show
    if rest > 0:
        print(f"and {rest} more")
    if total.differences:
        print("to repeat one, and keep its files: the same call with --only NUMBER --keep")
    return 1 if total.differences else 0
