#!/usr/bin/python3
"""What may be in the way of files that are to be written, and two runs at once.

    in_the_way.py --program stripwright

A full disk (a small tmpfs, where this machine lets one be mounted), a folder that may not be
written to, one that is missing, a file where a folder should be and a folder where a file should
be, symbolic links, an output that nobody reads, and two runs at once into one folder. Each time:
the exit status that is promised, a message that names the place, and nothing lost or left beside.
"""

import argparse
import os
import pathlib
import subprocess
import sys
import tempfile

from situations import LEFTOVER, SETTINGS, SETUP, SITUATIONS, Failure, run, snapshot

OUT = "output/nettle/steel-form"
NOBODY = 65534


def lay_out(folder, situation):
    folder.mkdir(exist_ok=True)
    for name, text in situation.files.items():
        (folder / name).write_text(text)


def want(what, condition, detail=""):
    if not condition:
        raise Failure(f"{what}: {detail}")


def refused(what, program, folder, call, status, words, as_user=None):
    """The call ends with the status and the words, and changes no file."""
    before = snapshot(folder)
    done = subprocess.run([program] + call, cwd=folder, env=SETTINGS, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=60, user=as_user)
    errors = done.stderr.decode()
    want(what, done.returncode == status, f"exit status {done.returncode}: {errors}")
    want(what, words in errors, f"{words!r} is not in: {errors}")
    want(what, "internal" not in errors, errors)
    want(what, snapshot(folder) == before, "files changed")


def file_for_a_folder(program, folder):
    (folder / "output").write_text("mine\n")
    refused("a file where a folder should be", program, folder, SETUP, 3, "output/nettle/steel-form")


def folder_for_a_file(program, folder):
    (folder / OUT / "stations.csv").mkdir(parents=True)
    refused("a folder where a file should be", program, folder, SETUP, 2, "stations.csv")
    (folder / "dock.yaml").mkdir()
    refused("a folder where a taper should be", program, folder,
            ["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.001", "--force"], 2,
            "dock.yaml")
    refused("a folder where readings should be", program, folder,
            ["check", "nettle.yaml", "dock.yaml", "--shop", "saltmarsh-lane"], 2, "dock.yaml")
    refused("a folder where readings shall be kept", program, folder,
            ["check", "nettle.yaml", "dock.yaml", "--shop", "saltmarsh-lane", "--ask"], 3, "dock.yaml")


def links(program, folder):
    (folder / "elsewhere").mkdir()
    (folder / "elsewhere" / "dock.yaml").write_text(SITUATIONS[0].files["nettle.yaml"])
    (folder / "dock.yaml").symlink_to("elsewhere/dock.yaml")
    refused("a link to a taper", program, folder,
            ["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.001", "--force"], 2,
            "dock.yaml: is a symbolic link")
    want("a link to a taper", (folder / "dock.yaml").is_symlink(), "the link is gone")
    (folder / "gone.yaml").symlink_to("nowhere/gone.yaml")
    refused("a link to nothing", program, folder,
            ["taper", "derive", "nettle.yaml", "--to", "gone.yaml", "--add", "0.001"], 2, "gone.yaml")
    (folder / "mine.csv").write_text("mine\n")
    (folder / OUT).mkdir(parents=True)
    (folder / OUT / "stations.csv").symlink_to(folder / "mine.csv")
    refused("a link where a table should be", program, folder, SETUP, 2, "stations.csv")


def missing_folders(program, folder):
    status, errors = run(program, folder, SETUP + ["--out", "a/b/c"])
    want("missing folders are made", status == 0 and (folder / "a/b/c/stations.csv").exists(), errors)
    refused("a missing folder for a taper", program, folder,
            ["taper", "derive", "nettle.yaml", "--to", "no/dock.yaml", "--add", "0.001"], 2, "no/dock.yaml")
    refused("a missing folder for readings", program, folder,
            ["check", "nettle.yaml", "no/readings.csv", "--shop", "saltmarsh-lane", "--ask"], 3,
            "no/readings.csv")


