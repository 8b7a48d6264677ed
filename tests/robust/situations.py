"""Commands that write, each with what lies in the folder before: for the tests that break them.

A situation is made once in an empty folder; `before` and `after` are then all its files before
and after an undisturbed call, and every disturbed one has to leave each file as one or the other.
"""

import os
import pathlib
import re
import shutil
import subprocess

SOURCE = pathlib.Path(__file__).resolve().parents[2]
TIMEOUT_SECONDS = 60
SETTINGS = {name: value for name, value in os.environ.items()
            if name in ("PATH", "ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS")} | {
    "STRIPWRIGHT_PROFILES": str(SOURCE / "profiles"), "LC_ALL": "C.UTF-8", "TZ": "UTC",
    "SOURCE_DATE_EPOCH": "1767225600"}

# What a killed run may leave beside whole files, and the next one takes away.
LEFTOVER = re.compile(r"(^|/)\.[^/]+\.\d+\.tmp$")
# The note of what is about to be written: a run that fails half-way leaves it as well.
NOTE = re.compile(r"(^|/)\.setup\.json\.pending$")
# Copies of what a file was: a second one is made where a first is there.
COPY = re.compile(r"\.bak\d*$")

TAPER = """# Mine.
format: stripwright-taper-1
name: Nettle   # as in the hedge
unit: in
taper: {0: 0.070, 5: 0.085, 10: 0.100, 15: %s}
"""

SHOP = """# Mine.
format: stripwright-shop-1
name: Lane end
unit: in
allowances:
  varnish: 0.0015   # guessed
  cleanup: 0.0005
  glue_line: 0.0015
  apex_relief: 0
  enamel: {thickness: 0.004, off: before-milling, face: flat}
tolerances: {strip: 0.001, flats: 0.002}
gauges:
  caliper: {resolution: 0.0005, standard_uncertainty: 0.0003}
"""

RING = """format: stripwright-ring-1
taper: nettle.yaml
section: rod
unit: in
strips: [s1, s2, s3, s4, s5, s6]
readings: {ready: strips.csv, glued: glued.csv, bare: bare.csv}
"""


def strips(offset=0.0):
    rows = ["strip,at_in,a_in"]
    for k in range(1, 7):
        for at, height in ((0, 0.0355), (5, 0.0425), (10, 0.0505), (15, 0.0580)):
            rows.append(f"s{k},{at},{height + offset + 0.0005 * (k % 2):.4f}")
    return "\n".join(rows) + "\n"


def flats(name, offset):
    rows = ["piece,at_in,f1_in,f2_in,f3_in"]
    for at, height in ((0, 0.072), (5, 0.087), (10, 0.1035), (15, 0.119)):
        rows.append(f"{name},{at}," + ",".join(f"{height + offset + d:.4f}" for d in (0, 0.0005, 0.0)))
    return "\n".join(rows) + "\n"


class Situation:
    """Files, calls that make more of them, and the call to be disturbed."""

    def __init__(self, name, files, prepare, call, change=None):
        self.name, self.files, self.prepare, self.call = name, files, prepare, call
        self.change = change or {}

    def make(self, program, folder):
        """Lays out `folder`, and takes down what an undisturbed call makes of it."""
        for name, text in self.files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        for call in self.prepare:
            self.run_checked(program, folder, call)
        for name, text in self.change.items():
            (folder / name).write_text(text)
        self.before = snapshot(folder)
        self.run_checked(program, folder, self.call)
        self.after = snapshot(folder)
        self.restore(folder)
        if self.before == self.after:
            raise Failure(f"{self.name}: the call changes nothing")

    def run_checked(self, program, folder, call):
        status, errors = run(program, folder, call)
        if status not in (0, 1):
            raise Failure(f"{self.name}: {' '.join(call)}: exit status {status}\n{errors}")

    def restore(self, folder):
        shutil.rmtree(folder)
        for name, content in self.before.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)

    def check(self, folder, killed=False, done=False):
        """Each file whole, as it was or as it shall be; the names of those that are new."""
        there = snapshot(folder)
        new = set()
        for name in self.before.keys() | self.after.keys() | there.keys():
            now, old, wanted = (each.get(name) for each in (there, self.before, self.after))
            if now == wanted:
                if old != wanted:
                    new.add(name)
                continue
            if now == old:
                continue
            if now is not None and COPY.search(name) and now in self.before.values():
                continue
            if now is not None and killed and LEFTOVER.search(name):
                continue
            if now is not None and not done and NOTE.search(name):
                continue
            raise Failure(f"{self.name}: {name} is {'gone' if now is None else 'neither old nor new'}"
                          + (f": {now[:200]!r}" if now is not None else ""))
        return new

    def check_done(self, folder, killed=False):
        """All as an undisturbed call leaves it, apart from copies of what was there before."""
        self.check(folder, killed, done=True)
        there = snapshot(folder)
        lacking = [name for name, content in self.after.items() if there.get(name) != content
                   and not COPY.search(name)]
        lacking += [name + " gone" for name in self.before if name not in self.after and name in there]
        if lacking:
            raise Failure(f"{self.name}: not as it should be afterwards: {', '.join(lacking)}")


class Failure(Exception):
    """Something that must not be."""


def snapshot(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*")
            if path.is_file() and not path.is_symlink()}


def run(program, folder, call, **settings):
    """Exit status and what went to standard error."""
    done = subprocess.run([program] + call, cwd=folder, env=SETTINGS | settings, stdin=subprocess.DEVNULL,
                          stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, timeout=TIMEOUT_SECONDS)
    return done.returncode, done.stderr.decode()


ROD = {"nettle.yaml": TAPER % "0.116", "shop.yaml": SHOP}
SETUP = ["setup", "nettle.yaml", "--shop", "saltmarsh-lane", "--machine", "steel form"]

TWO_SECTIONS = TAPER + "sections: {tip: {from: 0, to: 7}, butt: {from: 7, to: 15}}\n"

SITUATIONS = [
    Situation("setup, nothing there yet", ROD, [], SETUP),
    Situation("setup over an older one", ROD, [SETUP], SETUP, {"nettle.yaml": TAPER % "0.120"}),
    Situation("setup of one section, the other's files outdated",
              {"nettle.yaml": TWO_SECTIONS % "0.116"}, [SETUP], SETUP + ["--section", "tip"],
              {"nettle.yaml": TWO_SECTIONS % "0.120"}),
    Situation("taper derive --force", ROD,
              [["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.001"]],
              ["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.002", "--force"]),
    Situation("taper derive", ROD, [],
              ["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.002"]),
    Situation("learn --write",
              ROD | {"ring.yaml": RING, "strips.csv": strips(), "glued.csv": flats("rod", 0.005),
                     "bare.csv": flats("rod", 0.004)}, [],
              ["learn", "ring.yaml", "--shop", "shop.yaml", "--write"]),
    Situation("correct", ROD | {"strips.csv": strips(0.003)}, [],
              ["correct", "nettle.yaml", "strips.csv", "--shop", "saltmarsh-lane", "--machine",
               "steel form"]),
    Situation("choose", ROD | {"strips.csv": strips()}, [],
              ["choose", "nettle.yaml", "strips.csv", "--shop", "shop.yaml", "--all", "--section", "rod"]),
]
