#!/usr/bin/python3
"""Strips measured in the browser, as at the machine: with keys, with a server that dies, in two tabs.

    measuring.py --program stripwright --source DIR

Skipped (77) where there is no Chromium. What the page says of each reading is held against what
`stripwright check` says of the file afterwards.
"""

import argparse
import csv
import io
import os
import pathlib
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser  # noqa: E402

QUERY = "file=yarrow.yaml&shop=saltmarsh-lane.yaml&stage=milled&section=tip&strips=2&heights=a&readings=tip.csv"
# For the ten stations of the tip: some right, thick, thin, unsure; a caliper's plus sign and zeros.
TYPED = ["0.0378", "+00.0450", ".0535", "0.0590", "0.0679", "0.0770", "0.0842", "0.0900", "0.1010", "0.1070"]


class Failure(Exception):
    """Something that must not be."""


def want(what, condition, detail=""):
    if not condition:
        raise Failure(f"{what}: {detail}")


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Server:
    """The pages of a folder at one port, killed and started again at will."""

    def __init__(self, program, folder):
        self.program, self.folder, self.port = program, folder, free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.start()

    def start(self):
        self.running = subprocess.Popen([self.program, "open", "--no-browser", "--port", str(self.port)],
                                        cwd=self.folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE)
        want("the server", b"Open http" in self.running.stdout.readline(), "does not start")

    def kill(self):
        self.running.send_signal(signal.SIGKILL)
        self.running.wait()
        self.running.stdout.close()

    def end(self):
        self.running.send_signal(signal.SIGTERM)
        status = self.running.wait(10)
        self.running.stdout.close()
        want("the server", status == 0, f"ended with {status}")


class Tab:
    """A page of measuring, driven by keys and clicks."""

    def __init__(self, driver):
        from selenium.webdriver.common.by import By
        from selenium.webdriver.common.keys import Keys

        self.driver, self.by, self.keys = driver, By, Keys

    def find(self, selector):
        return self.driver.find_element(self.by.CSS_SELECTOR, selector)

    def text(self, selector):
        return " ".join(self.find(selector).text.split())

    def until(self, what, condition):
        """Waits for what a page does by itself; ten seconds, then it has failed."""
        ends = time.monotonic() + 10
        while time.monotonic() < ends:
            if condition():
                return
            time.sleep(0.02)
        raise Failure(f"{what}: verdict {self.text('#verdict')!r}, prompt {self.text('#prompt')!r}, says {self.text('#say')!r}")

    def type(self, text):
        """As a caliper types: into whatever has the keyboard."""
        self.driver.switch_to.active_element.send_keys(text, self.keys.ENTER)

    def press(self, selector):
        self.find(selector).click()

    def reading(self):
        return self.find("#reading").get_attribute("value")


def rows(folder):
    """Station and reading of the rows that count."""
    text = "".join(line for line in (folder / "tip.csv").read_text().splitlines(True) if not line.startswith("#"))
    return [(row["strip"], row["at_in"], row["a_in"]) for row in csv.DictReader(io.StringIO(text))]


def checked(program, folder):
    """Verdicts by strip and station, as the command tells them."""
    done = subprocess.run([program, "check", "yarrow.yaml", "tip.csv", "--shop", "saltmarsh-lane.yaml", "--section", "tip",
                           "--format", "csv"], cwd=folder, capture_output=True, text=True)
    return {(row["strip"], float(row["at_in"])): row for row in csv.DictReader(io.StringIO(done.stdout))}


def measure_ten(tab, server, folder):
    """Ten stations by keys; after the fourth the server is killed, and started again."""
    verdicts = []
    tab.driver.get(f"{server.address}/measure?{QUERY}")
    for number, typed in enumerate(TYPED):
        want("the prompt", f"tip s1, station {5 * number}, a" in tab.text("#prompt"), tab.text("#prompt"))
        if number == 4:
            server.kill()
            tab.type(typed)
            tab.until("a dead server is told", lambda: "does not answer" in tab.text("#say"))
            want("the reading", tab.reading() == typed, f"is gone from the field: {tab.reading()!r}")
            want("the file", len(rows(folder)) == 4, rows(folder))
            server.start()
            tab.type("")
        else:
            tab.type(typed)
        tab.until(f"reading {number}", lambda n=number: f"station {5 * n}, a:" in tab.text("#verdict"))
        verdicts.append(tab.text("#verdict .word").lower())
        want("the field", tab.reading() == "", tab.reading())
    want("the rows", [row[1] for row in rows(folder)] == [str(5 * n) for n in range(10)], rows(folder))
    return verdicts


