#!/usr/bin/python3
"""What the pages take, as ratios measured in one run.

    page_speed.py --program stripwright --server stripwright-page [--runs N]

Beside `stripwright setup` of the same taper, shop and machine: the page of a rod, the answer to a
keystroke (figures of a draft), and a server's start up to its first page. All turn and turn about,
by one connection that stays open as a browser's does. Exit status 1 if a ratio is beyond what is
promised: a page or a keystroke 1.5 times `setup`, the start with its first page 4 times.
"""

import argparse
import http.client
import json
import os
import pathlib
import statistics
import sys
import tempfile
import time
import urllib.request

from setup_speed import seconds

SOURCE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "tests" / "page"))
import served  # noqa: E402

PROMISED = {"page": 1.5, "keystroke": 1.5, "start": 4}


class Asking:
    """One connection to a server."""

    def __init__(self, server):
        self.line = http.client.HTTPConnection("127.0.0.1", server.port)
        # What a browser says it can read, and what it sends an order with.
        self.reads = {"Accept-Encoding": "gzip, deflate, br"}
        self.headers = self.reads | {"Origin": server.address, "Content-Type": "application/json"}

    def timed(self, method, path, body=None):
        begun = time.perf_counter()
        self.line.request(method, path, body, self.headers if body else self.reads)
        answer = self.line.getresponse()
        text = answer.read()
        taken = time.perf_counter() - begun
        if answer.status != 200 or b"What to set" not in text:
            raise SystemExit(f"{path}: {answer.status} {text[:300]}")
        return taken


def started(program, lane):
    """A server's start, up to the folder's page."""
    begun = time.perf_counter()
    server = served.Server(program, lane)
    with urllib.request.urlopen(server.address + "/") as answer:
        answer.read()
    taken = time.perf_counter() - begun
    server.end()
    return taken


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--server", required=True)
    parser.add_argument("--runs", type=int, default=100)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    program_of_pages = str(pathlib.Path(options.server).resolve())
    failed = []
    for machine in ("copier", "steel form"):
        with served.server_on_a_lane(program_of_pages) as (server, lane):
            os.chdir(lane)
            setup = [program, "setup", "yarrow.yaml", "--shop", served.SHOP, "--machine", machine, "--out", ".out", "--force"]
            page = f"/rod?file=yarrow.yaml&shop={served.SHOP}&machine={machine.replace(' ', '%20')}"
            asking = Asking(server)
            taken = {"setup": [], "page": [], "keystroke": [], "start": []}
            for run in range(options.runs):
                order = {"file": "yarrow.yaml", "shop": served.SHOP, "machine": machine, "at": "5", "changes": [
                    {"path": ["taper", "5"], "was": "0.0810", "now": f"0.08{run % 10}1"}]}
                taken["setup"].append(seconds(setup, lane))
                taken["page"].append(asking.timed("GET", page))
                taken["keystroke"].append(asking.timed("POST", "/rod/figures", json.dumps(order)))
                if run % 10 == 0:
                    taken["start"].append(started(program_of_pages, lane))
            os.chdir(tempfile.gettempdir())
        median = {name: statistics.median(times) for name, times in taken.items()}
        for name, times in taken.items():
            ratio = median[name] / median["setup"]
            promised = f"(promised {PROMISED[name]})" if name in PROMISED else ""
            print(f"{machine:<11} {name:<10} {median[name] * 1e3:7.1f} ms, fastest {min(times) * 1e3:7.1f} ms, "
                  f"{ratio:5.2f} times setup {promised}")
            if ratio > PROMISED.get(name, ratio):
                failed.append(f"{machine}: {name}")
    print("beyond what is promised: " + ", ".join(failed) if failed else "all as promised")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
