#!/usr/bin/python3
"""Every call by which a command changes the disk fails once, or is the last one made.

    broken_calls.py --program stripwright --library FAULTY_CALLS

For each situation of situations.py the program is run with faulty_calls.cpp preloaded, again and
again: the first call fails (the disk is full, an error of the disk, no permission), then the
second, and so on to the last; then the same with the program killed there. Whatever happens each
file must be whole, as it was or as it shall be. After a failure the exit status must tell (3; 0
only if all was written all the same), with a message, and nothing may be left beside; after a kill
the same command, without --force, must go through and take away what was left.

Last, `check --ask` the same way: no reading whose verdict was shown may be lost.
"""

import argparse
import errno
import os
import pathlib
import subprocess
import sys
import tempfile

from situations import LEFTOVER, SETTINGS, SITUATIONS, Failure, run, snapshot

# A preload is not for the sanitizers' runtime, which wants to be first.
ERRORS = (errno.ENOSPC, errno.EIO, errno.EACCES)


def disturbed(program, library, folder, call, at, how):
    return run(program, folder, call, LD_PRELOAD=library, FAULTY_AT=str(at), FAULTY_HOW=str(how))


def calls_made(program, library, folder, call):
    log = folder.with_name("calls")
    status, errors = run(program, folder, call, LD_PRELOAD=library, FAULTY_LOG=str(log))
    if status not in (0, 1) or not log.exists():
        raise Failure(f"not disturbed, and yet exit status {status}: {errors}")
    names = log.read_text().split()
    log.unlink()
    return names


def break_once(program, library, situation, folder, at, name, how):
    try:
        break_and_check(program, library, situation, folder, at, how)
    except Failure as fault:
        raise Failure(f"call {at} ({name}), {how if how == 'kill' else os.strerror(how)}: {fault}") from fault


def break_and_check(program, library, situation, folder, at, how):
    situation.restore(folder)
    status, errors = disturbed(program, library, folder, situation.call, at, how)
    what = situation.name
    if "internal failure" in errors:
        raise Failure(f"{what}: {errors}")
    if how == "kill":
        if status != -9:
            raise Failure(f"{what}: exit status {status}")
        situation.check(folder, killed=True)
        status, errors = run(program, folder, situation.call)
        # A new file that was just in its place is there already.
        there = status == 2 and "is there already" in errors
        if status not in (0, 1) and not there:
            raise Failure(f"{what}: run again: exit status {status}: {errors}")
        situation.check_done(folder, killed=there)
        return
    situation.check(folder)
    if status in (0, 1):
        situation.check_done(folder)
    elif status != 3:
        raise Failure(f"{what}: exit status {status}: {errors}")
    elif not errors.strip():
        raise Failure(f"{what}: not a word about it")


def break_all(program, library, situation):
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        folder = pathlib.Path(top) / "here"
        folder.mkdir()
        situation.make(program, folder)
        names = calls_made(program, library, folder, situation.call)
        for at, name in enumerate(names, 1):
            for how in ERRORS + ("kill",):
                # What cannot be taken away again stays: that is no fault of the program.
                if name == "unlink" and how != "kill":
                    continue
                break_once(program, library, situation, folder, at, name, how)
    return len(names)


ASK = ["check", "nettle.yaml", "readings.csv", "--shop", "saltmarsh-lane", "--strips", "1",
       "--heights", "a", "--ask"]
TYPED = "0.0355\n0.0431\nback\n0.0429\n0.0504\n"


def ask(program, folder, **settings):
    done = subprocess.run([program] + ASK, cwd=folder, env=SETTINGS | settings, input=TYPED.encode(),
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=60)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def readings_in(folder):
    path = folder / "readings.csv"
    if not path.exists():
        return []
    lines = path.read_text().splitlines()
    rows = [line for line in lines[1:] if line and not line.startswith("#")]
    for row in rows:
        if row.count(",") != lines[0].count(","):
            raise Failure(f"check --ask: half a row: {row!r}")
    return [row.split(",")[2] for row in rows]


def break_ask(program, library):
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        folder = pathlib.Path(top) / "here"
        folder.mkdir()
        (folder / "nettle.yaml").write_text(SITUATIONS[0].files["nettle.yaml"])
        log = pathlib.Path(top) / "calls"
        status, _, errors = ask(program, folder, LD_PRELOAD=library, FAULTY_LOG=str(log))
        names = log.read_text().split()
        if readings_in(folder) != ["0.0355", "0.0429", "0.0504"]:
            raise Failure(f"check --ask: {status}: {readings_in(folder)}: {errors}")
        states = [[], ["0.0355"], ["0.0355", "0.0431"], ["0.0355"], ["0.0355", "0.0429"],
                  ["0.0355", "0.0429", "0.0504"]]
        for at, name in enumerate(names, 1):
            for how in ERRORS + ("kill",):
                for path in folder.glob("*.csv"):
                    path.unlink()
                for path in folder.glob(".*"):
                    path.unlink()
                status, shown, errors = ask(program, folder, LD_PRELOAD=library, FAULTY_AT=str(at),
                                            FAULTY_HOW=str(how))
                answered = sum(line.split(" ")[0] in ("right", "THICK", "THIN", "UNSURE", "taken")
                               for line in shown.splitlines())
                # The summary at the end has such lines too.
                answered = min(answered, len(states) - 1)
                kept = readings_in(folder)
                if kept not in states[answered:answered + 2]:
                    raise Failure(f"check --ask: call {at} ({name}) {how}: {answered} answered, kept {kept}")
                if how != "kill" and status != 3 and answered != len(states) - 1:
                    raise Failure(f"check --ask: call {at} ({name}) {how}: exit status {status}: {errors}")
                left = [each for each in snapshot(folder) if LEFTOVER.search(each)]
                if how != "kill" and left and name != "unlink":
                    raise Failure(f"check --ask: call {at} ({name}) {how}: left {left}")
    return len(names)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--library", required=True)
    arguments = parser.parse_args()
    program, library = (os.path.abspath(each) for each in (arguments.program, arguments.library))
    try:
        for situation in SITUATIONS:
            print(f"{situation.name}: each of {break_all(program, library, situation)} calls broken")
        print(f"check --ask: each of {break_ask(program, library)} calls broken")
    except Failure as fault:
        print(fault)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
