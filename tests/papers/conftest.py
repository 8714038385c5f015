"""The examples planned once for all tests of papers."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from rakelight.desk import Answer, open_desk
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
SHOPS = {"music-cabinet": "shop-winter", "eight-stools": "shop-fair", "one-board": "shop-evenings"}


@cache
def _planned(piece: str, now: str, kept: str) -> Answer:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log.jsonl"
        moments = [kept, now] if kept else [now]
        for moment in moments:
            desk = open_desk(
                EXAMPLES / f"{piece}.toml", EXAMPLES / f"{SHOPS[piece]}.toml", now=read_date(moment), log_path=log
            )
            answer = desk.plan(odds="dates")
            if moment == kept:
                desk.keep(answer)
    return answer


@pytest.fixture
def planned() -> Callable[..., Answer]:
    """An example planned: its name, now, and when an earlier plan was kept."""

    def plan(piece: str, now: str = "8 Feb 2027 8:00", kept: str = "") -> Answer:
        return _planned(piece, now, kept)

    return plan
