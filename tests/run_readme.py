"""Runs the examples of README.md and docs/*.md and compares what they print.

    run_readme.py --program stripwright --source DIR [--accept] DOCUMENT...

An example is a fenced block marked `console`: a line `$ command` (a command that
goes on has `> ` before its further lines), then what it prints, errors included; a
line `...` stands for any lines. All examples of a document run in order in one
folder, a copy of the project's profiles/, docs/ and output/. A command may end
with another exit status than 0 only if the next one is `$ echo $?`. A block marked
`yaml file=NAME` (or any other language) is written to that file first.

`stripwright open` is ended after a second, by SIGTERM.

Commands that start with `.ci/` or `cmake` are not run, but what they name must be
there: the script, the preset. Blocks marked sh, bash or shell are refused, so that
no command escapes the test. --accept writes what was seen into the document.
"""

import argparse
import json
import pathlib
import re
import shlex
import shutil
import subprocess
import sys

import expected

FENCE = re.compile(r"^```(?P<language>\S*)\s*(?P<rest>.*)$")
COPIED = ("profiles", "docs", "output/README.md")


class Example:
    """A command, where in the document it starts, and what it should print."""

    def __init__(self, line_number, command):
        self.line_number = line_number
        self.command = command
        self.output = []
        self.output_from = line_number  # 0-based line after the command


class FileBlock:
    """A block that is to be written to a file."""

    def __init__(self, name, lines):
        self.name = name
        self.lines = lines


def blocks(lines):
    """Each fenced block as (language, rest of the mark, 0-based first line, its lines)."""
    start = None
    for number, line in enumerate(lines):
        mark = FENCE.match(line)
        if start is None and mark:
            start, language, rest = number + 1, mark["language"], mark["rest"]
        elif start is not None and line.rstrip() == "```":
            yield language, rest, start, lines[start:number]
            start = None
    if start is not None:
        raise ValueError(f"line {start}: a fenced block without an end")


def examples_of(first, lines):
    """The examples of one console block."""
    found = []
    for number, line in enumerate(lines, first):
        if line.startswith("$ "):
            found.append(Example(number + 1, line[2:]))
            found[-1].output_from = number + 1
        elif not found:
            raise ValueError(f"line {number + 1}: a console block starts with `$ command`")
        elif line.startswith("> ") and not found[-1].output:
            found[-1].command += "\n" + line[2:]
            found[-1].output_from = number + 1
        else:
            found[-1].output.append(line)
    return found


def steps_of(text):
    """Everything in a document that is to be done, in order."""
    steps = []
    for language, rest, first, lines in blocks(text.split("\n")):
        if language in ("sh", "bash", "shell"):
            raise ValueError(f"line {first}: mark it `console`, so that it is tested")
        if language == "console":
            steps += examples_of(first, lines)
        elif name := re.fullmatch(r"file=(\S+)", rest.strip()):
            steps.append(FileBlock(name[1], lines))
    return steps


def faults_of_build_command(command, source):
    """What a command that is not run names and is not there; None if it is to be run."""
    if not re.match(r"(sudo )?(\.ci/|cmake\b)", command):
        return None
    presets = json.loads((source / "CMakePresets.json").read_text(encoding="utf-8"))
    faults = []
    for part in re.split(r"\s*&&\s*", command):
        words = shlex.split(part)
        if words[0] == "sudo":
            words = words[1:]
        if words[0].startswith(".ci/") and not (source / words[0]).is_file():
            faults.append(f"there is no {words[0]}")
        if name := re.search(r"--preset[= ](\S+)", part):
            kind = "workflowPresets" if "--workflow" in words else "configurePresets"
            kind = "buildPresets" if "--build" in words else kind
            if name[1] not in [preset["name"] for preset in presets[kind]]:
                faults.append(f"there is no {name[1]} among the {kind}")
    return faults


def run_document(text, place):
    """Runs a document's steps; gives the complaints, the number of commands seen and
    [(example, lines printed)] for those that printed something else."""
    complaints, count, surprises, status = [], 0, [], 0
    shown_status = True
    for step in steps_of(text):
        if isinstance(step, FileBlock):
            target = place.here / step.name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text("".join(line + "\n" for line in step.lines), encoding="utf-8")
            continue
        count += 1
        where = f"line {step.line_number}: $ {step.command}"
        if (faults := faults_of_build_command(step.command, place.source)) is not None:
            complaints += [f"{where}\n  {fault}" for fault in faults]
            continue
        if not shown_status and step.command != "echo $?":
            complaints.append(f"{where}\n  the command before ended with {status}, unsaid")
        command = step.command
        if command.startswith("stripwright open"):  # goes on until it is ended
            command = f"timeout --preserve-status 1 {command}"
        status, printed, _ = place.run(f"(exit {status}); {command}", subprocess.STDOUT)
        shown_status = status == 0
        lines = printed.split("\n")[:-1] if printed.endswith("\n") else printed.split("\n")
        lines = [] if printed == "" else lines
        if found := expected.difference(step.output, lines, "output"):
            complaints.append("\n".join([where, *found]))
            surprises.append((step, lines))
    if not shown_status:
        complaints.append(f"the last command ended with {status}, unsaid")
    return complaints, count, surprises


def accepted(text, surprises):
    """The document with what was printed in the place of what was expected."""
    lines = text.split("\n")
    for example, printed in reversed(surprises):
        start = example.output_from
        lines[start:start + len(example.output)] = printed
    return "\n".join(lines)


def copy_project(place):
    for name in COPIED:
        origin, target = place.source / name, place.here / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if origin.is_dir():
            shutil.copytree(origin, target)
        elif origin.is_file():
            shutil.copy(origin, target)


def check_document(path, program, source, accept):
    """Gives the complaints about one document, and the number of commands in it."""
    text = path.read_text(encoding="utf-8")
    with expected.Place(program, source) as place:
        copy_project(place)
        built = place.here / "build/release/stripwright"
        built.parent.mkdir(parents=True)
        built.symlink_to(pathlib.Path(program).resolve())
        try:
            complaints, count, surprises = run_document(text, place)
        except ValueError as error:
            return [f"{path}: {error}"], 0
        except subprocess.TimeoutExpired as error:
            return [f"{path}: no end after {error.timeout} s: {error.cmd[-1]}"], 0
    if accept and surprises:
        path.write_text(accepted(text, surprises), encoding="utf-8")
        print(f"{path}: {len(surprises)} output(s) accepted; run again without --accept")
        return [], count
    return [f"{path}: {complaint}" for complaint in complaints], count


def main():
    parser = argparse.ArgumentParser(description="Runs the examples of the documents.")
    parser.add_argument("--program", required=True, help="the stripwright to test")
    parser.add_argument("--source", required=True, type=pathlib.Path, help="the project's folder")
    parser.add_argument("--accept", action="store_true", help="write what is seen as expected")
    parser.add_argument("documents", nargs="+", type=pathlib.Path)
    options = parser.parse_args()
    complaints, total = [], 0
    for path in options.documents:
        found, count = check_document(path, options.program, options.source, options.accept)
        complaints += found
        total += count
    if total == 0:
        complaints.append("no example found")
    print("\n".join(complaints) if complaints else f"{total} command(s) as the documents say")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
