#!/usr/bin/python3
"""Malformed and hostile requests, sent raw to the pages' server.

    http_fuzz.py --server STRIPWRIGHT-PAGE [--count N] [--seed N]

Bad methods and lines, huge headers, wrong lengths, chunked rubbish, packed bodies, bodies without an
end, requests hidden in bodies, parts of pages, slow senders, many requests in one go, bad escapes,
other names for Host and Origin, paths that lead out of the folder, JSON that would burst. Whatever
is sent: each answer is one of HTTP with a status below 500 and the headers that keep other sites
out; it shows nothing of the server's memory but the page; nothing is done for another site's page;
no file is made or changed, in the folder or beside it; memory stays bounded; afterwards the server
answers as before and, with connections still open, ends at TERM with status 0.
"""

import argparse
import concurrent.futures
import gzip
import json
import pathlib
import random
import re
import socket
import sys
import time
import urllib.request

import served

PATHS = ["/", "/rod", "/rod/figures", "/rod/hand", "/rod/sheet", "/rods/new", "/rods/example", "/share",
         "/units", "/file/save", "/file/state", "/file/earlier", "/file/back", "/shop", "/measure",
         "/choose", "/learn", "/page.css", "/page.js"]
NAMES = ["yarrow.yaml", "../secret.yaml", "..%2f..%2fsecret.yaml", "%2e%2e/secret.yaml", "/etc/passwd",
         "....//secret.yaml", "%00", "yarrow.yaml%00.css", "%c0%ae%c0%ae/", "%", "%f", "%zz", "\xff",
         ".stripwright/before/x", "a" * 3000, "lane/../../secret.yaml", "out.yaml", "pipe.yaml", "C:\\x"]
SECRET = "format: stripwright-taper-1 # nobody's business"
PACKED = gzip.compress(b'{"file":"' + b"x" * 30_000_000 + b'"}', 1)
MOST_MEGABYTES = 300
SECONDS_A_CASE = 3
SLOW = 24
ENDLESS_MEGABYTES = 200


class Wrong(Exception):
    """Something the server does that it should not."""


