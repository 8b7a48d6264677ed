#!/usr/bin/python3
"""Do the tests see it when a formula is wrong? Operators are flipped, one at a time.

    mutate.py --work DIR [--count N] [--seed N] [--jobs N] MODULE...

In a copy of the source (it is made in DIR, and kept for the next run) one operator of the modules'
code is changed: + and -, * and /, < and <=, < and >, && and ||, == and !=, min and max, 1 and 2,
0.5 and 1. The module's tests are built and run; if they pass, the program is built, and the cases
(tests/cases) and some hundred random calls of each command by tests/second_way are run. A change that
all of them pass has survived: it is printed, to be read by somebody. What does not compile is not counted; what does not
end in time is caught. By hand, for it takes half a minute a change.
"""

import argparse
import contextlib
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import subprocess
import sys

SOURCE = pathlib.Path(__file__).resolve().parents[2]

FLIPS = [
    (r" \+ ", " - "), (r" - ", " + "), (r" \* ", " / "), (r" / ", " * "),
    (r" < ", " <= "), (r" < ", " > "), (r" > ", " >= "), (r" > ", " < "), (r" <= ", " < "), (r" >= ", " > "),
    (r" == ", " != "), (r" != ", " == "), (r" && ", " || "), (r" \|\| ", " && "),
    (r"\bstd::min\b", "std::max"), (r"\bstd::max\b", "std::min"),
    (r"(?<![\w.])1(?![\w.'])", "2"), (r"(?<![\w.])2(?![\w.'])", "1"), (r"(?<![\w.])0\.5\b", "1.0"),
    (r" \+= ", " -= "), (r" -= ", " += "), (r"\bcos\(", "sin("), (r"\bsin\(", "cos("),
]
QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\'\\]|\\.)*\'|//[^\n]*')
BUILD_SECONDS, TEST_SECONDS = 900, 300
SECOND_WAY = [
    ("compare", ["--count", "150"]),
    *(("compare_readings", ["--what", what, "--count", "100"]) for what in ("strips", "correct", "groove")),
    ("compare_learn", ["--count", "100"]),
    ("compare_choose", ["--count", "60"]),
]


def blanked(text):
    """The text with what is no code blanked out, place for place."""
    text = QUOTED.sub(lambda found: " " * len(found[0]), text)
    return re.sub(r"^[ \t]*(#|namespace|using|template|static_assert|check_internal).*$",
                  lambda found: " " * len(found[0]), text, flags=re.M)


def all_changes(folder, modules):
    changes = []
    for module in modules:
        for path in sorted((folder / "src" / module).glob("*.[ch]*")):
            text = blanked(path.read_text())
            for pattern, replacement in FLIPS:
                changes += [(path, found.start(), found.end(), replacement) for found in re.finditer(pattern, text)]
    return changes


def limits():
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    # A group of its own, to be ended whole: what was called may have called a program that never ends.
    os.setpgid(0, 0)


def passes(call, folder, seconds):
    """True if it ended well, within the time."""
    process = subprocess.Popen(call, cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL, preexec_fn=limits)
    try:
        return process.wait(timeout=seconds) == 0
    except subprocess.TimeoutExpired:
        return False
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


class Bench:
    def __init__(self, folder, jobs):
        self.folder, self.build, self.jobs = folder, folder / "build" / "mutation", jobs

    def make(self):
        if not (self.folder / ".git").exists():
            subprocess.run(["git", "clone", "-q", str(SOURCE), str(self.folder)], check=True)
        subprocess.run(["git", "checkout", "-q", "."], cwd=self.folder, check=True)
        subprocess.run(["git", "pull", "-q", "--ff-only"], cwd=self.folder, check=True)
        # The change before is undone with each build: that file need not be compiled anew.
        launcher = ["-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
        # One place too far, past the end of a vector or an array, is to be seen.
        subprocess.run(["cmake", *launcher, "-S", ".", "-B", str(self.build), "-G", "Ninja",
                        "-DCMAKE_BUILD_TYPE=None", "-DCMAKE_CXX_FLAGS=-O1 -D_GLIBCXX_ASSERTIONS",
                        "-DSTRIPWRIGHT_TESTS=ON"], cwd=self.folder, check=True, stdout=subprocess.DEVNULL)

    def built(self, *targets):
        return passes(["ninja", "-C", str(self.build), f"-j{self.jobs}", *targets], self.folder, BUILD_SECONDS)

    def tested(self, module):
        return passes([str(self.build / "tests" / f"test_{module}"), "--abort"], self.build / "tests", TEST_SECONDS)

    def whole_tested(self):
        program = str(self.build / "stripwright")
        cases = [str(path) for path in sorted((self.folder / "tests/cases").glob("*.case"))]
        python = ["/usr/bin/python3", "-B"]
        return passes([*python, "tests/run_case.py", "--program", program, "--source", ".", *cases],
                      self.folder, TEST_SECONDS) and \
            all(passes([*python, f"tests/second_way/{name}.py", "--program", program, "--seed", "1", *more],
                       self.folder, 3 * TEST_SECONDS) for name, more in SECOND_WAY)

    def outcome(self, change):
        path, begin, end, replacement = change
        text = path.read_text()
        try:
            path.write_text(text[:begin] + replacement + text[end:])
            if not self.built(f"test_{path.parent.name}"):
                return "not built"
            if not self.tested(path.parent.name):
                return "caught by the module's tests"
            if not self.built("stripwright"):
                return "not built"
            return "survived" if self.whole_tested() else "caught by tests of the whole program"
        finally:
            path.write_text(text)


def shown(folder, change):
    path, begin, end, replacement = change
    text = path.read_text()
    line = text.count("\n", 0, begin) + 1
    code = text.splitlines()[line - 1].strip()
    return f"{path.relative_to(folder)}:{line}: {text[begin:end].strip()} -> {replacement.strip()} in: {code}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--work", required=True, type=pathlib.Path)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("modules", nargs="+")
    arguments = parser.parse_args()
    bench = Bench(arguments.work.resolve(), arguments.jobs)
    bench.make()
    targets = [f"test_{module}" for module in arguments.modules] + ["stripwright"]
    subprocess.run(["ninja", "-C", str(bench.build), f"-j{arguments.jobs}", *targets], check=True, stdout=subprocess.DEVNULL)
    for module in arguments.modules:
        if not bench.tested(module):
            sys.exit(f"the tests of {module} fail without a change")
    if not bench.whole_tested():
        sys.exit("the tests of the whole program fail without a change")
    changes = all_changes(bench.folder, arguments.modules)
    random.Random(arguments.seed).shuffle(changes)
    counts = {}
    for change in changes[:arguments.count]:
        outcome = bench.outcome(change)
        counts[outcome] = counts.get(outcome, 0) + 1
        print(f"{outcome}: {shown(bench.folder, change)}", flush=True)
    counted = sum(counts.values()) - counts.get("not built", 0)
    caught = counted - counts.get("survived", 0)
    print(f"{len(changes)} places; of {counted} changes {caught} caught, {100 * caught / max(counted, 1):.1f} %; {counts}")


if __name__ == "__main__":
    main()
