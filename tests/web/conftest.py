"""The pages as they are served, and a browser to look at them with.

Tests that need a browser are skipped plainly where none is found: Debian's chromium (without a screen where it is
there: half the work for the processor), or the one Playwright brings.
"""

from __future__ import annotations

import fcntl
import os
import pickle
import re
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Thread

import httpx
import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import expect

from rakelight.desk import ShopPlan, open_shop
from rakelight.units import read_date
from rakelight.web.app import create_app
from rakelight.web.certificate import certificate_for
from rakelight.web.keeper import Stamp
from rakelight.web.serve import RunningClock

EXAMPLES = Path(__file__).parents[2] / "examples"
expect.set_options(timeout=30_000)

NOW = "10 Feb 2027 9:20"
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


@dataclass
class Served:
    """A server that runs."""

    address: str  # http://127.0.0.1:PORT
    shop_file: Path
    process: subprocess.Popen[str] | None

    def get(self, path: str) -> httpx.Response:
        """A page, as this computer's own browser would ask for it."""
        return httpx.get(self.address + path, timeout=30)

    def client(self) -> httpx.Client:
        """A visitor that keeps its cookie."""
        return httpx.Client(base_url=self.address, timeout=30, headers={"Origin": self.address})


def form_key(client: httpx.Client, path: str = "/") -> str:
    """The word that a form of a page carries."""
    found = re.search(r'name="form_key" value="(\w+)"', client.get(path).text)
    assert found, f"no form on {path}"
    return found[1]


def planned(served: Served, seconds: float = 300) -> None:
    """Wait until the bench shows a plan."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        told = httpx.get(f"{served.address}/api/ready", timeout=30).json()
        if told["planned"] and not told["working"]:
            return
        time.sleep(0.2)
    raise AssertionError("no plan in time")


def make_shop(path: Path, *names: str, now: str = "8 Feb 2027 8:00", shop: str = "shop-winter") -> Path:
    """A shop's file with pieces of the examples."""
    desk = open_shop(path, read_date(now))
    desk.set_shop((EXAMPLES / f"{shop}.toml").read_text("utf-8"))
    for name in names:
        key, _ = desk.add_piece((EXAMPLES / f"{name}.toml").read_text("utf-8"), f"{name}.toml")
        assert key == name
    desk.close()
    return path


def start(shop_file: Path, *more: str, now: str = NOW) -> Served:
    """Begin to serve a shop's file on a free port."""
    line = [sys.executable, "-m", "rakelight", "serve", "--port", "0", "--file", str(shop_file), "--now", now, *more]
    process = subprocess.Popen(line, stdout=subprocess.PIPE, text=True)
    assert process.stdout
    said = ""
    while not (found := re.search(r"https?://localhost:(\d+)/", said)):
        said = process.stdout.readline()
        assert said, f"the server ended: {process.wait(5)}"
    return Served(f"http://127.0.0.1:{found[1]}", shop_file, process)


@dataclass
class ServedHere(Served):
    """A server in this process: begun more quickly."""

    server: uvicorn.Server | None = None
    thread: Thread | None = None
    app: FastAPI | None = None


@dataclass
class Known:
    """A shop's file with its plan, reckoned once and copied for each test that wants the same."""

    content: bytes
    plan: ShopPlan
    stamp: Stamp


def reckoned(folder: Path, *names: str, now: str, shop: str) -> Known:
    """Have a plan reckoned by the pages themselves."""
    served = start_here(make_shop(folder / "shop.rakelight", *names, shop=shop), now)
    planned(served)
    keeper = served.app.state.keeper
    plan, stamp = keeper._plan, keeper._from
    stop(served)
    return Known(served.shop_file.read_bytes(), plan, stamp)


def start_here(
    shop_file: Path, now: str = NOW, lan: bool = False, known: Known | None = None, https: bool = False
) -> ServedHere:
    """Begin to serve a shop's file in this process; known, the plan of this very file, reckoned before."""
    more = {}
    if https:
        made = certificate_for(["localhost", "127.0.0.1"], shop_file.with_suffix(""))
        more = {"ssl_certfile": str(made.chain), "ssl_keyfile": str(made.key)}
    clock = RunningClock()
    app = create_app(shop_file, lan=lan, clock=clock)
    clock.stand_at(read_date(now), app.state.keeper.shop)
    if known:
        keeper = app.state.keeper
        keeper._plan, keeper._from = known.plan, known.stamp
    host = "0.0.0.0" if lan else "127.0.0.1"
    server = uvicorn.Server(uvicorn.Config(app, host=host, port=0, log_level="warning", ws="none", **more))
    thread = Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    return ServedHere(f"http{'s' * https}://127.0.0.1:{port}", shop_file, None, server, thread, app)


