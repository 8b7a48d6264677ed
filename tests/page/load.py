#!/usr/bin/python3
"""Many connections at once to the pages' server.

    load.py CONNECTIONS SECONDS --server STRIPWRIGHT-PAGE

Each keeps its connection open and asks for pages and figures of drafts, without a pause, one answer
after the other. Prints how many were answered a second and how long the slowest waited; any answer
that is not 200 or not the expected one, and any connection that breaks off, is an error and gives
status 1. How fast it is, is told and not judged.
"""

import argparse
import asyncio
import json
import pathlib
import random
import sys
import time

import served

GIVE_UP = 30


class Broken(Exception):
    """No answer, or not the right one."""


def requests_of(host):
    """What is asked for: (bytes, what must stand in the answer)."""
    out = []
    for rod in served.RODS:
        for machine in ("copier", "steel%20form"):
            out.append((f"GET /rod?file={rod}.yaml&shop={served.SHOP}&machine={machine} HTTP/1.1\r\nHost: {host}\r\n\r\n".encode(),
                        b"What to set"))
        for station in ("0", "5", "10"):
            order = json.dumps({"file": f"{rod}.yaml", "shop": served.SHOP, "machine": "copier", "at": station,
                                "changes": [{"path": ["name"], "was": rod.title(), "now": f"{rod} {station}"}]})
            out.append((f"POST /rod/figures HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\n"
                        f"Content-Type: application/json\r\nContent-Length: {len(order)}\r\n\r\n{order}".encode(),
                        b"What to set"))
    out.append((f"GET / HTTP/1.1\r\nHost: {host}\r\n\r\n".encode(), b"Yarrow"))
    out.append((f"GET /page.css HTTP/1.1\r\nHost: {host}\r\n\r\n".encode(), b"body"))
    return out


async def answer_of(reader):
    head = await reader.readuntil(b"\r\n\r\n")
    length = next(int(line.split(b":")[1]) for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:"))
    return head.split(b" ")[1], b"connection: close" in head.lower(), await reader.readexactly(length)


async def visitor(number, port, requests, until, waits, errors):
    """One connection, opened anew where the server has closed it."""
    chance = random.Random(number)
    reader = writer = None
    while time.monotonic() < until:
        request, wanted = chance.choice(requests)
        begun = time.monotonic()
        try:
            if writer is None:
                reader, writer = await asyncio.wait_for(asyncio.open_connection("127.0.0.1", port), GIVE_UP)
            writer.write(request)
            status, closes, body = await asyncio.wait_for(answer_of(reader), GIVE_UP)
            if status != b"200" or wanted not in body:
                raise Broken(f"status {status}: {body[:200]}")
            waits.append(time.monotonic() - begun)
            if closes:
                writer.close()
                writer = None
        except (OSError, EOFError, asyncio.TimeoutError, Broken, StopIteration) as fault:
            errors.append(f"{type(fault).__name__} {fault}")
            if writer:
                writer.close()
            writer = None
    if writer:
        writer.close()


async def visit(server, connections, seconds):
    waits, errors = [], []
    begun = time.monotonic()
    until = begun + seconds
    requests = requests_of(server.host)
    await asyncio.gather(*(visitor(i, server.port, requests, until, waits, errors) for i in range(connections)))
    return sorted(waits), errors, time.monotonic() - begun


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("connections", type=int)
    parser.add_argument("seconds", type=float)
    parser.add_argument("--server", required=True)
    arguments = parser.parse_args()
    with served.server_on_a_lane(pathlib.Path(arguments.server)) as (server, _):
        before = server.memory()
        waits, errors, took = asyncio.run(visit(server, arguments.connections, arguments.seconds))
        after = server.memory()
        status = server.end()
    if not waits:
        print("nothing was answered")
        return 1
    print(f"{len(waits)} answers, {len(waits) / took:.0f} a second; half within "
          f"{waits[len(waits) // 2] * 1e3:.0f} ms, 99 of 100 within {waits[int(len(waits) * 0.99)] * 1e3:.0f} ms; "
          f"{before // 1024} MB before, {after // 1024} MB after; {len(errors)} errors")
    for error in errors[:10]:
        print(error)
    if status != 0:
        print(f"TERM: ended with {status}")
    return 1 if errors or status != 0 else 0


if __name__ == "__main__":
    sys.exit(main())
