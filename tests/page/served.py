"""The pages' server, started on a folder of its own."""

import contextlib
import hashlib
import pathlib
import re
import shutil
import signal
import subprocess
import tempfile

PROFILES = pathlib.Path(__file__).resolve().parents[2] / "profiles"
RODS = ("yarrow", "teasel", "burdock")
SHOP = "saltmarsh-lane.yaml"


def fill(folder):
    """The examples' rods and shop, as a maker's folder has them."""
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for rod in RODS:
        shutil.copy(PROFILES / f"{rod}.yaml", folder)
    shutil.copy(PROFILES / "shops" / SHOP, folder)


def measured_strips(targets, strips, decimals):
    """Readings of so many strips of Yarrow's tip, off the targets (rows of stations.csv) by some tenths
    of a thousandth."""
    lines = ["strip,section,at_in,a_in"]
    for strip in range(1, strips + 1):
        for place, row in enumerate(targets):
            height = float(row["strip_milled_in"]) + 0.00006 * ((strip * 7 + place * (strip % 3)) % 11 - 5)
            lines.append(f"t{strip},tip,{float(row['at_in']):g},{height:.{decimals}f}")
    return "\n".join(lines) + "\n"


def prints(folder):
    """What is in a folder: each file's name and the hash of its bytes."""
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(pathlib.Path(folder).rglob("*")) if path.is_file()}


class Server:
    """stripwright-page on a folder; `port` 0 is any that is free."""

    def __init__(self, program, folder, port=0, environment=None):
        self.process = subprocess.Popen(
            [str(pathlib.Path(program).resolve()), str(port), "just", "alone", "quiet"], cwd=folder,
            env=environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            text=True)
        line = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", line)
        if not found:
            self.process.kill()
            raise RuntimeError(f"not started: {line}{self.process.stderr.read()}")
        self.port = int(found[1])
        self.host = f"127.0.0.1:{self.port}"
        self.address = f"http://{self.host}"

    def memory(self, what="VmRSS"):
        """Kilobytes."""
        status = pathlib.Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        return int(re.search(rf"{what}:\s+(\d+) kB", status)[1])

    def end(self, with_signal=signal.SIGTERM, seconds=10):
        """Ends it; the exit status."""
        if self.process.poll() is None:
            self.process.send_signal(with_signal)
        try:
            return self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return None
        finally:
            self.process.stdout.close()
            self.process.stderr.close()


@contextlib.contextmanager
def server_on_a_lane(program):
    """A filled folder in one that is otherwise empty, and the server on it."""
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        lane = pathlib.Path(top, "lane")
        fill(lane)
        server = Server(program, lane)
        try:
            yield server, lane
        finally:
            if server.process.poll() is None:
                server.end()
