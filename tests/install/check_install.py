#!/usr/bin/python3
"""What `cmake --install` puts down works by itself, and from outside.

    check_install.py --program stripwright --source DIR --build DIR --cmake CMAKE

It is installed into an empty folder, and the folder moved. The program that lies there, called from
elsewhere with nothing in its surroundings, must find the shipped profiles and do the main job, with
the same bytes as the one in the build folder. A program of somebody else's (from_outside/) is built
with the installed libraries; its heights must be those of the program's table to the last digit.
Where dpkg-deb is there, cpack's Debian package must hold the same files.
"""

import argparse
import csv
import pathlib
import shutil
import subprocess
import sys
import tempfile
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from opened import opened  # noqa: E402

SETUP = ["setup", "yarrow", "--shop", "saltmarsh-lane", "--machine", "steel form"]


class Failure(Exception):
    """Something that must not be."""


def run(call, folder, **more):
    done = subprocess.run(call, cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                          stderr=subprocess.STDOUT, **more)
    if done.returncode != 0:
        raise Failure(f"{' '.join(map(str, call))}: exit status {done.returncode}\n{done.stdout.decode()}")
    return done.stdout


def tables(folder):
    return {path.name: path.read_bytes() for path in (folder / "output/yarrow/steel-form").glob("*.csv")}


def check(arguments, top):
    installed = top / "moved"
    run([arguments.cmake, "--install", arguments.build, "--prefix", str(top / "first")], top)
    (top / "first").rename(installed)
    for name in ("bin/stripwright", "bin/stripwright-page", "share/man/man1/stripwright-taper-derive.1", "share/doc/stripwright/copyright",
                 "share/bash-completion/completions/stripwright", "share/zsh/vendor-completions/_stripwright",
                 "share/fish/vendor_completions.d/stripwright.fish", "share/stripwright/profiles/schema/taper.json"):
        if not (installed / name).exists():
            raise Failure(f"{name} is not installed")

    here, there = top / "here", top / "there"
    here.mkdir()
    there.mkdir()
    empty = {"PATH": "/usr/bin:/bin", "LC_ALL": "C.UTF-8"}
    run([str(installed / "bin/stripwright")] + SETUP, here, env=empty)
    run([arguments.program] + SETUP, there, env=empty | {"STRIPWRIGHT_PROFILES": f"{arguments.source}/profiles"})
    if not tables(here) or tables(here) != tables(there):
        raise Failure("the installed program's tables are others")

    with opened([str(installed / "bin/stripwright"), "open", "--no-browser"], here, env=empty) as address:
        page = urllib.request.urlopen(address).read().decode()
    if "saltmarsh-lane" not in page:
        raise Failure(f"the pages do not offer the shipped examples: {page}")

    outside = top / "outside"
    shutil.copytree(pathlib.Path(arguments.source) / "tests/install/from_outside", outside)
    run([arguments.cmake, "-S", str(outside), "-B", str(top / "built"), f"-DCMAKE_PREFIX_PATH={installed}"], top)
    run([arguments.cmake, "--build", str(top / "built")], top)
    profiles = installed / "share/stripwright/profiles"
    printed = run([str(top / "built/heights"), str(profiles / "yarrow.yaml"), str(profiles / "shops/saltmarsh-lane.yaml")], top)
    run([str(installed / "bin/stripwright")] + SETUP + ["--units", "mm", "--force"], here, env=empty)
    with open(here / "output/yarrow/steel-form/stations.csv") as file:
        rows = [row for row in csv.DictReader(file) if row["section"] == "tip"]
    wanted = [row["strip_milled_mm"] for row in rows]
    if printed.decode().split() != wanted:
        raise Failure(f"heights from outside {printed.decode().split()}, in the table {wanted}")

    if shutil.which("dpkg-deb"):
        run([str(pathlib.Path(arguments.cmake).with_name("cpack")), "-G", "DEB", "--config",
             f"{arguments.build}/CPackConfig.cmake", "-B", str(top / "deb")], top)
        package = next((top / "deb").glob("stripwright_*.deb"))
        listed = run(["dpkg-deb", "-c", str(package)], top).decode()
        for name in ("./usr/bin/stripwright", "./usr/share/stripwright/profiles/yarrow.yaml", "./usr/share/man/man1/stripwright.1"):
            if name not in listed:
                raise Failure(f"{name} is not in {package.name}")
        pages = next((top / "deb").glob("stripwright-page_*.deb"))
        if "./usr/bin/stripwright-page" not in run(["dpkg-deb", "-c", str(pages)], top).decode():
            raise Failure("the package of the pages lacks their program")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name in ("--program", "--source", "--build", "--cmake"):
        parser.add_argument(name, required=True)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        try:
            check(arguments, pathlib.Path(top))
        except Failure as fault:
            print(fault)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