class Cases:
    """Requests by chance: (what it is, its bytes, whether it may be answered with 2xx)."""

    def __init__(self, seed, host):
        self.chance = random.Random(seed)
        self.host = host

    def junk(self, most):
        return bytes(self.chance.randrange(256) for _ in range(self.chance.randrange(most)))

    def target(self):
        path = self.chance.choice(PATHS)
        name = self.chance.choice(NAMES)
        return self.chance.choice([path, f"{path}?file={name}", f"/{name}", f"{path}/{name}",
                                   f"{path}?{name}&&=&file", f"{path}?file={name}&shop={name}&at={name}"])

    def headers(self, **more):
        lines = {"Host": self.host, "Origin": f"http://{self.host}", "Content-Type": "application/json"}
        lines.update({key.replace("_", "-"): value for key, value in more.items()})
        return "".join(f"{key}: {value}\r\n" for key, value in lines.items() if value is not None)

    def get(self):
        connection = self.chance.choice([None, "close"])
        return "get", f"GET {self.target()} HTTP/1.1\r\n{self.headers(Connection=connection)}\r\n".encode("latin-1"), True

    def post(self, body, what="post", path=None, may=True, **more):
        path = path or self.chance.choice([each for each in PATHS if each not in ("/rods/new", "/rods/example")])
        more.setdefault("Content_Length", str(len(body)))
        head = f"POST {path} HTTP/1.1\r\n{self.headers(**more)}\r\n"
        return what, head.encode("latin-1") + body, may

    def method(self):
        method = self.chance.choice(["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PRI", "get", "G" * 9000,
                                     "", " ", "\x00", "GET\t", "HTTP/1.1"])
        return "method", f"{method} {self.target()} HTTP/1.1\r\n{self.headers(Content_Length='0')}\r\n".encode("latin-1"), False

    def line(self):
        line = self.chance.choice(["GET", "GET /", "GET / HTTP/9.9", "GET / HTTP/1.1 x", "GET  / HTTP/1.1", "/ GET HTTP/1.1",
                                   "GET http://bramble.example/ HTTP/1.1", "GET * HTTP/1.1", "GET /\x00 HTTP/1.1",
                                   "GET /" + "a" * 20000 + " HTTP/1.1", "GET / HTTP/1.1\n\n", "\r\n\r\n", "GET /%"])
        return "line", f"{line}\r\n{self.headers()}\r\n".encode("latin-1"), True

    def huge(self):
        kind = self.chance.randrange(4)
        more = {0: {"X": "a" * 100000}, 1: {f"X{i}": "a" for i in range(3000)}, 2: {"Cookie": "units=mm;" * 900},
                3: {"A" * 8000: "b"}}[kind]
        return "huge", f"GET / HTTP/1.1\r\n{self.headers(**more)}\r\n".encode("latin-1"), True

    def header(self):
        bad = self.chance.choice(["X", ":", "X:", " X: y", "X : y", "X: y\r\n continued", "X: \x00", "X: a\rY: b", "\x80: x",
                                  "Content-Length: 1\r\nContent-Length: 2", "Range: bytes=-1,0-,5-2", "Range: bytes=99999999-",
                                  "Expect: 100-continue", "Upgrade: h2c", "Connection: close, x", "Accept-Encoding: \xff",
                                  "If-None-Match: *", "Cookie: ====;;;"])
        return "header", f"GET {self.target()} HTTP/1.1\r\n{self.headers()}{bad}\r\n\r\n".encode("latin-1"), True

    def length(self):
        length = self.chance.choice(["-1", "99999999999999999999", "1048577", "abc", "", "0x10", "1e3", "5, 5", "+5", " 5 ", "1000"])
        return self.post(b"{}", "length", Content_Length=length)

    def chunked(self):
        body = self.chance.choice([b"zz\r\n{}\r\n0\r\n\r\n", b"ffffffffffffffff\r\n{}", b"-2\r\n{}\r\n0\r\n\r\n", b"2\r\n{}", b"2;x=y\r\n{}\r\n0\r\nX: y\r\n\r\n",
                                   b"2\r\n{}\r\n" * 2000 + b"0\r\n\r\n", b"0\r\n\r\n", self.junk(300)])
        return self.post(body, "chunked", Content_Length=None, Transfer_Encoding=self.chance.choice(["chunked", "chunked, chunked", "gzip, chunked", "identity"]))

    def packed(self):
        return self.post(PACKED, "packed", may=False, Content_Encoding=self.chance.choice(["gzip", "deflate", "br", "x"]))

    def foreign(self):
        if self.chance.random() < 0.5:
            host = self.chance.choice(["bramble.example", "127.0.0.1", f"127.0.0.1:{self.chance.randrange(70000)}x", "", f"{self.host}.bramble.example", "[::1]"])
            return "foreign", f"GET {self.target()} HTTP/1.1\r\n{self.headers(Host=host)}\r\n".encode("latin-1"), False
        body = json.dumps({"units": "mm"}).encode()
        more = self.chance.choice([{"Origin": "http://bramble.example"}, {"Origin": None}, {"Origin": "null"},
                                   {"Content_Type": "text/plain"}, {"Content_Type": None}, {"Sec_Fetch_Site": "cross-site"},
                                   {"Content_Type": "multipart/form-data; boundary=x"}])
        return self.post(body, "foreign", path="/units", may=False, **more)

    def hosts(self):
        return "hosts", f"GET / HTTP/1.1\r\nHost: {self.host}\r\nHost: bramble.example\r\n\r\n".encode(), False

    def bomb(self):
        deep = self.chance.randrange(1, 400_000)

        def changes(count):
            return json.dumps({"file": "yarrow.yaml", "changes": [
                {"path": ["taper", str(i)], "was": None, "now": "0.1"} for i in range(count)]}).encode()

        body = self.chance.choice([
            lambda: b"[" * deep, lambda: b'{"a":' * (deep // 5),
            lambda: b'{"changes":' + b"[" * (deep // 2) + b"]" * (deep // 2) + b"}",
            lambda: b'{"file":"' + b"x" * deep + b'"}', lambda: b'{"x":' + b"9" * deep + b"}",
            lambda: b'"\\ud800"', lambda: self.junk(2000), lambda: changes(deep // 400)])
        return self.post(body(), "bomb")

    def pipelined(self):
        count = self.chance.randrange(2, 40)
        return "pipelined", b"".join(self.chance.choice([self.get, self.method, self.foreign])()[1] for _ in range(count)), True

    def cut(self):
        _, request, may = self.chance.choice([self.get, self.length, self.bomb])()
        return "cut", request[:self.chance.randrange(len(request))], may

    def mutated(self):
        request = bytearray(self.chance.choice([self.get, self.foreign, lambda: self.post(b'{"file":"yarrow.yaml"}')])()[1])
        for _ in range(self.chance.randrange(1, 6)):
            request[self.chance.randrange(len(request))] = self.chance.randrange(256)
        return "mutated", bytes(request), True

    def one(self):
        kinds = {self.get: 8, self.method: 4, self.line: 5, self.huge: 3, self.header: 5, self.length: 5, self.chunked: 5,
                 self.packed: 1, self.foreign: 8, self.hosts: 1, self.bomb: 4, self.pipelined: 2, self.cut: 3, self.mutated: 10,
                 lambda: ("junk", self.junk(3000), True): 3}
        return self.chance.choices(list(kinds), list(kinds.values()))[0]()


def exchange(port, request):
    """What is answered until the server closes, or has nothing more to say. Who hangs up behind a
    request may get no answer, for the library takes the line for cut: but for requests that ask
    the server to close."""
    answer = b""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=SECONDS_A_CASE) as line:
            try:
                line.sendall(request)
                if b"Connection: close\r\n" not in request:
                    line.shutdown(socket.SHUT_WR)
                while part := line.recv(65536):
                    answer += part
            except OSError:  # closed by the server, perhaps before all was sent
                pass
    except OSError as fault:
        raise Wrong(f"no connection to be had: {fault}") from fault
    return answer


def check_answer(what, answer, may):
    """Every answer of one connection."""
    # Bodies of pages hold no such line.
    for head in re.findall(rb"HTTP/1\.[01] (\d{3})[^\r]*\r\n(.*?)\r\n\r\n", answer, re.S):
        status, headers = int(head[0]), head[1].lower()
        if status == 100:
            continue
        if status >= 500:
            raise Wrong(f"{what}: status {status}: {answer[:600]!r}")
        if b"content-security-policy:" not in headers or b"x-content-type-options: nosniff" not in headers:
            raise Wrong(f"{what}: status {status} without its headers: {headers!r}")
        if b"access-control-allow-origin" in headers:
            raise Wrong(f"{what}: other sites are let in")
        if 200 <= status < 300 and not may:
            raise Wrong(f"{what}: was let in: {answer[:600]!r}")
    if SECRET.encode() in answer or b"root:" in answer:
        raise Wrong(f"{what}: a file from outside was shown")


def slow_sender(port, host, seconds):
    """A byte now and then."""
    request = f"POST /units HTTP/1.1\r\nHost: {host}\r\nX: {'y' * 1000}".encode()
    with socket.create_connection(("127.0.0.1", port), timeout=seconds) as line:
        until = time.monotonic() + seconds
        try:
            for byte in request:
                line.send(bytes([byte]))
                time.sleep(0.2)
                if time.monotonic() > until:
                    return
        except ConnectionError:
            return


def asked(server, path):
    with urllib.request.urlopen(server.address + path, timeout=5) as answer:
        return answer.read()


def headers_of(answer):
    head, _, body = answer.partition(b"\r\n\r\n")
    lines = (line.split(b":", 1) for line in head.lower().split(b"\r\n")[1:])
    return int(head.split(b" ")[1]), {name: value.strip() for name, value in lines}, body


def parts_of_pages(server):
    """A part is asked for, within the page, across its end or beyond: what lies in memory behind a
    page is nobody's business. The whole page is a right answer (RFC 9110, 14.2)."""
    failures = []
    for path in ("/page.css", "/nowhere"):
        for host in (server.host, "bramble.example"):
            ask = f"GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n"
            status, _, whole = headers_of(exchange(server.port, f"{ask}\r\n".encode()))
            for part in ("0-9", "20-3000000", "3000000-3000010", "90000-", "-3000000", "5-2", "0-0,3000000-3000010", "0-0,-1"):
                got, headers, body = headers_of(exchange(server.port, f"{ask}Range: bytes={part}\r\n\r\n".encode()))
                refused = got == 416 and len(body) < len(whole)
                right = refused or (got == status and body == whole and b"content-range" not in headers)
                if not right or int(headers[b"content-length"]) != len(body):
                    failures.append(f"part {part} of {path}: status {got}, {len(body)} bytes of {len(whole)}")
    return failures


def hidden_requests(server):
    """A request of this server's own page in the body of another site's, which is refused before
    that is read. Sent a moment later it lies at the beginning of what is read next."""
    order = json.dumps({"file": "yarrow.yaml", "changes": [{"path": ["name"], "was": "Yarrow", "now": "Hemlock"}]})
    hidden = (f"POST /file/save HTTP/1.1\r\nHost: {server.host}\r\nOrigin: http://{server.host}\r\n"
              f"Content-Type: application/json\r\nContent-Length: {len(order)}\r\n\r\n{order}").encode()
    failures = []
    for line, header in (("POST /" + "a" * 9000, ""), ("POST /units", "Range: bytes=9999999999999999999-\r\n"),
                         ("POST /units", f"X: {'a' * 9000}\r\n"), ("PUT /units", ""), ("GET /", ""), ("HEAD /", ""),
                         ("POST /units", "Content-Encoding: gzip\r\n"), ("POST /units", "Expect: 100-continue\r\n")):
        outer = (f"{line} HTTP/1.1\r\nHost: {server.host}\r\nOrigin: http://bramble.example\r\n"
                 f"Content-Type: text/plain\r\n{header}Content-Length: {len(hidden)}\r\n\r\n")
        with socket.create_connection(("127.0.0.1", server.port), timeout=SECONDS_A_CASE) as connection:
            answer = b""
            try:
                connection.sendall(outer.encode())
                time.sleep(0.1)
                connection.sendall(hidden)
                while (part := connection.recv(65536)) and b"Saved" not in answer:
                    answer += part
            except (ConnectionError, TimeoutError):
                pass
        if b"Saved" in answer:
            failures.append(f"{line[:20]} {header[:20]!r}: the request in its body was done")
    return failures


def endless_bodies(server):
    """Bodies that do not tell how long they are, and go on."""
    failures = []
    megabyte = b"x" * 2**20
    for what, head, piece in (("chunks", "Transfer-Encoding: chunked\r\n", b"100000\r\n" + megabyte + b"\r\n"),
                              ("no length", "", megabyte)):
        with socket.create_connection(("127.0.0.1", server.port), timeout=SECONDS_A_CASE) as line:
            try:
                line.sendall(f"POST /units HTTP/1.1\r\nHost: {server.host}\r\n{head}\r\n".encode())
                for _ in range(ENDLESS_MEGABYTES):
                    line.sendall(piece)
                line.shutdown(socket.SHUT_WR)
                line.recv(65536)
            except (ConnectionError, TimeoutError):
                pass
        if (peak := server.memory("VmHWM") // 1024) > MOST_MEGABYTES:
            failures.append(f"{what}: {ENDLESS_MEGABYTES} MB sent, it took {peak} MB")
    return failures


def run(server, lane, count, seed):
    (lane.parent / "secret.yaml").write_text(SECRET, encoding="utf-8")
    (lane / "out.yaml").symlink_to("../secret.yaml")
    before = served.prints(lane.parent)
    page = "/rod?file=yarrow.yaml&shop=saltmarsh-lane.yaml&machine=copier"
    first = asked(server, page)
    cases = Cases(seed, server.host)
    requests = [cases.one() for _ in range(count)]
    tally = {}
    failures = []
    with concurrent.futures.ThreadPoolExecutor(16 + SLOW) as pool:
        slow = [pool.submit(slow_sender, server.port, server.host, 12) for _ in range(SLOW)]
        answers = [(what, request, may, pool.submit(exchange, server.port, request)) for what, request, may in requests]
        for what, request, may, answer in answers:
            tally[what] = tally.get(what, 0) + 1
            try:
                check_answer(what, answer.result(), may)
            except Wrong as wrong:
                failures.append(f"{wrong}\n  sent {request[:300]!r}")
        for each in slow:
            each.result()
    failures = failures[:10] + parts_of_pages(server) + hidden_requests(server) + endless_bodies(server)
    if (ended := server.process.poll()) is not None:
        print(f"the server has ended with {ended}: {server.process.stderr.read()}")
        return 1
    if asked(server, page) != first:
        failures.append("the page is another one afterwards")
    if served.prints(lane.parent) != before:
        failures.append("files were made or changed")
    peak = server.memory("VmHWM") // 1024
    if peak > MOST_MEGABYTES:
        failures.append(f"it took {peak} MB")
    # Connections that say nothing, or begin to, must not hold it up.
    open_lines = [socket.create_connection(("127.0.0.1", server.port)) for _ in range(20)]
    for line in open_lines[:10]:
        line.sendall(b"GET / HTTP/1.1\r\nHost: ")
    begun = time.monotonic()
    status = server.end()
    if status != 0:
        failures.append(f"TERM: ended with {status}")
    took = time.monotonic() - begun
    for line in open_lines:
        line.close()
    print(f"{count} requests: " + ", ".join(f"{n} {what}" for what, n in sorted(tally.items())))
    print(f"at most {peak} MB; ended {took:.1f} s after TERM; {len(failures)} faults")
    for failure in failures:
        print(failure)
    return 1 if failures else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--server", required=True)
    parser.add_argument("--count", type=int, default=3000)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    with served.server_on_a_lane(pathlib.Path(arguments.server)) as (server, lane):
        return run(server, lane, arguments.count, arguments.seed)


if __name__ == "__main__":
    sys.exit(main())
