#!/usr/bin/python3
"""Manual pages and completions, made by stripwright-manuals, and the examples in them.

    check_manuals.py --program stripwright --manuals stripwright-manuals --source DIR

Every command has a page, with a purpose, an example and its exit statuses; `man` (where it is
there) reads each without a warning. Every example is run, as it stands, in a folder with the files
that it names, and has to end with a status that the page lists, 0 or 1. The completions are put
to bash and fish, and their syntax to zsh, as far as these are there.
"""

import argparse
import csv
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import opened  # noqa: E402


class Failure(Exception):
    """Something that must not be."""


def want(what, condition, detail=""):
    if not condition:
        raise Failure(f"{what}: {detail}")


def section_of(page, heading):
    found = re.search(rf"^\.SH {heading}\n(.*?)(?=^\.SH |\Z)", page, re.M | re.S)
    return found[1] if found else ""


def plain(text):
    return text.replace("\\-", "-").replace("\\&", "").replace("\\e", "\\")


def examples_of(page):
    return [plain(text) for text in re.findall(r"^\.nf\n\.RS\n(.*?)\n\.RE", section_of(page, "EXAMPLES"), re.M | re.S)]


def commands_of(page):
    return [plain(text) for text in re.findall(r"^\.TP\n\\fB(.*?)\\fR$", section_of(page, "COMMANDS"), re.M)]


