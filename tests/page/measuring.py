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
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser  # noqa: E402
import hand  # noqa: E402
from hand import Wrong, require  # noqa: E402

QUERY = "file=yarrow.yaml&shop=saltmarsh-lane.yaml&stage=milled&section=tip&strips=2&heights=a&readings=tip.csv"
# For the ten stations of the tip: some right, thick, thin, unsure; a caliper's plus sign and zeros.
TYPED = ["0.0378", "+00.0450", ".0535", "0.0590", "0.0679", "0.0770", "0.0842", "0.0900", "0.1010", "0.1070"]


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
        require(b"Open http" in self.running.stdout.readline(), "the server", "does not start")

    def kill(self):
        self.running.send_signal(signal.SIGKILL)
        self.running.wait()
        self.running.stdout.close()

    def end(self):
        self.running.send_signal(signal.SIGTERM)
        status = self.running.wait(10)
        self.running.stdout.close()
        require(status == 0, "the server", f"ended with {status}")


class Tab(hand.Hand):
    """A page of measuring, driven by keys and clicks."""

    def type(self, text):
        """As a caliper types: into whatever has the keyboard."""
        self.focused().send_keys(text, self.key.ENTER)

    def reading(self):
        return self.value("#reading")


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
        require(f"tip s1, station {5 * number}, a" in tab.text("#prompt"), "the prompt", tab.text("#prompt"))
        if number == 4:
            server.kill()
            tab.type(typed)
            tab.until("a dead server is told", lambda: "does not answer" in tab.text("#say"))
            require(tab.reading() == typed, "the reading", f"is gone from the field: {tab.reading()!r}")
            require(len(rows(folder)) == 4, "the file", rows(folder))
            server.start()
            tab.type("")
        else:
            tab.type(typed)
        tab.until(f"reading {number}", lambda n=number: f"station {5 * n}, a:" in tab.text("#verdict"))
        verdicts.append(tab.text("#verdict .word").lower())
        require(tab.reading() == "", "the field", tab.reading())
    require([row[1] for row in rows(folder)] == [str(5 * n) for n in range(10)], "the rows", rows(folder))
    return verdicts


def check_buttons(tab, folder):
    """The second strip: once more, take back, leave out, next strip, a place that is touched."""
    tab.type("9")
    tab.until("what cannot be", lambda: "cannot be" in tab.text("#verdict"))
    require(tab.reading() == "9" and len(rows(folder)) == 10, "the refused reading", "is in the file, or lost")
    tab.one("#reading").clear()
    tab.type("0.0380")
    tab.until("s2", lambda: "s2, station 0, a:" in tab.text("#verdict"))
    tab.click("[data-do=again]")
    tab.until("again", lambda: "read once already" in tab.text("#prompt"))
    tab.type("0.0376")
    tab.until("mean", lambda: "mean of 2" in tab.text("#verdict"))
    tab.click("[data-do=back]")
    tab.until("back", lambda: "taken back" in tab.text("#verdict"))
    require(len(rows(folder)) == 11, "the rows", rows(folder))
    tab.click("[data-go='11']")
    tab.until("touched", lambda: "s2, station 5, a" in tab.text("#prompt"))
    tab.click("[data-do=skip]")
    tab.until("left out", lambda: "s2, station 10, a" in tab.text("#prompt"))
    require("left out" in tab.one("[data-go='11']").get_attribute("aria-label"), "the shape", "is another")
    tab.click("[data-do=next]")
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
    require(len(rows(folder)) == 12, "the rows", rows(folder))
    require("s2, station 5, a" in tab.text("#prompt") and "read once already" in tab.text("#prompt"), "the prompt", tab.text("#prompt"))


def check_cut_off(tab, folder):
    """An answer is cut off in its midst: what was read is on the disk, and measuring goes on."""
    tab.run("""
      const whole = window.fetch;
      window.fetch = async (...call) => {
        window.fetch = whole;
        const { ok, status, headers } = await whole(...call);
        return { ok, status, headers, json: () => Promise.reject(new TypeError('network error')) };
      };""")
    tab.type("0.0510")
    tab.until("a cut answer is told", lambda: "does not answer" in tab.text("#say"))
    require(tab.reading() == "0.0510", "the reading", f"is gone from the field: {tab.reading()!r}")
    require(len(rows(folder)) == 13, "the rows", rows(folder))
    tab.type("")
    tab.until("it is there already", lambda: "changed since they were shown" in tab.text("#verdict"))
    require(len(rows(folder)) == 13, "the rows", rows(folder))
    tab.one("#reading").clear()
    tab.click("[data-do=back]")
    tab.until("back", lambda: "taken back" in tab.text("#verdict"))


def check_going_on(tab, server):
    """From the folder's page back to where it was left."""
    tab.driver.get(f"{server.address}/")
    tab.click("a[href='/measure?readings=tip.csv']")
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
        tab = Tab(driven.driver)
        try:
            told = measure_ten(tab, server, folder)
            said = checked(program, folder)
            by_command = [said["s1", 5.0 * n]["verdict"] for n in range(10)]
            require(told == by_command, "the verdicts", f"{told}, by the command {by_command}")
            require({"right", "thick", "thin", "unsure"} == set(told), "the verdicts", f"not all kinds: {told}")
            check_buttons(tab, folder)
            check_tabs(tab, server, folder)
            check_cut_off(tab, folder)
            check_going_on(tab, server)
            sheet = urllib.request.urlopen(f"{server.address}/measure/sheet?{QUERY}").read().decode()
            require("Yarrow" in sheet and "s2" in sheet, "the sheet", "is another")
            server.end()
        except Wrong as fault:
            print(fault)
            server.kill()
            return 1
    print(f"{len(TYPED)} readings, the server killed once")
    return 0


if __name__ == "__main__":
    sys.exit(main())