def check_buttons(tab, folder):
    """The second strip: once more, take back, leave out, next strip, a place that is touched."""
    tab.type("9")
    tab.until("what cannot be", lambda: "cannot be" in tab.text("#verdict"))
    want("the refused reading", tab.reading() == "9" and len(rows(folder)) == 10, "is in the file, or lost")
    tab.find("#reading").clear()
    tab.type("0.0380")
    tab.until("s2", lambda: "s2, station 0, a:" in tab.text("#verdict"))
    tab.press("[data-do=again]")
    tab.until("again", lambda: "read once already" in tab.text("#prompt"))
    tab.type("0.0376")
    tab.until("mean", lambda: "mean of 2" in tab.text("#verdict"))
    tab.press("[data-do=back]")
    tab.until("back", lambda: "taken back" in tab.text("#verdict"))
    want("the rows", len(rows(folder)) == 11, rows(folder))
    tab.press("[data-go='11']")
    tab.until("touched", lambda: "s2, station 5, a" in tab.text("#prompt"))
    tab.press("[data-do=skip]")
    tab.until("left out", lambda: "s2, station 10, a" in tab.text("#prompt"))
    want("the shape", "left out" in tab.find("[data-go='11']").get_attribute("aria-label"), "is another")
    tab.press("[data-do=next]")
    tab.until("done", lambda: "All are measured or left out" in tab.text("#prompt"))


def check_tabs(tab, server, folder):
    """A second tab reads; the first one is told before anything of its own is kept."""
    first = tab.driver.current_window_handle
    tab.driver.get(f"{server.address}/measure?{QUERY}")
    tab.driver.switch_to.new_window("tab")
    tab.driver.get(f"{server.address}/measure?{QUERY}")
    tab.type("0.0444")
    tab.until("second tab", lambda: "s2, station 5, a:" in tab.text("#verdict"))
    tab.driver.switch_to.window(first)
    tab.type("0.0445")
    tab.until("first tab", lambda: "changed since they were shown" in tab.text("#verdict"))
    want("the rows", len(rows(folder)) == 12, rows(folder))
    want("the prompt", "s2, station 5, a" in tab.text("#prompt") and "read once already" in tab.text("#prompt"), tab.text("#prompt"))


def check_cut_off(tab, folder):
    """An answer is cut off in its midst: what was read is on the disk, and measuring goes on."""
    tab.driver.execute_script("""
      const whole = window.fetch;
      window.fetch = async (...call) => {
        window.fetch = whole;
        const { ok, status, headers } = await whole(...call);
        return { ok, status, headers, json: () => Promise.reject(new TypeError('network error')) };
      };""")
    tab.type("0.0510")
    tab.until("a cut answer is told", lambda: "does not answer" in tab.text("#say"))
    want("the reading", tab.reading() == "0.0510", f"is gone from the field: {tab.reading()!r}")
    want("the rows", len(rows(folder)) == 13, rows(folder))
    tab.type("")
    tab.until("it is there already", lambda: "changed since they were shown" in tab.text("#verdict"))
    want("the rows", len(rows(folder)) == 13, rows(folder))
    tab.find("#reading").clear()
    tab.press("[data-do=back]")
    tab.until("back", lambda: "taken back" in tab.text("#verdict"))


def check_going_on(tab, server):
    """From the folder's page back to where it was left."""
    tab.driver.get(f"{server.address}/")
    tab.press("a[href='/measure?readings=tip.csv']")
    tab.until("going on", lambda: "s2, station 10, a" in tab.text("#prompt"))


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name in ("--program", "--source"):
        parser.add_argument(name, required=True)
    arguments = parser.parse_args()
    if browser.missing():
        print(f"skipped: no {', '.join(browser.missing())}")
        return 77
    program = os.path.abspath(arguments.program)
    profiles = pathlib.Path(arguments.source).resolve() / "profiles"
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top, browser.Browser() as driven:
        folder = pathlib.Path(top)
        shutil.copy(profiles / "yarrow.yaml", folder)
        shutil.copy(profiles / "shops/saltmarsh-lane.yaml", folder)
        server = Server(program, folder)
        tab = Tab(driven._driver)
        try:
            told = measure_ten(tab, server, folder)
            said = checked(program, folder)
            by_command = [said["s1", 5.0 * n]["verdict"] for n in range(10)]
            want("the verdicts", told == by_command, f"{told}, by the command {by_command}")
            want("the verdicts", {"right", "thick", "thin", "unsure"} == set(told), f"not all kinds: {told}")
            check_buttons(tab, folder)
            check_tabs(tab, server, folder)
            check_cut_off(tab, folder)
            check_going_on(tab, server)
            sheet = urllib.request.urlopen(f"{server.address}/measure/sheet?{QUERY}").read().decode()
            want("the sheet", "Yarrow" in sheet and "s2" in sheet, "is another")
            server.end()
        except Failure as fault:
            print(fault)
            server.kill()
            return 1
    print(f"{len(TYPED)} readings, the server killed once")
    return 0


if __name__ == "__main__":
    sys.exit(main())
