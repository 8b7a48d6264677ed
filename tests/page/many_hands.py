#!/usr/bin/python3
"""Many hands in one folder, through two servers at once: nothing that was kept may be lost.

    many_hands.py --server STRIPWRIGHT-PAGE --program STRIPWRIGHT [--seconds N] [--hands N]

Each hand does one kind of work again and again: edits a taper, edits and puts back a shop's file,
measures strips, chooses, enters flats, writes a set-up's files. Afterwards each change that was
answered with `saved` is in its file, each reading that was kept is a row, files are whole, nothing is
left beside them or open to be written to by everybody; and no answer was an error of the server's own.
"""

import argparse
import collections
import csv
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.parse
import urllib.request

import served

RING = ("format: stripwright-ring-1\ntaper: ../yarrow.yaml\nsection: tip\nunit: in\n"
        "strips: [t1, t2, t3, t4, t5, t6]\nreadings: {milled: ../strips.csv}\n")


class Hands:
    def __init__(self, program, servers, lane, seconds):
        self.program, self.servers, self.lane = program, servers, lane
        self.ends = time.monotonic() + seconds
        self.lock = threading.Lock()
        self.answers = collections.Counter()
        self.faults = []
        self.saved, self.flats = set(), set()
        self.readings = collections.Counter()

    def call(self, server, path, order=None):
        """Status and text; what is a fault of the server's is noted."""
        headers = {} if order is None else {"Content-Type": "application/json", "Origin": server.address}
        request = urllib.request.Request(server.address + path, headers=headers,
                                         data=None if order is None else json.dumps(order).encode())
        try:
            with urllib.request.urlopen(request, timeout=120) as answer:
                status, text = answer.status, answer.read().decode()
        except urllib.error.HTTPError as refused:
            status, text = refused.code, refused.read().decode()
        with self.lock:
            self.answers[path.split("?")[0], status] += 1
            if status >= 500:
                self.faults.append(f"{path}: {status} {text[:200]}")
        return status, text

    def work(self, kind, number):
        chance = random.Random(f"{kind}{number}")
        turn = 0
        try:
            while time.monotonic() < self.ends:
                getattr(self, kind)(self.servers[number % len(self.servers)], number, turn, chance)
                turn += 1
        except Exception as fault:  # pylint: disable=broad-except  (a thread's own would be lost)
            with self.lock:
                self.faults.append(f"{kind} {number}: {fault!r}")

    # --- one turn of each kind of work

    def taper(self, server, number, turn, chance):
        station = f"{1 + number % 40}.{turn % 997:03d}{number:02d}"
        order = {"file": "teasel.yaml", "shop": served.SHOP, "machine": "copier",
                 "changes": [{"path": ["taper", station], "was": None, "now": f"0.{200 + number}"}]}
        self.call(server, "/rod/figures", {**order, "whole": chance.random() < 0.3})
        for _ in range(20):  # others save too: once more, as a hand would
            status, _ = self.call(server, "/file/save", order)
            if status == 200:
                with self.lock:
                    self.saved.add(station)
            if status != 409:
                break
        for path in ("/file/state?file=teasel.yaml", "/file/earlier?file=teasel.yaml", "/"):
            self.call(server, path)

    def shop(self, server, _number, _turn, chance):
        now = re.search(r"cleanup: (\S+)", (self.lane / served.SHOP).read_text())[1]
        change = {"path": ["allowances", "cleanup"], "was": now, "now": chance.choice(["0.001", "0.0011", "0.0012"])}
        order = {"file": served.SHOP, "changes": [change]}
        self.call(server, "/shop/figures", {**order, "rod": "yarrow.yaml", "at": "10", "whole": True})
        self.call(server, "/file/save", order)
        _, text = self.call(server, f"/file/earlier?file={served.SHOP}")
        if kept := re.findall(r'data-back=\\"([^\\]*)\\"', text):
            self.call(server, "/file/back", {"file": served.SHOP, "id": chance.choice(kept)})

    def measure(self, server, number, _turn, chance):
        name = f"measured-{number // 2}.csv"  # two hands in each
        order = {"file": "yarrow.yaml", "shop": served.SHOP, "stage": "milled", "section": "tip", "strips": "30",
                 "heights": "a", "readings": name}
        _, text = self.call(server, "/measure?" + urllib.parse.urlencode(order))
        found = re.search(r'data-mark="([^"]*)" data-now="(\d+)"', text)
        if not found:
            return
        seen, now = found[1], int(found[2])
        for _ in range(6):
            wanted = re.search(r"<strong>([\d.]+) in</strong>", text)
            deed = {**order, "do": "read", "typed": wanted[1] if wanted else "0.05", "seen": seen, "now": now,
                    "left_out": []}
            status, text = self.call(server, "/measure/deed", deed)
            if status != 200:
                return
            answer = json.loads(text)
            with self.lock:
                self.readings[name] += bool(answer["kept"])
            seen, now, text = answer["mark"], answer["now"], answer["parts"]["prompt"]
            if chance.random() < 0.1:
                _, text = self.call(server, "/measure/deed", {**deed, "do": "back", "seen": seen, "now": now})
                with self.lock:
                    self.readings[name] -= "taken back" in text
                return

    def choose(self, server, _number, _turn, _chance):
        _, text = self.call(server, "/choose/run", {"file": "yarrow.yaml", "shop": served.SHOP, "stage": "milled",
                                                    "readings": "strips.csv", "rings": "1", "time": "1"})
        if found := re.search(r'data-keep=\\"([^\\]*)\\"', text):
            self.call(server, "/choose/keep", {"choice": found[1], "replace": True})
        self.call(server, "/choose")

    def enter_flats(self, server, number, turn, _chance):
        ring, stage = f"rings/r{number // 2}-{turn}.yaml", ("glued", "bare")[number % 2]  # two stages at once
        try:
            with open(self.lane / ring, "x", encoding="ascii") as file:
                file.write(RING)
        except FileExistsError:
            pass
        for _ in range(10):
            status, _ = self.call(server, "/learn/flats", {"ring": ring, "stage": stage, "f1-0": "0.07"})
            if status == 200:
                with self.lock:
                    self.flats.add((ring, stage))
                return

    def files(self, server, number, _turn, chance):
        self.call(server, "/rod/files", {"file": "yarrow.yaml", "shop": served.SHOP, "machine": "router"})
        self.call(server, f"/rod/sheet?file=yarrow.yaml&shop={served.SHOP}&machine=copier")
        self.call(server, "/rods/new", {"name": f"new{chance.randrange(8)}", "unit": "in", "to": "84", "step": "5",
                                        "thin": "0.07", "thick": "0.3", "sections": "2"})
        self.call(server, "/learn")

    # --- afterwards

    def lost(self):
        out = []
        taper = (self.lane / "teasel.yaml").read_text()
        out += [f"station {each}" for each in self.saved if not re.search(rf"^\s*{re.escape(each)}:", taper, re.M)]
        for name, kept in self.readings.items():
            path = self.lane / name
            rows = [line for line in path.read_text().splitlines() if line and not line.startswith("#")] if kept else []
            if kept and kept != len(rows) - 1:
                out.append(f"{name}: {kept} readings were kept, {len(rows) - 1} are there")
        out += [f"{stage} of {ring}" for ring, stage in self.flats if f"{stage}: " not in (self.lane / ring).read_text()]
        return out

    def untidy(self):
        out = [f"left over: {path}" for path in self.lane.rglob("*.tmp")]
        out += [f"open to everybody: {path}" for path in self.lane.rglob("*") if path.stat().st_mode & 0o022]
        for path in self.lane.glob("*.yaml"):
            if path.name != served.SHOP:
                done = subprocess.run([self.program, "taper", "lint", path.name], cwd=self.lane, text=True,
                                      capture_output=True, check=False)
                if done.returncode > 1:
                    out.append(f"{path.name}: {done.stdout}{done.stderr}")
        return out


