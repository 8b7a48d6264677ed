#!/usr/bin/python3
"""A shop's file and a taper's changed in the browser, by a maker who looks at the strips' heights.

    shop.py --program stripwright --source DIR

Skipped (77) where there is no Chromium. What the page says is held against what `stripwright
explain` says of the file afterwards, and the file against the one before: only what was changed may
be another.
"""

import argparse
import pathlib
import shutil
import socket
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser  # noqa: E402
import hand  # noqa: E402
import opened  # noqa: E402
from hand import Wrong, of_id, require  # noqa: E402


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return str(probe.getsockname()[1])


class Tab(hand.Hand):
    """A page with a draft; its elements by their ids."""

    def id(self, name):
        return self.one(of_id(name))

    def said(self, name):
        return self.text(of_id(name))

    def there(self, name):
        return bool(self.all(of_id(name)))

    def fill(self, name, text):
        self.write(of_id(name), text)

    def press(self, name):
        self.click(of_id(name))

    def press_within(self, name, words):
        self.click_words(of_id(name), words)

    def open_details(self, name):
        self.click(of_id(name) + " summary")

    def save(self, file, wanted):
        self.press("save")
        self.until("saving", lambda: wanted(file.read_text()))
        self.until("after saving", lambda: not self.id("save").is_enabled())

    def effect(self, table):
        return self.cells(self.all("#effect table")[table])


def explained(program, folder, at):
    """The strip's height to mill by the command, as it writes it."""
    text = subprocess.run([program, "explain", "burdock.yaml", "--at", at, "--shop", "./saltmarsh-lane.yaml"],
                          cwd=folder, capture_output=True, text=True, check=True).stdout
    lines = [line for line in text.splitlines() if "strip height to mill" in line]
    require(len(lines) == 1, "explain", text)
    return lines[0]


def change_varnish(tab, address, program, folder):
    """A maker whose coats have become thicker sees what that makes of the strips, and saves it."""
    file = folder / "saltmarsh-lane.yaml"
    before = file.read_text()
    tab.driver.get(address + "shop?file=saltmarsh-lane.yaml&rod=burdock.yaml")
    heights = [row[1] for row in tab.effect(0)]
    tab.fill("f.allowances.varnish", "0.06 mm")
    tab.until("the changed heights", lambda: len(tab.effect(0)[0]) == 4)
    require([row[1] for row in tab.effect(0)] == heights, "as the file is", heights)
    for station, old, new, difference in tab.effect(0):
        require(float(new) < float(old), "thicker varnish, thinner strip", station)
        require(abs(float(new) - float(old) - float(difference)) < 0.0015, "the difference", station)
    require(tab.focused().get_attribute("id") == "f.allowances.varnish", "the keyboard")
    ledger = {row[0].split("\n")[0]: row[2] for row in tab.effect(-1)}
    tab.focused().send_keys(tab.key.CONTROL, "s")
    wanted = before.replace("varnish: 0.0015 ", "varnish: 0.06 mm ")
    require(wanted != before, "the story")
    tab.until("the file, its comments and all", lambda: file.read_text() == wanted)
    line = explained(program, folder, "0")
    require(ledger["strip height to mill"].split()[0] in line, "page and command", f"{ledger} {line}")
    tab.until("saved", lambda: len(tab.effect(0)[0]) == 2)


