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
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser  # noqa: E402
import opened  # noqa: E402


class Failure(Exception):
    """Something that must not be."""


def want(what, condition, detail=""):
    if not condition:
        raise Failure(f"{what}: {detail}")


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return str(probe.getsockname()[1])


class Tab:
    """A page with a draft, driven by keys and clicks."""

    def __init__(self, driver):
        from selenium.webdriver.common.by import By
        from selenium.webdriver.common.keys import Keys

        self.driver, self.by, self.keys = driver, By, Keys

    def id(self, name):
        return self.driver.find_element(self.by.ID, name)

    def text(self, name):
        return " ".join(self.id(name).get_attribute("textContent").split())

    def there(self, name):
        return bool(self.driver.find_elements(self.by.ID, name))

    def until(self, what, condition):
        """Waits for what a page does by itself; ten seconds, then it has failed."""
        ends, told = time.monotonic() + 10, ""
        while time.monotonic() < ends:
            try:
                if condition():
                    return
            except Exception as fault:  # an element that is just being replaced
                told = repr(fault)
            time.sleep(0.02)
        raise Failure(f"{what}: says {self.text('say')!r}, problems {self.text('problems')!r} {told}")

    def write(self, name, text):
        """Into a field, over what stands there."""
        field = self.id(name)
        self.driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", field)
        field.click()
        field.send_keys(self.keys.CONTROL, "a")
        field.send_keys(self.keys.BACKSPACE if text == "" else text)

    def press(self, name=None, within=None, words=None):
        """A button by its id, or by its words."""
        if name:
            self.id(name).click()
            return
        for button in self.id(within).find_elements(self.by.TAG_NAME, "button"):
            if button.text == words:
                self.driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
                button.click()
                return
        raise Failure(f"no button {words!r} in {within}")

    def open_details(self, name):
        self.id(name).find_element(self.by.TAG_NAME, "summary").click()

    def save(self, file, wanted):
        self.press("save")
        self.until("saving", lambda: wanted(file.read_text()))
        self.until("after saving", lambda: not self.id("save").is_enabled())

    def cells(self, table):
        rows = self.id("effect").find_elements(self.by.TAG_NAME, "table")[table]
        return [[cell.text for cell in row.find_elements(self.by.CSS_SELECTOR, "th, td")]
                for row in rows.find_elements(self.by.CSS_SELECTOR, "tbody tr")]


def explained(program, folder, at):
    """The strip's height to mill by the command, as it writes it."""
    text = subprocess.run([program, "explain", "burdock.yaml", "--at", at, "--shop", "./saltmarsh-lane.yaml"],
                          cwd=folder, capture_output=True, text=True, check=True).stdout
    lines = [line for line in text.splitlines() if "strip height to mill" in line]
    want("explain", len(lines) == 1, text)
    return lines[0]


def change_varnish(tab, address, program, folder):
    """A maker whose coats have become thicker sees what that makes of the strips, and saves it."""
    file = folder / "saltmarsh-lane.yaml"
    before = file.read_text()
    tab.driver.get(address + "shop?file=saltmarsh-lane.yaml&rod=burdock.yaml")
    heights = [row[1] for row in tab.cells(0)]
    tab.write("f.allowances.varnish", "0.06 mm")
    tab.until("the changed heights", lambda: len(tab.cells(0)[0]) == 4)
    want("as the file is", [row[1] for row in tab.cells(0)] == heights, heights)
    for station, old, new, difference in tab.cells(0):
        want("thicker varnish, thinner strip", float(new) < float(old), station)
        want("the difference", abs(float(new) - float(old) - float(difference)) < 0.0015, station)
    want("the keyboard", tab.driver.switch_to.active_element.get_attribute("id") == "f.allowances.varnish")
    ledger = {row[0].split("\n")[0]: row[2] for row in tab.cells(-1)}
    tab.driver.switch_to.active_element.send_keys(tab.keys.CONTROL, "s")
    wanted = before.replace("varnish: 0.0015 ", "varnish: 0.06 mm ")
    want("the story", wanted != before)
    tab.until("the file, its comments and all", lambda: file.read_text() == wanted)
    line = explained(program, folder, "0")
    want("page and command", ledger["strip height to mill"].split()[0] in line, f"{ledger} {line}")
    tab.until("saved", lambda: len(tab.cells(0)[0]) == 2)


