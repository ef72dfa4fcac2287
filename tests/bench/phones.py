"""Fifty simulated phones at one shared table: own taps, a change that all see, memory.

    python tests/bench/phones.py [phones]

Each is a websocket that joined with the code. Limits of the order: own action p95 <= 60 ms, a shared change seen by
all in <= 500 ms, <= 1 MB of server memory each.
"""

import asyncio
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request
from pathlib import Path

import msgpack
import websockets

PAGE = {"route": "/", "width": 390, "height": 844, "web": True, "platform": "android"}
REGISTER, EVENT, ROUTE = 1, 3, "route_change"
WAIT_S = 30
QUIET_S = 0.4
"""[s] a screen that sends nothing for this long has been drawn."""


def joined(address, code):
    """Give the code once; the cookie."""
    form = urllib.parse.urlencode({"code": code}).encode()

    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None

    try:
        urllib.request.build_opener(Stay).open(f"{address}/enter", form)
    except urllib.error.HTTPError as answer:
        return answer.headers["set-cookie"].split(";")[0]
    raise RuntimeError("the code did not let in")


class Phone:
    """One session."""

    def __init__(self, socket):
        self.socket, self.came, self.last, self.targets = socket, asyncio.Queue(), None, {}
        self.reading = asyncio.create_task(self.read())

    async def read(self):
        async for message in self.socket:
            self.came.put_nowait((time.perf_counter(), message))

    async def start(self):
        await self.send(REGISTER, {"session_id": "", "page_name": "", "page": PAGE})
        return await self.drawn()

    async def send(self, action, body):
        await self.socket.send(b"\x00" + msgpack.packb([action, body]))

    async def drawn(self):
        """Everything that came until it was quiet."""
        got = [(await asyncio.wait_for(self.came.get(), WAIT_S))[1]]
        while True:
            try:
                got.append((await asyncio.wait_for(self.came.get(), QUIET_S))[1])
            except TimeoutError:
                return got

    def forget(self):
        while not self.came.empty():
            self.came.get_nowait()

    async def until(self, needle):
        """When a message with `needle` came."""
        while True:
            at, message = await asyncio.wait_for(self.came.get(), WAIT_S)
            if needle in message:
                return at


def control_with(messages, key):
    """The id of the control that carries this key or text."""

    def look(value):
        if isinstance(value, dict):
            if key in value.values() and "_i" in value:
                return value["_i"]
            value = list(value.values())
        if isinstance(value, list):
            return next((found for one in value if (found := look(one))), None)
        return None

    for message in messages:
        found = look(msgpack.unpackb(message[1:], strict_map_key=False, ext_hook=lambda _c, b: b))
        if found:
            return found
    raise LookupError(key)


def memory_mb(pid):
    line = next(s for s in Path(f"/proc/{pid}/status").read_text().splitlines() if s.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def p95(values):
    return statistics.quantiles(values, n=20)[-1] if len(values) > 1 else values[0]


async def bench(server, address, code, count):
    cookie = joined(address, code)
    before = memory_mb(server.pid)
    phones = []

    async def one():
        socket = await websockets.connect(
            address.replace("http", "ws") + "/ws", max_size=None, compression=None,
            additional_headers={"Cookie": cookie, "User-Agent": "bench"},
        )  # fmt: skip
        phone = Phone(socket)
        phone.first = await phone.start()
        return phone

    start = time.perf_counter()
    while len(phones) < count:
        phones += await asyncio.gather(*(one() for _ in range(min(10, count - len(phones)))))
    joined_s = time.perf_counter() - start
    each_mb = (memory_mb(server.pid) - before) / count

    # own action: a section and back, as a tap on the navigation sends it; timed to the first answer that draws
    own = []
    for turn in range(2):
        for phone in phones:
            phone.forget()
            began = time.perf_counter()
            await phone.send(EVENT, {"target": 1, "name": ROUTE, "data": {"route": ("/bins", "/")[turn]}})
            at, _ = await asyncio.wait_for(phone.came.get(), WAIT_S)
            own.append(1000 * (at - began))
        await asyncio.sleep(0.5)

    # shared change: one more phone joins while all look at the join screen, which says how many are in
    for phone in phones:
        await phone.send(EVENT, {"target": 1, "name": ROUTE, "data": {"route": "/join"}})
    await asyncio.sleep(3)
    shared = []
    for turn in range(5):
        for phone in phones:
            phone.forget()
        began = time.perf_counter()
        await asyncio.to_thread(joined, address, code)
        needle = f"Joined so far: {turn + 2}".encode()
        seen = await asyncio.gather(*(phone.until(needle) for phone in phones))
        shared.append(1000 * (max(seen) - began))
        await asyncio.sleep(0.5)
    figures = {
        "phones": count, "join_ms_each": 1000 * joined_s / count, "own_p50_ms": statistics.median(own),
        "own_p95_ms": p95(own), "shared_seen_by_all_ms": max(shared), "memory_mb_before": before,
        "memory_mb_each": each_mb,
    }  # fmt: skip
    print(json.dumps({k: round(v, 2) for k, v in figures.items()}, indent=1))
    for phone in phones:
        phone.reading.cancel()
        await phone.socket.close()


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    with tempfile.TemporaryDirectory() as folder:
        server = subprocess.Popen(
            [sys.executable, "-m", "intake", "serve", "--share", "--host", "127.0.0.1", "--demo", "--port", "0",
             "--ledger", f"{folder}/ledger"],
            stdout=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1", "FLET_FORCE_WEB_SERVER": "true"},
        )  # fmt: skip
        try:
            found = re.search(r"(http://\S+) and type the code ([0-9]{6})", server.stdout.readline())
            time.sleep(4)  # the packing of the client is over
            asyncio.run(bench(server, *found.groups(), count))
        finally:
            server.terminate()
            server.wait(10)
            server.stdout.close()


if __name__ == "__main__":
    main()