def read_only(program, folder):
    """Root may write anywhere: then it is nobody who tries."""
    user = NOBODY if os.geteuid() == 0 else None
    folder.chmod(0o555)
    os.chmod(folder.parent, 0o755)
    refused("a folder that may only be read", program, folder, SETUP, 3, "output/nettle/steel-form", user)
    refused("a folder that may only be read", program, folder,
            ["taper", "derive", "nettle.yaml", "--to", "dock.yaml", "--add", "0.001"], 3, "dock.yaml", user)
    refused("a folder that may only be read", program, folder,
            ["check", "nettle.yaml", "readings.csv", "--shop", "saltmarsh-lane", "--ask"], 3, "readings.csv", user)
    folder.chmod(0o755)
    (folder / "nettle.yaml").chmod(0)
    refused("a file that may not be read", program, folder, ["taper", "lint", "nettle.yaml"], 2, "nettle.yaml", user)


def nobody_reads(program, folder):
    for call in (["taper", "show", "nettle.yaml"], ["setup", "nettle.yaml", "--shop", "saltmarsh-lane",
                                                   "--machine", "steel form"]):
        with open("/dev/full", "w") as full:
            done = subprocess.run([program] + call, cwd=folder, env=SETTINGS, stdout=full, stderr=subprocess.PIPE)
        want("a full standard output", done.returncode == 3 and b"could not be written" in done.stderr,
             f"{done.returncode}: {done.stderr}")


def full_disk(program, folder):
    """A tmpfs of a few sizes, so that it fills up at different places."""
    if os.geteuid() != 0:
        return "not tried: it takes root to mount a small disk"
    small = folder / "small"
    small.mkdir()
    for pages in (8, 16, 24, 32, 48):
        if subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={pages * 4}k", "tmpfs", str(small)],
                          stderr=subprocess.DEVNULL).returncode != 0:
            return "not tried: no small disk can be mounted here"
        try:
            lay_out(small, SITUATIONS[0])
            before = snapshot(small)
            status, errors = run(program, small, SETUP)
            there = snapshot(small)
            want("a full disk", status in (0, 3), f"exit status {status}: {errors}")
            if status == 3:
                want("a full disk", "No space left" in errors, errors)
                left = {name for name in there if name not in before}
                want("a full disk", not left, f"left {left}")
            try:
                with open(small / "filler", "wb") as filler:
                    while True:
                        filler.write(bytes(512))
                        filler.flush()
            except OSError:
                pass
            for call, words in (
                    (["taper", "derive", "nettle.yaml", "--to", "nettle.yaml", "--add", "0.001", "--force"], "nettle.yaml"),
                    (["check", "nettle.yaml", "readings.csv", "--shop", "saltmarsh-lane", "--ask"], "readings.csv")):
                refused("a full disk", program, small, call, 3, words)
        finally:
            subprocess.run(["umount", str(small)], check=True)
    return ""


def at_once(program, folder):
    """Two set-ups of different tapers into one folder, many times: each file is one's or the other's,
    the record is of what is there, and a third run goes through without --force."""
    (folder / "other.yaml").write_text(SITUATIONS[0].files["nettle.yaml"].replace("0.116", "0.121"))
    other = ["setup", "other.yaml"] + SETUP[2:]
    sets = []
    for i, call in enumerate((SETUP, other)):
        status, errors = run(program, folder, call + ["--out", f"alone{i}"])
        want("two at once", status == 0, errors)
        sets.append({pathlib.Path(name).name: content for name, content in snapshot(folder / f"alone{i}").items()})
    for _ in range(25):
        both = [subprocess.Popen([program] + call + ["--out", "both"], cwd=folder, env=SETTINGS,
                                 stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) for call in (SETUP, other)]
        for child in both:
            errors = child.communicate(timeout=60)[1].decode()
            want("two at once", child.returncode == 0, errors)
        there = snapshot(folder / "both")
        tables = {name: content for name, content in there.items() if name.endswith(".csv")}
        want("two at once", any(all(each.get(name) == content for name, content in tables.items())
                                for each in sets), "a mixture of both")
        want("two at once", not [name for name in there if LEFTOVER.search(name) or name.startswith(".")],
             f"left {sorted(there)}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    program = os.path.abspath(parser.parse_args().program)
    for part in (file_for_a_folder, folder_for_a_file, links, missing_folders, read_only, nobody_reads,
                 full_disk, at_once):
        with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
            os.chmod(top, 0o755)
            folder = pathlib.Path(top) / "here"
            lay_out(folder, SITUATIONS[0])
            try:
                said = part(program, folder)
            except Failure as fault:
                print(f"{part.__name__}: {fault}")
                return 1
            print(f"{part.__name__}: {said or 'as it should be'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
