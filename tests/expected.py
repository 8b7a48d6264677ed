"""What run_case.py and run_readme.py share: a pinned place to run the program in,
and the comparison of what was printed with what should have been."""

import difflib
import os
import pathlib
import subprocess
import tempfile

ANY_LINES = "..."
# A machine that is slow, or runs the program under valgrind, may take longer.
TIMEOUT_SECONDS = int(os.environ.get("STRIPWRIGHT_TEST_SECONDS", "60"))


class Place:
    """An empty folder to run commands in, with nothing of the caller's settings.

    `stripwright` is the program under test. Paths that differ from one machine to
    the next are shown as <here> (the folder) and <source> (the project's).
    """

    def __init__(self, program, source):
        self._top = tempfile.TemporaryDirectory(prefix="stripwright-")
        top = pathlib.Path(self._top.name).resolve()
        self.source = pathlib.Path(source).resolve()
        self.here = top / "here"
        self.home = top / "home"
        bin_folder = top / "bin"
        for folder in (self.here, self.home, bin_folder):
            folder.mkdir()
        (bin_folder / "stripwright").symlink_to(pathlib.Path(program).resolve())
        self.environment = {
            "PATH": f"{bin_folder}:{os.environ.get('PATH', os.defpath)}",
            "HOME": str(self.home),
            "LC_ALL": "C.UTF-8",
            "TZ": "UTC",
            "COLUMNS": "80",
            "TERM": "dumb",
            "SOURCE_DATE_EPOCH": "1767225600",  # 2026-01-01
        }
        for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS"):
            if name in os.environ:
                self.environment[name] = os.environ[name]

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._top.cleanup()

    def run(self, command, stderr=subprocess.PIPE):
        """Runs one shell command; gives (status, stdout, stderr). With stderr=STDOUT
        both come in stdout, in the order in which they were printed."""
        done = subprocess.run(
            ["/bin/sh", "-c", command],
            cwd=self.here,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=stderr,
            timeout=TIMEOUT_SECONDS,
            check=False,
        )
        return done.returncode, self.text(done.stdout), self.text(done.stderr or b"")

    def text(self, raw):
        shown = raw.decode("utf-8", errors="backslashreplace")
        return shown.replace(str(self.here), "<here>").replace(str(self.source), "<source>")


def matches(expected, actual):
    """Whether the actual lines are the expected ones, where an expected line `...`
    stands for any number of lines."""
    # reachable[i]: the expected lines so far can account for the first i actual ones.
    reachable = [True] + [False] * len(actual)
    for line in expected:
        following = [False] * (len(actual) + 1)
        for i, reached in enumerate(reachable):
            if line == ANY_LINES:
                following[i] = reached or (i > 0 and following[i - 1])
            elif reached and i < len(actual) and actual[i] == line:
                following[i + 1] = True
        reachable = following
    return reachable[-1]


def difference(expected, actual, name):
    """A unified diff from the expected to the actual lines; empty if they match."""
    if matches(expected, actual):
        return []
    return list(
        difflib.unified_diff(expected, actual, f"{name} expected", f"{name} printed", lineterm="")
    )