def check_pages(folder):
    """The examples of all pages, with the file's name each."""
    examples = []
    names = ["stripwright"]
    for name in names:
        path = folder / "man1" / f"{name}.1"
        want(name, path.exists(), "no page")
        page = path.read_text()
        below = commands_of(page)
        names += [f"{name}-{command}" for command in below]
        want(name, re.search(r"^\.SH NAME\n\S+ \\- \S", page, re.M), "no purpose")
        want(name, "2\n" in section_of(page, "EXIT STATUS"), "no exit statuses")
        if not below:
            found = examples_of(page)
            want(name, found, "no example")
            want(name, "\n0\n" in section_of(page, "EXIT STATUS"), "does not say when all is well")
            examples += [(name, example) for example in found]
        if shutil.which("man") and shutil.which("groff"):
            done = subprocess.run(["man", "--warnings=w", "-E", "UTF-8", "-l", "-Tutf8", "-Z", str(path)],
                                  stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
            want(name, done.returncode == 0 and not done.stderr, done.stderr.decode())
    want("pages", len(names) == len(list((folder / "man1").iterdir())), "a page of no command")
    return examples


RING = """format: stripwright-ring-1
taper: yarrow
section: {section}
unit: in
strips: [s1, s2, s3, s4, s5, s6]
readings: {{ready: {section}-ready.csv, glued: {section}-glued.csv}}
"""

CULMS = """format: stripwright-culms-1
unit: in
culms:
  hill: {diameter: 2.1, wall: 0.3, power_fibre: 0.1, length: 60, nodes: [6, 19, 33, 47],
         pieces: [{section: tip, strips: [s1, s2, s3, s4, s5, s6, s7, s8]}]}
"""


def lay_out(run):
    """The files that examples name."""
    run("stripwright setup yarrow --shop saltmarsh-lane --machine 'steel form'")
    place = pathlib.Path(run.folder)
    with open(place / "output/yarrow/steel-form/stations.csv") as table:
        rows = list(csv.DictReader(table))

    def strips(path, section, column, count):
        lines = ["strip,at_in,a_in"]
        for k in range(1, count + 1):
            lines += [f"s{k},{row['at_in']},{float(row[column]) + 0.0002 * (k % 3 - 1):.4f}"
                      for row in rows if row["section"] == section]
        (place / path).write_text("\n".join(lines) + "\n")

    strips("tip.csv", "tip", "strip_milled_in", 8)
    for section in ("tip", "butt"):
        strips(f"{section}-ready.csv", section, "strip_ready_in", 6)
        lines = ["piece,at_in,f1_in,f2_in,f3_in"]
        lines += [f"{section},{row['at_in']}," + ",".join(f"{float(row['flats_glued_in']) + d:.4f}" for d in (0, 0.0004, -0.0004))
                  for row in rows if row["section"] == section]
        (place / f"{section}-glued.csv").write_text("\n".join(lines) + "\n")
        (place / f"{section}.yaml").write_text(RING.format(section=section))
    (place / "culms.yaml").write_text(CULMS)
    (place / "rod.csv").write_text("at_in,flats_in\n0,0.070\n10,0.100\n20,0.128\n30,0.155\n")


class Shell:
    def __init__(self, program, source, folder):
        self.folder = folder
        link = pathlib.Path(folder) / ".bin"
        link.mkdir()
        (link / "stripwright").symlink_to(program)
        self.environment = {"PATH": f"{link}:{os.environ['PATH']}", "HOME": str(folder), "LC_ALL": "C.UTF-8",
                            "STRIPWRIGHT_PROFILES": str(source / "profiles")}
        for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS"):
            if name in os.environ:
                self.environment[name] = os.environ[name]

    def __call__(self, command, shell="/bin/sh"):
        done = subprocess.run([shell, "-c", command], cwd=self.folder, env=self.environment,
                              stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=60)
        return done.returncode, done.stdout.decode(), done.stderr.decode()


# What is typed, and some of what must be offered.
TYPED = [
    ("stripwright ", ["setup", "taper", "choose"]),
    ("stripwright se", ["setup"]),
    ("stripwright taper ", ["list", "derive"]),
    ("stripwright setup ya", ["yarrow"]),
    ("stripwright setup yarrow --shop sal", ["saltmarsh-lane"]),
    ("stripwright setup yarrow --ma", ["--machine"]),
    ("stripwright setup yarrow --units ", ["in", "mm"]),
    ("stripwright taper show bur", ["burdock"]),
    ("stripwright taper derive yarrow --join te", ["teasel"]),
    ("stripwright shop show sa", ["saltmarsh-lane"]),
    ("stripwright check yarrow ti", ["tip.csv", "tip.yaml"]),
    ("stripwright setup yarrow --gauge ", []),
]


def check_completions(run, folder):
    for line, wanted in TYPED:
        words = line.split(" ")
        quoted = " ".join(f"'{word}'" for word in words)
        status, out, errors = run(
            f"compopt() {{ :; }}; source {folder}/bash/stripwright; COMP_WORDS=({quoted}); COMP_CWORD={len(words) - 1}; "
            "_stripwright; printf '%s\\n' \"${COMPREPLY[@]}\"", shell="/bin/bash")
        offered = out.split()
        want(f"bash: {line}", status == 0 and not errors, errors)
        want(f"bash: {line}", set(wanted) <= set(offered), f"offers {offered}")
        want(f"bash: {line}", all(each.startswith(words[-1]) for each in offered), f"offers {offered}")
        if shutil.which("fish"):
            status, out, errors = run(f"source {folder}/fish/stripwright.fish; complete -C '{line}'", shell=shutil.which("fish"))
            offered = [each.split("\t")[0] for each in out.splitlines()]
            want(f"fish: {line}", status == 0 and not errors, errors)
            want(f"fish: {line}", set(wanted) <= set(offered), f"offers {offered}")
    if shutil.which("zsh"):
        done = subprocess.run(["zsh", "-n", str(folder / "zsh" / "_stripwright")], stderr=subprocess.PIPE)
        want("zsh", done.returncode == 0 and not done.stderr, done.stderr.decode())


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name in ("--program", "--manuals", "--source"):
        parser.add_argument(name, required=True)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        folder = pathlib.Path(top) / "manuals"
        here = pathlib.Path(top) / "here"
        here.mkdir()
        try:
            done = subprocess.run([arguments.manuals, str(folder)])
            want("stripwright-manuals", done.returncode == 0, f"exit status {done.returncode}")
            examples = check_pages(folder)
            run = Shell(os.path.abspath(arguments.program), pathlib.Path(arguments.source).resolve(), here)
            lay_out(run)
            for name, example in sorted(examples, key=lambda each: "lint" in each[0]):
                if name == "stripwright-open":  # goes on until it is ended
                    with opened.opened([os.path.abspath(arguments.program), *shlex.split(example)[1:]], here,
                                       env=run.environment) as address:
                        page = urllib.request.urlopen(address).read().decode()
                    want(f"{name}: {example}", "taper:yarrow" in page, "lacks the examples")
                    continue
                status, out, errors = run(example)
                want(f"{name}: {example}", status in (0, 1) and out + errors or status == 0, f"{status}: {errors}")
            check_completions(run, folder)
        except Failure as fault:
            print(fault)
            return 1
    print(f"{len(examples)} examples run")
    return 0


if __name__ == "__main__":
    sys.exit(main())