def mistake_and_undo(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    before = file.read_text()
    name = "f.allowances.cleanup"
    tab.fill(name, "a hair")
    tab.until("told at the field", lambda: "'a hair'" in tab.said(name + "-wrong"))
    require("a hair" in tab.said("problems"), "told in general")
    require(tab.said("trouble") == "1 thing wrong", "told in the bar", tab.said("trouble"))
    require(tab.id(name).get_attribute("aria-invalid") == "true", "marked")
    tab.press("save")
    tab.until("refused", lambda: "a hair" in tab.said("say"))
    require(file.read_text() == before, "the file")
    tab.press("undo")
    tab.until("undone", lambda: tab.id(name).get_attribute("value") == "0.001")
    tab.until("no longer told", lambda: tab.said(name + "-wrong") == "" and tab.said("problems") == "")
    tab.press("redo")
    tab.until("redone", lambda: tab.id(name).get_attribute("value") == "a hair")
    tab.press("undo")
    tab.until("undone again", lambda: tab.id(name).get_attribute("value") == "0.001")


def add_and_take_out(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    tab.id("f.machines-another").send_keys("short form")
    tab.press_within("f.machines", "Add")
    pitch = "f.machines.short_20form.screws.pitch"
    tab.until("the new machine", lambda: tab.there(pitch) and tab.id(pitch).is_displayed())
    tab.fill(pitch, "125 mm")
    tab.fill("f.machines.short_20form.screws.count", "7")
    tab.until("nothing wrong", lambda: tab.said("problems") == "")
    tab.id("f.gauges-another").send_keys("caliper" + tab.key.ENTER)
    tab.until("one name for one gauge", lambda: "There is one called caliper" in tab.said("say"))
    tab.fill("f.gauges-another", "micrometer" + tab.key.ENTER)
    resolution = "f.gauges.micrometer.resolution"
    tab.until("the new gauge", lambda: tab.focused().get_attribute("id") == resolution)
    tab.focused().send_keys("0.01 mm")
    tab.fill("f.gauges.micrometer.max_5ferror", "4 um")
    tab.open_details("f.machines.copier")
    tab.press_within("f.machines.copier", "Take out copier")
    tab.until("taken out", lambda: not tab.there("f.machines.copier"))
    tab.save(file, lambda text: "short form" in text and "copier" not in text and "micrometer" in text)
    require("# Two steel bars" in file.read_text(), "comments", file.read_text())


def put_back(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    now = file.read_text()
    tab.open_details("earlier-states")
    tab.until("the list", lambda: len(tab.all("#earlier button")) == 2)
    tab.press_within("earlier", "Put this back")
    tab.until("put back", lambda: "copier:" in file.read_text())
    tab.until("on the page", lambda: tab.there("f.machines.copier") and not tab.there("f.gauges.micrometer"))
    tab.until("what it replaced is kept",
              lambda: len(tab.all("#earlier button")) == 3)
    kept = sorted((folder / ".stripwright").rglob("*"))
    require(any(each.is_file() and each.read_text() == now for each in kept), "kept bytes")


def both_change(tab, folder):
    """Another hand in the file: merged where it changed something else, asked about where not."""
    file = folder / "saltmarsh-lane.yaml"
    tab.fill("f.allowances.glue_5fline", "0.002")
    file.write_text(file.read_text().replace("cleanup: 0.001 ", "cleanup: 0.0012 "))
    tab.until("theirs is shown", lambda: tab.id("f.allowances.cleanup").get_attribute("value") == "0.0012")
    require(tab.id("f.allowances.glue_5fline").get_attribute("value") == "0.002", "mine stays")
    file.write_text(file.read_text().replace("glue_line: 0.0015 ", "glue_line: 0.0018 "))
    tab.until("asked", lambda: "0.0018" in tab.said("clashes"))
    require(tab.said("trouble") == "changed here and outside", "asked in the bar", tab.said("trouble"))
    tab.press_within("clashes", "keep 0.002")
    tab.until("settled", lambda: tab.said("clashes") == "")
    tab.save(file, lambda text: "glue_line: 0.002 " in text and "cleanup: 0.0012 " in text)


def other_keys_of_a_taper(tab, address, folder):
    file = folder / "yarrow.yaml"
    before = file.read_text()
    tab.driver.get(address + "rod?file=yarrow.yaml&shop=saltmarsh-lane.yaml")
    tab.open_details("other-keys")
    tab.fill("f.name", "Yarrow the second")
    tab.press_within("f.ferrules", "Add one")
    tab.until("another ferrule", lambda: tab.there("f.ferrules._2b0.at"))
    tab.fill("f.ferrules._2b0.at", "20")
    tab.fill("f.ferrules._2b0.bore", "7/64 in")
    tab.until("told at the ferrule", lambda: "no section ends" in tab.said("f.ferrules._2b0.at-wrong"))
    tab.fill("f.ferrules._2b0.at", "45")
    tab.fill("flats-0", "0.070")
    tab.until("nothing wrong", lambda: tab.said("problems") == "")
    tab.save(file, lambda text: "name: Yarrow the second" in text and "{at: 45, bore: 7/64 in}" in text)
    changed = [pair for pair in zip(before.splitlines(), file.read_text().splitlines()) if pair[0] != pair[1]]
    require(len(changed) == 2, "two lines changed", changed)
    require(len(file.read_text().splitlines()) == len(before.splitlines()) + 1, "one line more")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--source", required=True, type=pathlib.Path)
    call = parser.parse_args()
    if missing := browser.missing():
        print("skipped, for there is no", ", ".join(missing))
        return 77
    program = str(pathlib.Path(call.program).resolve())
    with tempfile.TemporaryDirectory(prefix="stripwright-shop-") as home, browser.Browser() as driven:
        folder = pathlib.Path(home) / "lane"
        folder.mkdir()
        for profile in ["burdock.yaml", "yarrow.yaml", "shops/saltmarsh-lane.yaml"]:
            shutil.copy(call.source / "profiles" / profile, folder)
        try:
            with opened.opened([program, "open", "--no-browser", "--port", free_port()], folder) as address:
                tab = Tab(driven.driver)
                change_varnish(tab, address, program, folder)
                mistake_and_undo(tab, folder)
                add_and_take_out(tab, folder)
                put_back(tab, folder)
                both_change(tab, folder)
                other_keys_of_a_taper(tab, address, folder)
                told = tab.console()
                require(not told, "the browser's console", told)
        except Wrong as wrong:
            print(wrong)
            return 1
    print("varnish, mistakes, machines, gauges, earlier states, two hands, a taper's other keys: as they should be")
    return 0


if __name__ == "__main__":
    sys.exit(main())
