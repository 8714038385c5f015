"""Serves the pages until ctrl-C."""

from __future__ import annotations

import asyncio
import os
import platform
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import Any

import uvicorn

from rakelight.desk import ShopDesk
from rakelight.errors import RakelightError
from rakelight.shop.hours import by_moment
from rakelight.units import DateWords
from rakelight.web.app import create_app
from rakelight.web.keeper import real_clock

LOOPBACK, EVERYWHERE = "127.0.0.1", "0.0.0.0"


def serve(
    shop_path: Path | None, port: int, lan: bool = False, https: bool = False, now: DateWords | None = None
) -> None:
    """Serve one shop's file until ctrl-C.

    Parameters: lan, let paired devices in; https, over a certificate made here; now, as if it were this moment, from
    which the clock runs on. Raises RakelightError where the file or the port cannot be used.
    """
    clock = RunningClock()
    app = create_app(shop_path, lan=lan, clock=clock)
    if now:
        clock.stand_at(now, app.state.keeper.shop)
    more: dict[str, Any] = {}
    says: list[str] = []
    if https:
        more, says = _secured(app.state.keeper.path, lan)
    config = uvicorn.Config(
        app, host=EVERYWHERE if lan else LOOPBACK, port=port, log_level="warning", access_log=False,
        server_header=False, timeout_graceful_shutdown=1, ws="none", lifespan="on", **more,
    )  # fmt: skip
    server = _Server(config, app.state.devices.link() if lan else "", says)
    try:
        server.run()
    except KeyboardInterrupt:
        print("Ended. What was told is kept.", flush=True)
        os._exit(0)  # all is written and let go of; taking the interpreter down by pieces takes a second
    except SystemExit as bad:
        raise RakelightError(f"Port {port} is taken by another program; say another with --port.") from bad


def _secured(shop_file: Path, lan: bool) -> tuple[dict[str, Any], list[str]]:
    """What the server needs for https, and what the maker compares on the phone."""
    from rakelight.web.addresses import own_addresses
    from rakelight.web.certificate import certificate_for

    name = platform.node().split(".")[0].lower()
    away = [*asyncio.run(own_addresses()), *([f"{name}.local"] if name else ())] if lan else []
    names = [*away, "localhost", LOOPBACK]
    made = certificate_for(names, shop_file.with_suffix(""))
    says = [f"The certificate's fingerprint (SHA-256): {made.fingerprint}",
            f"To be installed on a phone, if you like: {made.authority}"]  # fmt: skip
    return {"ssl_certfile": str(made.chain), "ssl_keyfile": str(made.key)}, says


class RunningClock:
    """The moment it is, or as if it had been another moment at the start."""

    def __init__(self) -> None:
        self.ahead = timedelta()

    def __call__(self) -> datetime:
        """The moment."""
        return real_clock() + self.ahead

    def stand_at(self, words: DateWords, shop: ShopDesk) -> None:
        """Begin at a date as written: wall time of the shop, or of this computer where the shop is not known."""
        if shop.shop_text:
            moment = by_moment(shop.shop, words)
        else:
            moment = datetime.combine(words.day, words.hour or time(8)).astimezone()
        self.ahead = moment - real_clock()


class _Server(uvicorn.Server):
    """Says where it is once it answers, and how a phone is paired."""

    def __init__(self, config: uvicorn.Config, link: str, says: list[str]) -> None:
        super().__init__(config)
        self.link, self.says = link, says

    async def startup(self, sockets: Any = None) -> None:
        """Begin, and say where."""
        await super().startup(sockets)
        if not self.started:
            return
        port = self.servers[0].sockets[0].getsockname()[1]
        secure = self.config.is_ssl
        lines = [f"The bench: http{'s' * secure}://localhost:{port}/  (ctrl-C ends it)", *self.says]
        if self.link:
            from rakelight.web.addresses import addresses, code_text

            at = await addresses(port, secure)
            links = [f"{address}pair/{self.link}" for address in at]
            if links:
                lines += [code_text(links[0]), f"Pair a phone, once, within ten minutes: {' or '.join(links)}"]
            else:
                lines.append("This computer is on no network; a phone cannot reach it yet.")
        print("\n".join(lines), flush=True)