def stop(served: Served) -> None:
    """End a server."""
    if isinstance(served, ServedHere):
        served.server.should_exit = True
        served.thread.join(5)
        return
    served.process.terminate()
    served.process.wait(5)


@pytest.fixture(scope="session")
def bench(tmp_path_factory, plans):
    """A server over two pieces, planned; tests that share it only read."""
    path = tmp_path_factory.mktemp("bench") / "shop.rakelight"
    known = plans("one-board", "walnut-table", now=NOW, shop="shop-winter")
    path.write_bytes(known.content)
    served = start_here(path, known=known)
    yield served
    stop(served)


@pytest.fixture(scope="session")
def plans(tmp_path_factory):
    """Plans of the examples, each reckoned once, whichever worker wants it first."""
    base = tmp_path_factory.getbasetemp()
    folder = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base

    @cache
    def call(*names: str, now: str, shop: str) -> Known:
        kept = folder / f"{re.sub('[^a-z0-9]+', '-', ' '.join((*names, now, shop)).lower())}.plan"
        with kept.with_suffix(".lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not kept.exists():
                known = reckoned(tmp_path_factory.mktemp("plan"), *names, now=now, shop=shop)
                kept.write_bytes(pickle.dumps(known))
        found: Known = pickle.loads(kept.read_bytes())
        return found

    return call


@pytest.fixture
def fresh(tmp_path, plans):
    """Begins servers of a test's own: `fresh("one-board")`, planned already.

    With options of the command line (more), a process of its own that has still to plan.
    """
    begun: list[Served] = []

    def call(
        *names: str, now: str = NOW, more=(), lan: bool = False, shop: str = "shop-winter", https: bool = False
    ) -> Served:
        path = tmp_path / f"shop-{len(begun)}.rakelight"
        known = plans(*names, now=now, shop=shop) if names and not more else None
        if known:
            path.write_bytes(known.content)
        elif shop:
            make_shop(path, *names, shop=shop)
        begun.append(start(path, *more, now=now) if more else start_here(path, now, lan, known, https))
        return begun[-1]

    yield call
    for served in begun:
        stop(served)


def chromium() -> str | None:
    """Where a chromium is: Debian's, or what Playwright brought ("")."""
    names = ("chromium-headless-shell", "chromium", "chromium-browser")
    named = os.environ.get("RAKELIGHT_CHROMIUM") or next(filter(None, map(shutil.which, names)), None)
    if named:
        return named
    brought = Path(os.environ.get("PLAYWRIGHT_BROWSERS_PATH", Path.home() / ".cache" / "ms-playwright"))
    return "" if any(brought.glob("chromium*")) else None


@pytest.fixture(scope="session")
def browser():
    """A browser; the tests that want one are skipped where there is none."""
    where = chromium()
    if where is None:
        pytest.skip("no chromium here: install Debian's `chromium`, or run `playwright install chromium`")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        # the certificate made here is known to no browser; that it is checked is tried without a browser
        found = play.chromium.launch(executable_path=where or None, args=["--ignore-certificate-errors"])
        yield found
        found.close()


@pytest.fixture
def page_at(browser):
    """Opens a page: `page_at(address, width=390, scheme="dark", script=False)`; faults of its script fail the test."""
    contexts = []
    faults: list[str] = []

    def call(address: str, size=PHONE, scheme: str = "light", script: bool = True, context=None):
        if context is None:
            context = browser.new_context(
                viewport=size, color_scheme=scheme, java_script_enabled=script, has_touch=size is PHONE
            )
            contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda bad: faults.append(str(bad)))
        page.on("console", lambda said: faults.append(said.text) if "Content Security Policy" in said.text else None)
        page.goto(address)
        return page

    yield call
    for context in contexts:
        context.close()
    assert not faults, faults


def faults_of_access(page, only: tuple[str, ...] = ()) -> list[str]:
    """What axe finds on a page that is serious or critical; `only`, the rules that are looked at."""
    from axe_playwright_python.sync_playwright import Axe

    rules = {"runOnly": {"type": "rule", "values": list(only)}} if only else {}
    found = Axe().run(page, options={"resultTypes": ["violations"], **rules}).response["violations"]
    return [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found if v["impact"] in ("serious", "critical")]


#: the one rule that dark pages may break where light ones do not
CONTRAST = ("color-contrast",)
