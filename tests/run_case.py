"""Runs whole-program cases: tests/cases/*.case, one file a case.

    run_case.py --program stripwright --source DIR [--accept] CASE...

A case file starts with a line or more on what it is for, then has these parts, of
which only `## run` must be there:

    ## files      inputs, each under its own `### path` line
    ## run        shell commands, a line each, run in order in an empty folder
    ## status     their exit statuses, a line each; all 0 if left out
    ## stdout     all that they print; nothing if left out
    ## stderr     the same
    ## written    the files that are new or changed afterwards, sorted, a line each;
                  none if left out. Under `### path` the content of one of them.

A blank line before a `##` or `###` line belongs to the layout. A line `...` in an
expectation stands for any lines. A text that does not end in a line feed is
followed by a line `\\ no line feed at the end`. The shipped profiles are found by
STRIPWRIGHT_PROFILES (unset it with `env -u`); other settings are pinned, see
expected.py. --accept writes what was seen into the case file: read the diff before
it is committed.
"""

import argparse
import pathlib
import subprocess
import sys

import expected

PARTS = ("files", "run", "status", "stdout", "stderr", "written")
NO_LINE_FEED = "\\ no line feed at the end"


class CaseError(Exception):
    """A case file that cannot be understood."""


def without_layout_blank(lines):
    return lines[:-1] if lines and lines[-1] == "" else lines


def split_at(lines, marker):
    """Lines before the first marker line, and {text after the marker: lines under it}."""
    before, parts, current = [], {}, None
    for line in lines:
        if line.startswith(marker):
            if current is not None:
                parts[current] = without_layout_blank(parts[current])
            current = line[len(marker):].strip()
            if current in parts:
                raise CaseError(f"`{line}` stands there twice")
            parts[current] = []
        elif current is None:
            before.append(line)
        else:
            parts[current].append(line)
    return (without_layout_blank(before) if parts else before), parts


def lines_of(text):
    """The lines of a text, the lack of a last line feed shown as a line of its own."""
    if text == "":
        return []
    lines = text.split("\n")
    return lines[:-1] if lines[-1] == "" else lines + [NO_LINE_FEED]


def text_of(lines):
    if lines and lines[-1] == NO_LINE_FEED:
        return "\n".join(lines[:-1])
    return "".join(line + "\n" for line in lines)


class Case:
    """A case as its file has it."""

    def __init__(self, text):
        self.about, parts = split_at(lines_of(text), "## ")
        for part in parts:
            if part not in PARTS:
                raise CaseError(f"`## {part}`: the parts of a case are {', '.join(PARTS)}")
        self.files = split_at(parts.get("files", []), "### ")[1]
        self.commands = [line for line in parts.get("run", []) if line]
        if not self.commands:
            raise CaseError("there is no command under `## run`")
        self.status = parts.get("status") or ["0"] * len(self.commands)
        self.stdout = parts.get("stdout", [])
        self.stderr = parts.get("stderr", [])
        self.written, self.contents = split_at(parts.get("written", []), "### ")


class Outcome:
    """What running a case gave; the same names as in Case."""

    def __init__(self, case, place):
        # By a short way that is as long on every machine: messages break lines by it.
        (place.here.parent / "shipped").symlink_to(place.source / "profiles")
        place.environment["STRIPWRIGHT_PROFILES"] = "../shipped"
        for path, lines in case.files.items():
            target = place.here / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(text_of(lines).encode("utf-8"))
        before = snapshot(place)
        runs = [place.run(command) for command in case.commands]
        after = snapshot(place)
        self.status = [str(status) for status, _, _ in runs]
        self.stdout = lines_of("".join(out for _, out, _ in runs))
        self.stderr = lines_of("".join(err for _, _, err in runs))
        self.written = sorted(
            [path for path, raw in after.items() if before.get(path) != raw]
            + [f"{path} (gone)" for path in before if path not in after]
        )
        self.contents = {
            path: lines_of(place.text(after.get(path, b""))) for path in case.contents
        }


def snapshot(place):
    """Every file in the case's folder, and in its home as `~/...`: {path: bytes}."""
    found = {}
    for folder, prefix in ((place.here, ""), (place.home, "~/")):
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                found[prefix + str(path.relative_to(folder))] = path.read_bytes()
    return found


def differences(case, outcome):
    found = []
    for part in ("status", "stdout", "stderr", "written"):
        found += expected.difference(getattr(case, part), getattr(outcome, part), part)
    for path, lines in case.contents.items():
        found += expected.difference(lines, outcome.contents[path], path)
    return found


def accepted(case, outcome):
    """The case file's text with the outcome as its expectation. An expectation that
    matches already keeps its `...` lines."""

    def kept_or_seen(wanted, seen):
        return wanted if expected.matches(wanted, seen) else seen

    def under_paths(contents):
        return [line for path in contents for line in ["", f"### {path}", *contents[path]]][1:]

    contents = {
        path: kept_or_seen(lines, outcome.contents[path])
        for path, lines in case.contents.items()
    }
    written = kept_or_seen(case.written, outcome.written)
    parts = {
        "files": under_paths(case.files),
        "run": case.commands,
        "status": outcome.status if set(outcome.status) != {"0"} else [],
        "stdout": kept_or_seen(case.stdout, outcome.stdout),
        "stderr": kept_or_seen(case.stderr, outcome.stderr),
        "written": written + ([""] + under_paths(contents) if contents else []),
    }
    lines = list(case.about)
    for name in PARTS:
        if parts[name]:
            lines += ["", f"## {name}", *parts[name]]
    return text_of(lines)


def run_case(path, program, source, accept):
    """Runs one case file; gives the lines to complain with, none if all is as it should be."""
    try:
        # As bytes: a CRLF in an expectation is meant.
        case = Case(path.read_bytes().decode("utf-8"))
        with expected.Place(program, source) as place:
            outcome = Outcome(case, place)
    except CaseError as error:
        return [f"{path}: {error}"]
    except subprocess.TimeoutExpired as error:
        return [f"{path}: no end after {error.timeout} s: {error.cmd[-1]}"]
    found = differences(case, outcome)
    if found and accept:
        path.write_bytes(accepted(case, outcome).encode("utf-8"))
        print(f"{path}: accepted")
        return []
    return [f"{path}: not as expected", *found] if found else []


def main():
    parser = argparse.ArgumentParser(description="Runs whole-program cases.")
    parser.add_argument("--program", required=True, help="the stripwright to test")
    parser.add_argument("--source", required=True, help="the project's top folder")
    parser.add_argument("--accept", action="store_true", help="write what is seen as expected")
    parser.add_argument("cases", nargs="+", type=pathlib.Path)
    options = parser.parse_args()
    complaints = []
    for path in options.cases:
        complaints += run_case(path, options.program, options.source, options.accept)
    print("\n".join(complaints) if complaints else f"{len(options.cases)} case(s) as expected")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
