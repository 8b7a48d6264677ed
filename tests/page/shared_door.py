#!/usr/bin/python3
"""The address that is printed with --share, used from another host.

    shared_door.py --program stripwright

Two hosts of the test's own: network namespaces with a pair of interfaces between them, which takes
root and iproute2 (without them it is skipped, 77). One serves a folder with --share, the other is the
tablet: without the key it sees nothing, with it it comes in, once; it may then work as if it were
there, but not hand out keys. Other hosts' names are refused, and the loopback is not to be reached.
"""

import argparse
import contextlib
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile

SERVER, TABLET = "10.77.0.1", "10.77.0.2"
SPACES = ("stripwright-shop", "stripwright-tablet")


class Failure(Exception):
    """Something that must not be."""


def want(what, condition, detail=""):
    if not condition:
        raise Failure(f"{what}: {detail}")


def ip(*arguments):
    subprocess.run(["ip", *arguments], check=True, stderr=subprocess.PIPE)


@contextlib.contextmanager
def two_hosts():
    try:
        for space in SPACES:
            ip("netns", "add", space)
        ip("link", "add", "swshop", "netns", SPACES[0], "type", "veth", "peer", "name", "swtablet", "netns", SPACES[1])
        for space, link, address in ((SPACES[0], "swshop", SERVER), (SPACES[1], "swtablet", TABLET)):
            ip("-n", space, "address", "add", f"{address}/24", "dev", link)
            for each in (link, "lo"):
                ip("-n", space, "link", "set", each, "up")
        yield
    finally:
        for space in SPACES:
            subprocess.run(["ip", "netns", "delete", space], stderr=subprocess.DEVNULL, check=False)


def tablet(*arguments):
    """curl's status and output, from the other host."""
    done = subprocess.run(["ip", "netns", "exec", SPACES[1], "curl", "-s", "-m", "5", "-o", "-", "-w", "\n%{http_code}",
                           *arguments], stdout=subprocess.PIPE, text=True, check=False)
    text, _, status = done.stdout.rpartition("\n")
    return int(status or 0), text


def check(said, jar):
    found = re.search(rf"http://({SERVER}:(\d+))/\?key=(\w+)", said)
    want("the address", found, said)
    host, port, key = found.groups()
    page, with_jar = f"http://{host}/", ("-b", jar, "-c", jar)
    own = re.search(r"^Open http://127\.0\.0\.1:(\d+)/", said, re.M)[1]
    want("the loopback's port", tablet(f"http://{SERVER}:{own}/")[0] == 0, "is reached from outside")
    want("without a key", tablet(page)[0] == 403, "is let in")
    want("a wrong key", tablet(f"{page}?key=abc")[0] == 403, "is let in")
    want("by another name", tablet("-H", f"Host: rods.example:{port}", f"{page}?key={key}")[0] == 421, "is let in")
    want("a look at the address", tablet("-I", f"{page}?key={key}")[0] == 403, "is let in")
    want("with the key", tablet(*with_jar, f"{page}?key={key}")[0] == 303, "is not let in")
    status, text = tablet(*with_jar, page)
    want("with the cookie", status == 200 and "Yarrow" in text, f"{status} {text}")
    want("the key a second time", tablet(f"{page}?key={key}")[0] == 403, "is let in")
    order = ("-H", "Content-Type: application/json", "-d", "{}")
    want("a change from elsewhere", tablet(*with_jar, *order, "-H", "Origin: http://rods.example", f"{page}units")[0] == 403, "is made")
    from_here = (*with_jar, *order, "-H", f"Origin: http://{host}")
    want("a change from here", tablet(*from_here, f"{page}units")[0] == 200, "is refused")
    want("keys for others", tablet(*from_here, f"{page}share")[0] == 403, "are handed out")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    arguments = parser.parse_args()
    if os.geteuid() != 0 or not shutil.which("ip") or not shutil.which("curl"):
        print("skipped: takes root, iproute2 and curl")
        return 77
    program = os.path.abspath(arguments.program)
    profiles = pathlib.Path(__file__).resolve().parents[2] / "profiles"
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top, two_hosts():
        shutil.copy(profiles / "yarrow.yaml", top)
        running = subprocess.Popen(["ip", "netns", "exec", SPACES[0], program, "open", "--share", "--no-browser"], cwd=top,
                                   stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        said = ""
        try:
            for line in running.stdout:
                said += line
                if line.startswith("Open "):
                    break
            check(said, f"{top}/cookies")
        except Failure as fault:
            print(fault)
            return 1
        finally:
            running.send_signal(signal.SIGTERM)
            running.wait(10)
            running.stdout.close()
    print("let in once, by the key, and by nothing else")
    return 0


if __name__ == "__main__":
    sys.exit(main())
