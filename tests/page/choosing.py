#!/usr/bin/python3
"""Six strips chosen, kept, glued, measured and learned from, all in the browser.

    choosing.py --program stripwright --source DIR

Skipped (77) where there is no Chromium. What the pages show is held against what `stripwright choose`
and `stripwright learn` print of the same files, and the shop file against the one before.
"""

import argparse
import csv
import io
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import browser as browsers  # noqa: E402
import hand  # noqa: E402
import opened  # noqa: E402
import served  # noqa: E402
from hand import Wrong, require  # noqa: E402

SKIPPED = 77
SHOP = "saltmarsh-lane.yaml"


class Story(hand.Hand):
    """A folder with readings of strips, the pages on it, and a browser."""

    def __init__(self, program, source, folder, address, driver):
        super().__init__(driver)
        self.program, self.folder, self.address = program, folder, address.rstrip("/")
        for path in ("yarrow.yaml", "burdock.yaml", f"shops/{SHOP}"):
            shutil.copy(source / "profiles" / path, folder)
        shutil.copy(source / "profiles/culms" / SHOP, folder / "culms.yaml")
        self.measure_strips()

    def call(self, *arguments):
        done = subprocess.run([self.program, *arguments], cwd=self.folder, text=True, capture_output=True,
                              check=False)
        require(done.returncode < 2, f"{arguments}: {done.stderr}")
        return done.stdout

    def measure_strips(self):
        """Strips off the command's own targets by some tenths of a thousandth."""
        self.call("setup", "yarrow.yaml", "--shop", SHOP, "--machine", "lifting bed", "--section", "tip",
                  "--out", "../targets")
        with open(self.folder / "../targets/stations.csv", newline="", encoding="utf-8") as file:
            targets = list(csv.DictReader(file))
        (self.folder / "strips.csv").write_text(served.measured_strips(targets, 8, 4), encoding="utf-8")

    def rows(self, caption):
        """The rows of the table with this caption, cells with a blank between."""
        for table in self.all("table"):
            if table.find_element("css selector", "caption").text.startswith(caption):
                return [" ".join(" ".join(row).split()) for row in self.cells(table)]
        raise Wrong(f"no table {caption}")

    def choose(self):
        self.driver.get(self.address + "/choose")
        self.one("#go").click()
        self.until("no rod is guessed", lambda: "no rod is chosen" in self.one("#problems").text)
        self.pick("#file", "yarrow.yaml")
        self.until("the rod has its sections", lambda: "tip" in self.one("#section").text)
        self.pick("#nodes", "culms.yaml")
        self.one("details summary").click()
        self.pick("#rings", "1")
        self.one("#go").click()
        self.until("chosen", lambda: self.one("#found").is_displayed())
        self.until("said", lambda: self.one("#say").text.startswith("Chosen"))
        require(self.one("#problems").text == "", self.one("#problems").text)
        require(self.focused().get_attribute("id") == "found", "focus is not on what was found")
        text = [" ".join(line.split()) for line in self.call(
            "choose", "yarrow.yaml", "strips.csv", "--shop", SHOP, "--nodes", "culms.yaml", "--rings", "1",
            "--time", "5", "--out", "output/by-command").splitlines()]
        for caption in ("Strips round the section", "Across flats when glued"):
            for row in self.rows(caption):
                require(row in text, f"{caption}: {row}")

    def other_unit_and_back(self):
        """The unit changed: chosen once more by itself, in the same address."""
        for unit in ("mm", ""):
            self.one(f"[data-units='{unit}']").click()
            self.until("chosen again", lambda wanted=unit or "in": self.all("#found") and
                       f"moved, {wanted}" in self.one("#choice thead").text)

    def change_what_is_asked(self):
        require(not self.one("#stale").is_displayed(), "stale at once")
        self.one("#all").click()
        require(self.one("#stale").is_displayed(), "nothing says that the rings are of another question")
        self.one("#all").click()

    def keep(self):
        self.one("button[data-keep]").click()
        self.until("kept", lambda: "ring-tip.yaml" in self.one("#kept").text)
        theirs = {path.name: path.read_bytes() for path in (self.folder / "output/by-command").iterdir()}
        ours = {path.name: path.read_bytes() for path in (self.folder / "output/yarrow").iterdir()}
        require(ours == theirs, f"written: {sorted(ours)}; by the command: {sorted(theirs)}")
        shutil.rmtree(self.folder / "output/by-command")
        self.driver.get(self.one("#kept a[href*=sheet]").get_attribute("href"))
        require("strips to glue" in self.driver.title or "strips to glue" in self.one("body").text, self.driver.title)
        box = self.one("input[type=checkbox]")
        box.click()
        require(box.is_selected(), "the sheet's boxes cannot be ticked")

    def glue_and_measure(self):
        """f1 to f3 as the command foresees them, and three thousandths more: the glue was thicker."""
        self.driver.get(self.address + "/learn")
        require("too little to learn from" in self.one("#rings").text, self.one("#rings").text)
        self.one("#flats summary").click()
        foreseen = csv.DictReader(io.StringIO(
            (self.folder / "../targets/stations.csv").read_text(encoding="utf-8")))
        for place, row in enumerate(foreseen):
            for flat in ("f1", "f2", "f3"):
                self.one(f"input[name={flat}-{place}]").send_keys(f"{float(row['flats_glued_in']) + 0.003:.4f}")
        self.one("#flats form button").click()
        self.until("kept and learned", lambda: self.all("#learned h2"))

    def learn(self):
        shop = self.folder / SHOP
        before = shop.read_text(encoding="utf-8")
        text = [" ".join(line.split()) for line in self.call(
            "learn", "output/yarrow/ring-tip.yaml", "--shop", SHOP).splitlines()]
        for row in self.rows("What the sections say"):
            require(row in text, row)
        self.one("#take").click()
        self.until("taken over", lambda: "glue_line: " in self.one("#taken").text)
        after = shop.read_text(encoding="utf-8")
        changed = [pair for pair in zip(before.splitlines(), after.splitlines()) if pair[0] != pair[1]]
        require(len(changed) == 1 and changed[0][1].startswith("  glue_line: ")
                and changed[0][1].endswith("  # between two flanks"), str(changed))
        kept = list((self.folder / ".stripwright/before" / SHOP).iterdir())
        require([path.read_text(encoding="utf-8") for path in kept] == [before], "the history")
        self.until("nothing more to change", lambda: "Nothing needs to change." in self.one("#learned").text)

    def silent(self):
        told = self.console()
        require(not told, f"the browser's console: {told}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--source", required=True, type=pathlib.Path)
    call = parser.parse_args()
    if missing := browsers.missing():
        print("skipped, for there is no", ", ".join(missing))
        return SKIPPED
    program = str(pathlib.Path(call.program).resolve())
    # The sheet has the date; midnight may come between two of them.
    os.environ["SOURCE_DATE_EPOCH"] = "1767225600"
    with tempfile.TemporaryDirectory(prefix="stripwright-choosing-") as home, browsers.Browser() as browser:
        folder = pathlib.Path(home) / "lane"
        folder.mkdir()
        # (0: any port that is free near the usual one.)
        with opened.opened([program, "open", "--no-browser"], folder) as address:
            story = Story(program, call.source, folder, address, browser.driver)
            try:
                for step in (story.choose, story.other_unit_and_back, story.change_what_is_asked, story.keep,
                             story.glue_and_measure, story.learn, story.silent):
                    step()
            except Wrong as wrong:
                print(wrong)
                return 1
    print("chosen, kept, glued, measured, learned: as it should be")
    return 0


if __name__ == "__main__":
    sys.exit(main())
