"""The pages under use: `python -m bench.pages`. Never asserted in a test.

First page from the start of the process; reading pages with 20 who ask, each one page after another, and 100 pieces;
an entry until it is acknowledged, on the disk; the weight of a page with its pictures as sent; memory after 10,000
requests.
"""

from __future__ import annotations

import asyncio
import gzip
import json
import os
import re
import signal
import statistics
import subprocess
import sys
import tempfile
import time
import uuid
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import httpx
from bench.said import say

from rakelight.desk import open_shop
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[1] / "examples"
NOW = "8 Feb 2027 8:00"
CLIENTS, PIECES, AT_HAND, REQUESTS, ENTRIES = 20, 100, 6, 10_000, 200
#: the many requests are left off after this, and a plan waited for no longer
MOST_S = 300
_BOARD = """piece = "Shelf {n}"
unit = "in"
wanted = [{{ by = "20 June 2027" }}]

[part.board]
wood = "black walnut"
long = {long}
wide = 7
thick = "7/8"
finish = "oil-and-wax"
"""


class Running:
    """A server in a process of its own, as a maker begins it."""

    def __init__(self, shop_file: Path) -> None:
        line = [sys.executable, "-m", "rakelight", "serve", "--port", "0", "--file", str(shop_file), "--now", NOW]
        self.began = time.perf_counter()
        self.process = subprocess.Popen(line, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout
        found = re.search(r"http://localhost:(\d+)/", self.process.stdout.readline())
        assert found
        self.address = f"http://127.0.0.1:{found[1]}"

    def end(self) -> float:
        """End it as ctrl-C does; seconds until it is gone."""
        began = time.perf_counter()
        self.process.send_signal(signal.SIGINT)
        self.process.wait(30)
        return time.perf_counter() - began

    def memory_mb(self) -> float:
        """Memory it holds, MB; of the pages alone, not of what reckons beside them."""
        words = Path(f"/proc/{self.process.pid}/status").read_text("utf-8")
        return int(re.findall(r"VmRSS:\s+(\d+) kB", words)[0]) / 1000

    def cpu_s(self) -> float:
        """Processor time it has used, s."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text("utf-8").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def planned(self, most_s: float) -> bool:
        """Wait until its plan is there."""
        until = time.monotonic() + most_s
        while time.monotonic() < until:
            told = httpx.get(f"{self.address}/api/ready", timeout=60).json()
            if told["planned"] and not told["working"]:
                return True
            time.sleep(0.5)
        return False


def shop_of(folder: Path, pieces: int) -> Path:
    """A shop's file of so many pieces, the first of them the walnut table, the rest boards, most of them finished."""
    path = folder / f"shop-{pieces}.rakelight"
    desk = open_shop(path, read_date(NOW))
    desk.set_shop((EXAMPLES / "shop-winter.toml").read_text("utf-8"))
    desk.add_piece((EXAMPLES / "walnut-table.toml").read_text("utf-8"), "walnut-table.toml")
    for n in range(pieces - 1):
        key, _ = desk.add_piece(_BOARD.format(n=n, long=20 + n % 9), f"shelf-{n}.toml")
        if n >= AT_HAND - 1:
            desk.finish(key)
    desk.close()
    return path


def p95(seconds: list[float]) -> float:
    """The 95th of a hundred."""
    return statistics.quantiles(seconds, n=20)[-1]


class Visitor:
    """One who asks for one page after another over one connection, as a browser does; light, so as to cost little.

    The 20 share one processor with the pages: a heavy client would measure itself.
    """

    def __init__(self, address: str) -> None:
        self.host = address.removeprefix("http://")
        self._cookie = ""
        self._both: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(self, path: str, said: dict[str, Any] | None = None) -> tuple[int, bytes]:
        """A page, or what is answered to what is said; its code and its body, unpacked."""
        if self._both is None:
            self._both = await asyncio.open_connection(*self.host.split(":"))
        reader, writer = self._both
        body = json.dumps(said).encode() if said else b""
        head = [f"{'POST' if said else 'GET'} {path} HTTP/1.1", f"Host: {self.host}", "Accept-Encoding: gzip"]
        head += [f"Cookie: {self._cookie}"] if self._cookie else []
        head += [f"Origin: http://{self.host}", "Content-Type: application/json", f"Content-Length: {len(body)}"]
        writer.write("\r\n".join([*head[: None if said else -3], "", ""]).encode() + body)
        told = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1")
        lines = dict(line.lower().split(": ", 1) for line in told.split("\r\n")[1:] if line)
        if found := re.search(r"(?i)^set-cookie: ([^;]+)", told, re.MULTILINE):
            self._cookie = found[1]
        page = await reader.readexactly(int(lines["content-length"]))
        page = gzip.decompress(page) if lines.get("content-encoding") == "gzip" else page
        return int(told.split(" ", 2)[1]), page

    def leave(self) -> None:
        """Ask no more."""
        if self._both:
            self._both[1].close()


Ask = Callable[[Visitor, int], Awaitable[None]]


async def asked_by(address: str, clients: int, times: int, ask: Ask) -> list[float]:
    """Seconds of each request where so many ask at once, each one after another, each as often."""
    taken: list[float] = []

    async def one(visitor: Visitor, who: int) -> None:
        for n in range(times):
            began = time.perf_counter()
            await ask(visitor, who * times + n)
            taken.append(time.perf_counter() - began)

    visitors = [Visitor(address) for _ in range(clients)]
    await asyncio.gather(*(one(visitor, who) for who, visitor in enumerate(visitors)))
    for visitor in visitors:
        visitor.leave()
    return taken


def first_page(shop_file: Path) -> None:
    """From the start of the process to the first page; and from ctrl-C to its end."""
    firsts, cpus, ends = [], [], []
    for _ in range(3):
        served = Running(shop_file)
        assert httpx.get(f"{served.address}/", timeout=60).status_code == 200
        firsts.append(time.perf_counter() - served.began)
        cpus.append(served.cpu_s())
        ends.append(served.end())
    say("pages: first page, from the start of the process", min(firsts), "s", "2.5 s", min(firsts) / 2.5)
    say("pages: first page, processor of the pages", min(cpus), "s")
    say("pages: ended by ctrl-C", max(ends), "s", "2 s", max(ends) / 2)


def weight(served: Running) -> None:
    """The piece page with all it shows on a phone, as sent."""
    page = httpx.get(f"{served.address}/pieces/walnut-table").text
    shown = re.findall(r'<img[^>]* src="([^"]+)"', page)
    sent = 0
    for path in ("/pieces/walnut-table", "/static/page.css", "/static/page.js", *dict.fromkeys(shown)):
        with httpx.stream("GET", served.address + path, timeout=60) as answer:
            sent += sum(len(part) for part in answer.iter_raw())
    say("pages: weight of a piece with its pictures, as sent", sent / 1000, "kB", "200 kB", sent / 200_000)


def reading(served: Running, times: int) -> None:
    """Pages read by 20, each asking one after another."""
    paths = ["/", "/pieces", *(f"/pieces/shelf-{n}" for n in range(0, PIECES - 1, 7)), "/stock", "/more"]

    async def ask(visitor: Visitor, n: int) -> None:
        code, page = await visitor.ask(paths[n % len(paths)])
        assert code == 200 and b"</html>" in page

    asyncio.run(asked_by(served.address, 1, len(paths), ask))  # each once: what is drawn of a plan is kept with it
    began, cpu = time.process_time(), served.cpu_s()
    taken = asyncio.run(asked_by(served.address, CLIENTS, times, ask))
    pages_ms = (served.cpu_s() - cpu) / len(taken) * 1000
    asking_ms = (time.process_time() - began) / len(taken) * 1000
    many = f"{PIECES} pieces, {AT_HAND} at hand"
    each = f"pages: reading, {CLIENTS} one after another each, {many}"
    say(f"{each}, p95", p95(taken) * 1000, "ms", "100 ms", p95(taken) * 10)
    say(f"{each}, median", statistics.median(taken) * 1000, "ms")
    say("pages: reading, processor of a page", pages_ms, "ms")
    say("pages: reading, processor of who asks", asking_ms, "ms")
    beside = asyncio.run(_while_told(served.address, times, ask))
    say(f"{each}, an entry told each second, p95", p95(beside) * 1000, "ms", "100 ms", p95(beside) * 10)
    alone = asyncio.run(asked_by(served.address, 1, 100, ask))
    say(f"pages: reading, one alone, {many}, p95", p95(alone) * 1000, "ms")


async def tell(visitor: Visitor, n: int) -> None:
    """Tell an entry, and see it acknowledged."""
    told = {"kind": "note", "piece": f"shelf-{n % 50}", "words": f"note {n}", "id": uuid.uuid4().hex}
    code, answer = await visitor.ask("/api/log", told)
    assert code == 201, answer


async def _while_told(address: str, times: int, ask: Ask) -> list[float]:
    """Seconds of each page where 20 read, and every second something is told: all pages are drawn anew."""
    teller = Visitor(address)

    async def each_second() -> None:
        for n in range(1000):
            await tell(teller, n)
            await asyncio.sleep(1)

    telling = asyncio.create_task(each_second())
    taken = await asked_by(address, CLIENTS, times, ask)
    telling.cancel()
    teller.leave()
    return taken


def telling(served: Running) -> None:
    """Entries told one after another, each acknowledged."""
    cpu = served.cpu_s()
    taken = asyncio.run(asked_by(served.address, 1, ENTRIES, tell))
    say("pages: an entry, processor of the pages", (served.cpu_s() - cpu) / ENTRIES * 1000, "ms")
    say("pages: an entry acknowledged, p95", p95(taken) * 1000, "ms", "50 ms", p95(taken) * 20)


def memory(served: Running, requests: int) -> None:
    """What it holds after many requests; ended after some minutes, with how many there were."""
    until = time.monotonic() + MOST_S
    asked = 0

    async def ask(visitor: Visitor, n: int) -> None:
        nonlocal asked
        if time.monotonic() > until:
            return
        path = ("/", "/pieces", "/more", f"/pieces/shelf-{n % (PIECES - 1)}")[n % 4]
        code, _ = await visitor.ask(path)
        assert code == 200
        asked += 1
        if asked % 1000 == 0:
            print(f"{asked} of {requests} requests: {served.memory_mb():.0f} MB", file=sys.stderr, flush=True)

    asyncio.run(asked_by(served.address, 4, requests // 4, ask))
    held = served.memory_mb()
    say(f"pages: memory after {asked} requests", held, "MB", "350 MB", held / 350)


def main(requests: int = REQUESTS) -> None:
    """All of it."""
    with tempfile.TemporaryDirectory() as folder:
        first_page(shop_of(Path(folder), 2))
        served = Running(shop_of(Path(folder), PIECES))
        began = time.perf_counter()
        if not served.planned(3 * MOST_S):
            say("pages: plan of all pieces, not there in", 3 * MOST_S, "s")
        say(f"pages: plan of {AT_HAND} pieces beside the pages", time.perf_counter() - began, "s")
        try:
            weight(served)
            reading(served, 40)
            telling(served)
            memory(served, requests)
        finally:
            served.end()


if __name__ == "__main__":
    main()
