#!/usr/bin/python3
"""Commands that write files, killed at random moments.

    kill_writes.py --program stripwright --library FAULTY_CALLS [--count N] [--between N] [--seed N]

For each situation of situations.py in turn the program is started and killed (SIGKILL) after a
random part of the time it takes. Each file must then be whole, as it was or as it shall be, and
the same command run again must go through without --force. A kill after which some of the files
are new and some still old fell between two renames; with --between there must be so many of
them. The calls that change the disk are slowed down (faulty_calls.cpp), as on a slow disk:
otherwise hardly a kill would fall between them.
"""

import argparse
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time

from situations import SETTINGS, SITUATIONS, Failure, run

SLOW = {"FAULTY_SLOW": "400"}


def start_and_kill(program, folder, call, seconds, settings):
    """Whether it was killed before it ended."""
    child = subprocess.Popen([program] + call, cwd=folder, env=SETTINGS | settings, stdin=subprocess.DEVNULL,
                             stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(seconds)  # wait() with a timeout looks only now and then
    killed = child.poll() is None
    if killed:
        child.kill()
    child.wait()
    return killed


class Kills:
    def __init__(self, program, library, situation, top):
        self.program, self.situation = program, situation
        self.settings = SLOW | {"LD_PRELOAD": library}
        self.folder = pathlib.Path(top) / "here"
        self.folder.mkdir()
        situation.make(program, self.folder)
        self.killed = self.between = 0
        begin = time.monotonic()
        run(program, self.folder, situation.call, **self.settings)
        self.longest = time.monotonic() - begin

    def one(self, chance):
        situation = self.situation
        situation.restore(self.folder)
        seconds = chance.uniform(0, self.longest)
        if not start_and_kill(self.program, self.folder, situation.call, seconds, self.settings):
            # (A run that ended just before is not counted.)
            situation.check_done(self.folder)
            return
        self.killed += 1
        new = situation.check(self.folder, killed=True)
        wanted = {name for name in situation.before.keys() | situation.after.keys()
                  if situation.before.get(name) != situation.after.get(name)}
        self.between += 0 < len(new) < len(wanted)
        status, errors = run(self.program, self.folder, situation.call)
        there = status == 2 and "is there already" in errors
        if status not in (0, 1) and not there:
            raise Failure(f"{situation.name}: run again after a kill: exit status {status}: {errors}")
        situation.check_done(self.folder, killed=there)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--library", required=True)
    parser.add_argument("--count", type=int, default=2000, help="kills")
    parser.add_argument("--between", type=int, default=0, help="of them between two renames, at least")
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    program, library = (os.path.abspath(each) for each in (arguments.program, arguments.library))
    chance = random.Random(arguments.seed)
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        try:
            kinds = []
            for i, situation in enumerate(SITUATIONS):
                place = pathlib.Path(top) / str(i)
                place.mkdir()
                kinds.append(Kills(program, library, situation, place))
            # How many fall between two renames is up to the machine: on until there are enough.
            while (killed := sum(kind.killed for kind in kinds)) < arguments.count or (
                    sum(kind.between for kind in kinds) < arguments.between and killed < 4 * arguments.count):
                for kind in kinds:
                    kind.one(chance)
        except Failure as fault:
            print(f"seed {arguments.seed}: {fault}")
            return 1
    for kind in kinds:
        print(f"{kind.situation.name}: {kind.killed} kills, {kind.between} between two renames")
    between = sum(kind.between for kind in kinds)
    print(f"all: {sum(kind.killed for kind in kinds)} kills, {between} between two renames; nothing lost")
    if between < arguments.between:
        print(f"only {between} kills fell between two renames")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
