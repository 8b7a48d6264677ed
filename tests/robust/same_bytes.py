#!/usr/bin/python3
"""Two builds of the program write the same bytes: other compiler, other optimisation.

    same_bytes.py PROGRAM PROGRAM --source DIR

Both do the whole job with all that is shipped: every rod on every machine, every command in each
form of output. What they print and every file that they write is compared byte by byte.
"""

import argparse
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

MACHINES = ("steel form", "lifting bed", "copier", "router")
RODS = ("yarrow", "teasel", "burdock")


def calls(source):
    shop = ["--shop", "saltmarsh-lane"]
    for rod in RODS:
        for unit in ("in", "mm"):
            for machine in MACHINES:
                for form in ("text", "csv", "json"):
                    yield ["setup", rod, *shop, "--machine", machine, "--units", unit, "--format", form, "--force"]
            for form in ("text", "csv", "json"):
                yield ["taper", "show", rod, "--units", unit, "--format", form]
                yield ["explain", rod, *shop, "--at", "20in", "--units", unit, "--format", form]
                yield ["bend", rod, *shop, "--line", "5", "--units", unit, "--format", form, "--force"]
                yield ["culm", rod, *shop, "--diameter", "2.1in", "--wall", "0.3in", "--power-fibre", "0.1in",
                       "--nodes", "6,19,33", "--units", unit, "--format", form, "--force"]
        yield ["taper", "show", rod, "--format", "svg"]
        yield ["setup", rod, "--shop", str(source / "profiles/shops/screw-bed-mm.yaml")]
        yield ["setup", rod]
    yield ["taper", "compare", *RODS, "--varnish", "0.0015in"]
    for operation in (["--scale-length", "96/90"], ["--smooth", "4in"], ["--cut", "0in:80in", "--blend", "teasel", "0.3"], ["--unit", "mm"]):
        yield ["taper", "derive", "yarrow", "--to", "new.yaml", "--force", *operation]
    for stage in ("milled", "ready"):
        for form in ("text", "csv", "json"):
            yield ["check", "yarrow", "tip.csv", *shop, "--section", "tip", "--stage", stage, "--format", form, "--force"]
    for machine in MACHINES:
        yield ["correct", "yarrow", "tip.csv", *shop, "--section", "tip", "--machine", machine, "--force"]
    yield ["choose", "yarrow", "tip.csv", *shop, "--section", "tip", "--shift-step", "0.25in", "--force"]
    yield ["bend", "yarrow", "--readings", "tip.csv", *shop, "--force"]


def strips():
    """Readings somewhere near the tip of the shipped rod; what they are does not matter."""
    rows = ["strip,at_in,a_in"]
    for k in range(9):
        for i in range(10):
            rows.append(f"s{k},{5 * i},{0.0378 + 0.0066 * i + 0.0004 * ((k * 7 + i * 3) % 5 - 2):.4f}")
    return "\n".join(rows) + "\n"


def all_done(program, source, folder):
    """What each call printed, and what lies in the folder after it."""
    (folder / "tip.csv").write_text(strips())
    settings = {"PATH": os.environ["PATH"], "STRIPWRIGHT_PROFILES": str(source / "profiles"), "LC_ALL": "C.UTF-8",
                "SOURCE_DATE_EPOCH": "1767225600"}
    seen = {}
    for call in calls(source):
        done = subprocess.run([program] + call, cwd=folder, env=settings, stdin=subprocess.DEVNULL,
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=300)
        seen[" ".join(call)] = (done.returncode, done.stdout, done.stderr,
                                {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*"))
                                 if path.is_file()})
    return seen


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("programs", nargs=2)
    parser.add_argument("--source", required=True)
    arguments = parser.parse_args()
    source = pathlib.Path(arguments.source).resolve()
    seen = []
    # One after the other in one place, for it stands in what is printed.
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        folder = pathlib.Path(top) / "here"
        for program in arguments.programs:
            folder.mkdir()
            seen.append(all_done(os.path.abspath(program), source, folder))
            shutil.rmtree(folder)
    first, second = seen
    others = 0
    for call, (status, out, errors, files) in first.items():
        if status not in (0, 1):
            print(f"{call}: exit status {status}: {errors.decode()}")
            others += 1
        for what, one, other in [("exit status", status, second[call][0]), ("output", out, second[call][1]),
                                 ("messages", errors, second[call][2])] + \
                [(name, files.get(name), second[call][3].get(name)) for name in files.keys() | second[call][3].keys()]:
            if one != other:
                print(f"{call}: another {what}")
                others += 1
    print(f"{len(first)} calls, {len(files)} files: {'all alike' if not others else f'{others} differences'}")
    return 1 if others else 0


if __name__ == "__main__":
    sys.exit(main())
