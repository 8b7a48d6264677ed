#!/usr/bin/python3
"""`check --ask` killed at random moments while readings are typed.

    kill_ask.py --program stripwright [--count N] [--seed N]

Readings are typed through a pipe, with a `back` now and then, and the program is killed
(SIGKILL) N times, each time somewhere in what a whole file takes. After each kill the file
must be whole, and hold just what was answered for, or that and the one that was typed next:
no reading whose verdict was shown is lost, none that was shown as taken back is there again,
none is there twice. The next run has to go on behind the last one. When a file is full, `check`
has to read it with as many readings as were typed. The file is read here by Python's csv.

A killed program leaves its writes to the kernel, so this does not prove that they would
survive a power cut; that each is brought to the disk before its verdict is in the code.
"""

import argparse
import csv
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import threading
import time

SOURCE = pathlib.Path(__file__).resolve().parents[2]
SETTINGS = os.environ | {"STRIPWRIGHT_PROFILES": str(SOURCE / "profiles")}
STRIPS = 3
STATIONS = 10  # of the shipped rod's tip
CALL = ["check", "yarrow", "readings.csv", "--shop", "saltmarsh-lane", "--section", "tip",
        "--strips", str(STRIPS), "--heights", "a", "--ask"]
ANSWER = re.compile(r"^(?:(right|THICK|THIN|UNSURE) .*|(taken back): .*)$", re.M)
ALREADY = re.compile(r"^(\d+) of (\d+) are in the file already", re.M)
PROMPT = re.compile(r"(\d+) of (\d+): tip ")


class Failure(Exception):
    """Something that must not be."""


def rows_of(path):
    """The readings that stand in a file, in order; it must be whole."""
    if not path.exists():
        return []
    text = path.read_bytes().decode("ascii")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    if lines[0] != "strip,at_in,a_in,b_in,c_in":
        raise Failure(f"header {lines[0]!r}")
    rows = list(csv.reader(lines[1:]))
    for row in rows:
        if len(row) != 5 or not re.fullmatch(r"0\.064\d{3}", row[2]) or row[3:] != ["", ""]:
            raise Failure(f"row {row}")
    places = [(row[0], row[1]) for row in rows]
    if len(set(places)) != len(places):
        raise Failure("a place that was read twice")
    return [row[2] for row in rows]


def typed_from(kept, chance):
    """What is typed from here on: new readings, each unlike all others, and sometimes `back`."""
    actions, state, serial = [], list(kept), chance.randrange(1000)
    while len(state) < STRIPS * STATIONS:
        if state and chance.random() < 0.15:
            actions.append("back")
            state.pop()
        else:
            serial = (serial + 1) % 1000
            while f"0.064{serial:03d}" in state:
                serial = (serial + 1) % 1000
            actions.append(f"0.064{serial:03d}")
            state.append(actions[-1])
    return actions


def after(state, action):
    return state[:-1] if action == "back" else state + [action]


def run_once(program, folder, actions, milliseconds):
    """Types until killed, or to the end; what was printed, and whether it was killed."""
    child = subprocess.Popen([program] + CALL, cwd=folder, env=SETTINGS, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                             stderr=subprocess.PIPE)
    printed = []
    reader = threading.Thread(target=lambda: printed.append(child.stdout.read()))
    reader.start()
    begin = time.monotonic()
    try:
        child.stdin.write("".join(f"{action}\n" for action in actions).encode())
        child.stdin.close()
    except BrokenPipeError:
        pass
    try:
        child.wait(max(0.0, milliseconds / 1000 - (time.monotonic() - begin)))
        killed = False
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait()
        killed = True
    reader.join()
    errors = child.stderr.read().decode()
    child.stderr.close()
    child.stdout.close()
    if not killed and child.returncode not in (0, 1):
        raise Failure(f"exit status {child.returncode}: {errors}")
    return printed[0].decode(), killed


def check_begin(shown, before):
    already = ALREADY.search(shown)
    if already and int(already[1]) != len(before):
        raise Failure(f"it says {already[1]} readings are there, and {len(before)} are")
    prompt = PROMPT.search(shown)
    if prompt and (int(prompt[1]), int(prompt[2])) != (len(before) + 1, STRIPS * STATIONS):
        raise Failure(f"after {len(before)} readings it asks for {prompt[0]}")


def one_kill(program, folder, before, chance, longest):
    """A run on top of `before`, killed within so many milliseconds; what the file then holds, and
    whether it was killed."""
    actions = typed_from(before, chance)
    shown, killed = run_once(program, folder, actions, chance.uniform(0, longest))
    check_begin(shown, before)
    answers = ANSWER.findall(shown)
    # The summary behind the last prompt has verdicts too.
    answered = answers[:len(actions)]
    state = list(before)
    for (verdict, taken_back), action in zip(answered, actions):
        if bool(taken_back) != (action == "back"):
            raise Failure(f"{action} was answered by {verdict or taken_back}")
        state = after(state, action)
    there = rows_of(folder / "readings.csv")
    allowed = [state]
    if killed and len(answered) < len(actions):
        allowed.append(after(state, actions[len(answered)]))
    if there not in allowed:
        raise Failure(f"answered for {state}, and the file holds {there}")
    return there, killed


def check_full(program, folder, readings):
    judged = subprocess.run([program] + CALL[:7] + ["--format", "csv"], cwd=folder, env=SETTINGS,
                            capture_output=True, text=True, check=False)
    if judged.returncode not in (0, 1):
        raise Failure(judged.stderr)
    rows = list(csv.DictReader(judged.stdout.splitlines()))
    if sorted(float(row["measured_in"]) for row in rows) != sorted(float(each) for each in readings):
        raise Failure("check reads other readings than were typed")


def milliseconds_for_a_file(program, chance):
    """How long one takes that is not killed."""
    with tempfile.TemporaryDirectory() as name:
        begin = time.monotonic()
        run_once(program, pathlib.Path(name), typed_from([], chance), 1e6)
        return 1000 * (time.monotonic() - begin)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    chance = random.Random(options.seed)
    longest = milliseconds_for_a_file(program, chance)
    kills = files = 0
    while kills < options.count:
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            state = []
            try:
                while len(state) < STRIPS * STATIONS:
                    state, killed = one_kill(program, folder, state, chance, longest)
                    kills += killed
                check_full(program, folder, state)
            except Failure as failure:
                print(f"after {kills} kills, seed {options.seed}: {failure}")
                print((folder / "readings.csv").read_text(encoding="utf-8", errors="replace"))
                return 1
        files += 1
    print(f"{kills} kills over {files} files: nothing lost")
    return 0


if __name__ == "__main__":
    sys.exit(main())
