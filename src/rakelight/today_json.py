"""Today as plain data, schema 1: keys are only ever added. Times are ISO 8601 with offset."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from rakelight.papers.soaking import Soak
from rakelight.papers.today import Doing, Rags, ToBuyNow, Today
from rakelight.papers.today_waits import Drying, HandTest


def today_json(today: Today) -> dict[str, Any]:
    """What to do now and next, what dries, tests, buying, rags and what is not confirmed."""
    behind = today.unconfirmed
    return {
        "at": _when(today.at),
        "now": [_doing(d) for d in today.now],
        "next": [_doing(d) for d in today.next],
        "drying": [_drying(d) for d in today.drying],
        "tests": [_test(t) for t in today.tests],
        "buy": [_buy(b) for b in today.buy],
        "rags": [_rags(r) for r in today.rags],
        "soak": [_soak(s) for s in today.soak],
        "unconfirmed": {
            "steps": len(behind.steps),
            "since": _when(behind.since),
            "ids": [{"piece": piece, "id": id} for piece, id in behind.steps],
        },
    }


def piece_today_json(today: Today) -> dict[str, Any]:
    """The same for one piece by itself, where `now` has always been the moment: what to do now is `doing`."""
    whole = today_json(today)
    return {**whole, "doing": whole["now"], "now": whole["at"]}


def _when(moment: datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None


def _doing(doing: Doing) -> dict[str, Any]:
    task, amount = doing.step, doing.amount
    minutes = task.minutes if task else None
    return {
        "piece": doing.piece,
        "id": doing.task,
        "part": doing.part,
        "says": doing.says,
        "faces": list(task.faces) if task else [],
        "start": _when(doing.start),
        "end": _when(doing.end),
        "place": doing.place,
        "who": (doing.placed.who if doing.placed else "") or "maker",
        "minutes": {"low": minutes.low, "likely": minutes.likely, "high": minutes.high} if minutes else None,
        "amount": amount.as_json() if amount else None,
        "test": task.test if task else "",
    }


def _drying(drying: Drying) -> dict[str, Any]:
    ready = drying.ready
    return {
        "piece": drying.piece,
        "part": drying.part,
        "face": drying.face,
        "for": ready.for_,
        "low": _when(ready.low),
        "likely": _when(ready.likely),
        "high": _when(ready.high),
        "id": drying.task,
        "laid": _when(drying.laid),
        "then": drying.then,
        "test": drying.test,
    }


def _test(test: HandTest) -> dict[str, Any]:
    return {
        "piece": test.piece,
        "part": test.part,
        "id": test.task,
        "says": test.says,
        "for": test.for_,
        "from": _when(test.from_),
        "likely": _when(test.likely),
        "high": _when(test.high),
        "chance": round(test.chance, 2) if test.chance is not None else None,
        "failed": _when(test.failed),
    }


def _buy(buy: ToBuyNow) -> dict[str, Any]:
    return {**buy.line.as_json(), "by": buy.by.isoformat(), "pieces": list(dict.fromkeys(buy.pieces))}


def _soak(soak: Soak) -> dict[str, Any]:
    return {
        "piece": soak.piece,
        "material": soak.material,
        "cut_lb": soak.cut_lb,
        "flakes_g": round(soak.flakes_g, 1),
        "alcohol_ml": round(soak.alcohol_ml),
        "by": _when(soak.by),
        "first": _when(soak.first),
    }


def _rags(rags: Rags) -> dict[str, Any]:
    return {
        "piece": rags.piece,
        "part": rags.part,
        "id": rags.task,
        "used": _when(rags.used),
        "by": _when(rags.by),
        "text": list(rags.text),
        "defers": rags.defers,
    }
