"""The sheets that the browser tests look at: every demo rod on every machine that will
take it, and a check of readings, made anew in a folder."""

import csv
import os
import pathlib
import random
import subprocess

SETUPS = [
    ("yarrow", "saltmarsh-lane", "steel form"),
    ("yarrow", "saltmarsh-lane", "lifting bed"),
    ("yarrow", "saltmarsh-lane", "copier"),
    ("yarrow", "saltmarsh-lane", "router"),
    ("teasel", "saltmarsh-lane", "steel form"),
    ("teasel", "saltmarsh-lane", "lifting bed"),
    ("teasel", "saltmarsh-lane", "copier"),
    ("teasel", "saltmarsh-lane", "router"),
    ("burdock", "saltmarsh-lane", "steel form"),
    ("burdock", "saltmarsh-lane", "lifting bed"),
    ("burdock", "saltmarsh-lane", "copier"),
    ("burdock", "saltmarsh-lane", "router"),
    ("burdock", "screw-bed-mm", "screw bed"),
    ("yarrow", "steel-form-inches", "steel form"),
]


class Sheet:
    """One sheet, and the folder that it lies in with the other files."""

    def __init__(self, name, folder, file="sheet.html"):
        self.name = name
        self.folder = pathlib.Path(folder)
        self.path = self.folder / file

    def text(self):
        return self.path.read_text(encoding="utf-8")


def run(program, source, here, *arguments):
    """Runs the program; any end but a wrong call or a failure will do (a form that
    cannot close has a sheet too)."""
    environment = dict(os.environ, STRIPWRIGHT_PROFILES=str(pathlib.Path(source, "profiles")),
                       SOURCE_DATE_EPOCH="1767225600", LC_ALL="C.UTF-8", TZ="UTC")
    done = subprocess.run([program, *arguments], cwd=here, env=environment, check=False,
                          capture_output=True, text=True, timeout=60)
    if done.returncode not in (0, 1):
        raise RuntimeError(f"{' '.join(arguments)}: status {done.returncode}\n{done.stderr}")


def make_setups(program, source, here):
    """All set-ups' sheets."""
    out = []
    for taper, shop, machine in SETUPS:
        folder = pathlib.Path(here, f"{taper}-{shop}-{machine.replace(' ', '-')}")
        run(program, source, here, "setup", taper, "--shop", shop, "--machine", machine,
            "--out", str(folder))
        out.append(Sheet(folder.name, folder))
    return out


# Caliper steps and chance that make every verdict appear.
STEP = {"in": 0.0005, "mm": 0.01}


def written(path, header, rows):
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join([header, *(",".join(row) for row in rows)]) + "\n")


def strip_rows(stations, section, unit, strips, chance):
    """Heights of strips as a caliper would read them, each strip off by its own amount."""
    for strip in range(strips):
        off = chance.gauss(0, 1.2 * STEP[unit])
        for row in stations:
            if row["section"] != section:
                continue
            heights = [float(row[f"strip_milled_{unit}"]), *[float(row[f"side_milled_{unit}"])] * 2]
            read = [STEP[unit] * round((height + off + chance.gauss(0, 0.4 * STEP[unit])) / STEP[unit])
                    for height in heights]
            yield [f"{section} {strip + 1}", row[f"at_{unit}"], *(f"{value:.5f}" for value in read)]


def make_checks(program, source, here):
    """Sheets of checks: a few strips, more than a sheet shows, a set form, a glued rod."""
    chance = random.Random(5)
    here = pathlib.Path(here)
    form, bed = here / "form-for-check", here / "bed-for-check"
    run(program, source, here, "setup", "yarrow", "--shop", "saltmarsh-lane", "--machine",
        "steel form", "--out", str(form))
    run(program, source, here, "setup", "burdock", "--shop", "screw-bed-mm", "--out", str(bed))

    def table(path):
        with open(path, newline="", encoding="utf-8") as file:
            return list(csv.DictReader(file))

    stations = {"in": table(form / "stations.csv"), "mm": table(bed / "stations.csv")}
    checks = []
    for name, taper, shop, unit, section, strips in (
            ("twelve", "yarrow", "saltmarsh-lane", "in", "tip", 12),
            ("seventy", "burdock", "screw-bed-mm", "mm", "mid", 70)):
        written(here / f"{name}.csv", f"strip,at_{unit},a_{unit},b_{unit},c_{unit}",
                strip_rows(stations[unit], section, unit, strips, chance))
        checks.append((name, [taper, f"{name}.csv", "--shop", shop, "--section", section]))
    written(here / "groove.csv", "machine_at_in,gauge_in",
            ([row["machine_at_in"], f"{float(row['gauge_in']) + chance.gauss(0, 0.0006):.4f}"]
             for row in table(form / "cutter-tip.csv")
             if row["pass"] == "3" and 5 <= float(row["machine_at_in"]) <= 50))
    checks.append(("groove", ["yarrow", "groove.csv", "--shop", "saltmarsh-lane", "--machine",
                              "steel form", "--section", "tip", "--stage", "groove"]))
    written(here / "glued.csv", "piece,section,at_in,f1_in,f2_in,f3_in",
            ([f"<b>{row['section']}</b>", row["section"], row["at_in"],
              *(f"{float(row['flats_glued_in']) + chance.gauss(0, 0.0015):.4f}" for _ in range(3))]
             for row in stations["in"]))
    checks.append(("glued", ["yarrow", "glued.csv", "--shop", "saltmarsh-lane"]))
    out = []
    for name, arguments in checks:
        folder = here / f"check-{name}"
        run(program, source, here, "check", *arguments, "--out", str(folder))
        out.append(Sheet(folder.name, folder))
    # Two rings of the twelve strips, for the glue bench.
    (here / "culms.yaml").write_text(
        "format: stripwright-culms-1\nunit: in\nculms:\n  hill:\n    nodes: [6, 19, 33, 47]\n"
        f"    pieces: [{{section: tip, strips: [{', '.join(f'tip {k}' for k in range(1, 13))}]}}]\n", encoding="utf-8")
    run(program, source, here, "choose", "yarrow", "twelve.csv", "--shop", "saltmarsh-lane", "--section", "tip",
        "--all", "--nodes", "culms.yaml", "--out", str(here / "chosen"))
    out.append(Sheet("chosen", here / "chosen", "glue.html"))
    return out


def make_all(program, source, here):
    """All sheets there are."""
    return make_setups(program, source, here) + make_checks(program, source, here)