def measure_strips(program, top, lane):
    """Readings of nine strips, off their targets by some tenths of a thousandth."""
    subprocess.run([program, "setup", "yarrow.yaml", "--shop", served.SHOP, "--machine", "lifting bed", "--section",
                    "tip", "--out", str(top / "targets")], cwd=lane, check=True, capture_output=True)
    with open(top / "targets/stations.csv", newline="", encoding="utf-8") as file:
        targets = list(csv.DictReader(file))
    (lane / "strips.csv").write_text(served.measured_strips(targets, 9, 5), encoding="utf-8")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--server", required=True)
    parser.add_argument("--program", required=True)
    parser.add_argument("--seconds", type=float, default=5)
    parser.add_argument("--hands", type=int, default=1, help="how many times one of each kind of work")
    call = parser.parse_args()
    program = str(pathlib.Path(call.program).resolve())
    with tempfile.TemporaryDirectory(prefix="stripwright-hands-") as top:
        lane = pathlib.Path(top, "lane")
        served.fill(lane)
        (lane / "rings").mkdir()
        measure_strips(program, pathlib.Path(top), lane)
        servers = [served.Server(call.server, lane) for _ in range(2)]
        hands = Hands(program, servers, lane, call.seconds)
        kinds = ["taper", "taper", "shop", "measure", "measure", "choose", "enter_flats", "enter_flats", "files"]
        begun = collections.Counter()
        threads = []
        for kind in kinds * call.hands:
            threads.append(threading.Thread(target=hands.work, args=(kind, begun[kind])))
            begun[kind] += 1
        for each in threads:
            each.start()
        for each in threads:
            each.join()
        faults = hands.faults + hands.lost() + hands.untidy()
        faults += [f"a server ended with {status}" for status in (each.end(seconds=30) for each in servers) if status]
    for fault in faults[:20]:
        print(fault)
    print(f"{sum(hands.answers.values())} answers; {len(hands.saved)} stations, {sum(hands.readings.values())} readings, "
          f"{len(hands.flats)} flats kept; {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
