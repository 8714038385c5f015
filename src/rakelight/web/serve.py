"""Serves the pages until ctrl-C."""

from __future__ import annotations

import os
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


def serve(shop_path: Path | None, port: int, lan: bool = False, now: DateWords | None = None) -> None:
    """Serve one shop's file until ctrl-C.

    Parameters: lan, let paired devices in; now, as if it were this moment, from which the clock runs on.
    Raises RakelightError where the file or the port cannot be used.
    """
    clock = RunningClock()
    app = create_app(shop_path, lan=lan, clock=clock)
    if now:
        clock.stand_at(now, app.state.keeper.shop)
    config = uvicorn.Config(
        app, host=EVERYWHERE if lan else LOOPBACK, port=port, log_level="warning", access_log=False,
        server_header=False, timeout_graceful_shutdown=1, ws="none", lifespan="on",
    )  # fmt: skip
    server = _Server(config)
    try:
        server.run()
    except KeyboardInterrupt:
        print("Ended. What was told is kept.", flush=True)
        os._exit(0)  # all is written and let go of; taking the interpreter down by pieces takes a second
    except SystemExit as bad:
        raise RakelightError(f"Port {port} is taken by another program; say another with --port.") from bad


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
    """Says where it is once it answers."""

    async def startup(self, sockets: Any = None) -> None:
        """Begin, and say where."""
        await super().startup(sockets)
        if self.started:
            port = self.servers[0].sockets[0].getsockname()[1]
            print(f"The bench: http://localhost:{port}/  (ctrl-C ends it)", flush=True)