def mistake_and_undo(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    before = file.read_text()
    name = "f.allowances.cleanup"
    tab.write(name, "a hair")
    tab.until("told at the field", lambda: "'a hair'" in tab.text(name + "-wrong"))
    want("told in general", "a hair" in tab.text("problems"))
    want("told in the bar", tab.text("trouble") == "1 thing wrong", tab.text("trouble"))
    want("marked", tab.id(name).get_attribute("aria-invalid") == "true")
    tab.press("save")
    tab.until("refused", lambda: "a hair" in tab.text("say"))
    want("the file", file.read_text() == before)
    tab.press("undo")
    tab.until("undone", lambda: tab.id(name).get_attribute("value") == "0.001")
    tab.until("no longer told", lambda: tab.text(name + "-wrong") == "" and tab.text("problems") == "")
    tab.press("redo")
    tab.until("redone", lambda: tab.id(name).get_attribute("value") == "a hair")
    tab.press("undo")
    tab.until("undone again", lambda: tab.id(name).get_attribute("value") == "0.001")


def add_and_take_out(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    tab.id("f.machines-another").send_keys("short form")
    tab.press(within="f.machines", words="Add")
    pitch = "f.machines.short_20form.screws.pitch"
    tab.until("the new machine", lambda: tab.there(pitch) and tab.id(pitch).is_displayed())
    tab.write(pitch, "125 mm")
    tab.write("f.machines.short_20form.screws.count", "7")
    tab.until("nothing wrong", lambda: tab.text("problems") == "")
    tab.id("f.gauges-another").send_keys("caliper" + tab.keys.ENTER)
    tab.until("one name for one gauge", lambda: "There is one called caliper" in tab.text("say"))
    tab.write("f.gauges-another", "micrometer" + tab.keys.ENTER)
    resolution = "f.gauges.micrometer.resolution"
    tab.until("the new gauge", lambda: tab.driver.switch_to.active_element.get_attribute("id") == resolution)
    tab.driver.switch_to.active_element.send_keys("0.01 mm")
    tab.write("f.gauges.micrometer.max_5ferror", "4 um")
    tab.open_details("f.machines.copier")
    tab.press(within="f.machines.copier", words="Take out copier")
    tab.until("taken out", lambda: not tab.there("f.machines.copier"))
    tab.save(file, lambda text: "short form" in text and "copier" not in text and "micrometer" in text)
    want("comments", "# Two steel bars" in file.read_text(), file.read_text())


def put_back(tab, folder):
    file = folder / "saltmarsh-lane.yaml"
    now = file.read_text()
    tab.open_details("earlier-states")
    tab.until("the list", lambda: len(tab.id("earlier").find_elements(tab.by.TAG_NAME, "button")) == 2)
    tab.press(within="earlier", words="Put this back")
    tab.until("put back", lambda: "copier:" in file.read_text())
    tab.until("on the page", lambda: tab.there("f.machines.copier") and not tab.there("f.gauges.micrometer"))
    tab.until("what it replaced is kept",
              lambda: len(tab.id("earlier").find_elements(tab.by.TAG_NAME, "button")) == 3)
    kept = sorted((folder / ".stripwright").rglob("*"))
    want("kept bytes", any(each.is_file() and each.read_text() == now for each in kept))


def both_change(tab, folder):
    """Another hand in the file: merged where it changed something else, asked about where not."""
    file = folder / "saltmarsh-lane.yaml"
    tab.write("f.allowances.glue_5fline", "0.002")
    file.write_text(file.read_text().replace("cleanup: 0.001 ", "cleanup: 0.0012 "))
    tab.until("theirs is shown", lambda: tab.id("f.allowances.cleanup").get_attribute("value") == "0.0012")
    want("mine stays", tab.id("f.allowances.glue_5fline").get_attribute("value") == "0.002")
    file.write_text(file.read_text().replace("glue_line: 0.0015 ", "glue_line: 0.0018 "))
    tab.until("asked", lambda: "0.0018" in tab.text("clashes"))
    want("asked in the bar", tab.text("trouble") == "changed here and outside", tab.text("trouble"))
    tab.press(within="clashes", words="keep 0.002")
    tab.until("settled", lambda: tab.text("clashes") == "")
    tab.save(file, lambda text: "glue_line: 0.002 " in text and "cleanup: 0.0012 " in text)


def other_keys_of_a_taper(tab, address, folder):
    file = folder / "yarrow.yaml"
    before = file.read_text()
    tab.driver.get(address + "rod?file=yarrow.yaml&shop=saltmarsh-lane.yaml")
    tab.open_details("other-keys")
    tab.write("f.name", "Yarrow the second")
    tab.press(within="f.ferrules", words="Add one")
    tab.until("another ferrule", lambda: tab.there("f.ferrules._2b0.at"))
    tab.write("f.ferrules._2b0.at", "20")
    tab.write("f.ferrules._2b0.bore", "7/64 in")
    tab.until("told at the ferrule", lambda: "no section ends" in tab.text("f.ferrules._2b0.at-wrong"))
    tab.write("f.ferrules._2b0.at", "45")
    tab.write("flats-0", "0.070")
    tab.until("nothing wrong", lambda: tab.text("problems") == "")
    tab.save(file, lambda text: "name: Yarrow the second" in text and "{at: 45, bore: 7/64 in}" in text)
    changed = [pair for pair in zip(before.splitlines(), file.read_text().splitlines()) if pair[0] != pair[1]]
    want("two lines changed", len(changed) == 2, changed)
    want("one line more", len(file.read_text().splitlines()) == len(before.splitlines()) + 1)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--source", required=True, type=pathlib.Path)
    call = parser.parse_args()
    if missing := browser.missing():
        print("skipped, for there is no", ", ".join(missing))
        return 77
    program = str(pathlib.Path(call.program).resolve())
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    with tempfile.TemporaryDirectory(prefix="stripwright-shop-") as home:
        folder = pathlib.Path(home) / "lane"
        folder.mkdir()
        for profile in ["burdock.yaml", "yarrow.yaml", "shops/saltmarsh-lane.yaml"]:
            shutil.copy(call.source / "profiles" / profile, folder)
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium")
        for flag in [*browser.FLAGS, f"--user-data-dir={home}/browser"]:
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        driver = webdriver.Chrome(options=options, service=Service(shutil.which("chromedriver")))
        try:
            with opened.opened([program, "open", "--no-browser", "--port", free_port()], folder) as address:
                tab = Tab(driver)
                change_varnish(tab, address, program, folder)
                mistake_and_undo(tab, folder)
                add_and_take_out(tab, folder)
                put_back(tab, folder)
                both_change(tab, folder)
                other_keys_of_a_taper(tab, address, folder)
                told = [line["message"] for line in driver.get_log("browser")
                        if line["level"] == "SEVERE" and "422" not in line["message"] and "409" not in line["message"]]
                want("the browser's console", not told, told)
        except Failure as failure:
            print(failure)
            return 1
        finally:
            driver.quit()
    print("varnish, mistakes, machines, gauges, earlier states, two hands, a taper's other keys: as they should be")
    return 0


if __name__ == "__main__":
    sys.exit(main())
