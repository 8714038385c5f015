"""The same verbs as plain data: what is planned, what to do today, and what happened."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fastapi import FastAPI, Request
from pydantic import BaseModel, Field

from rakelight.errors import Misread, RakelightError
from rakelight.log.events import as_plain
from rakelight.today_json import today_json
from rakelight.web import telling
from rakelight.web.keeper import keeper_of, shop_of
from rakelight.web.sent import Sent


class Told(BaseModel):
    """Something that happened. `id` is made by whoever tells: the same id sent again is one entry."""

    kind: str = Field(description="done, started, skipped, tested, note, fault or reading", max_length=20)
    piece: str = Field("", description="key of the piece", max_length=200)
    task: str = Field("", description="id of the step", max_length=300)
    id: str = Field("", description="8 to 64 letters, digits, - or _", max_length=64)
    at: datetime | None = Field(None, description="when it was, with its offset; else now")
    passed: bool | None = Field(None, description="of a hand test")
    again_h: float | None = Field(None, description="look again after this many hours", gt=0, lt=1440)
    used_ml: float | None = Field(None, description="what was used, ml", ge=0, lt=1e6)
    took_min: float | None = Field(None, description="the time it took, min", ge=0, lt=1e4)
    coats: int | None = Field(None, description="coats the step takes in all", ge=1, le=20)
    what: str = Field("", description="what was seen, of a fault; air or wood, of a reading", max_length=60)
    words: str = Field("", max_length=4000)
    values: dict[str, float] = Field({}, description="of a reading: temp_c, rh, mc_pct", max_length=12)

    def as_sent(self, request: Request) -> Sent:
        """The same as a form would have sent it."""
        told = {"piece": self.piece, "task": self.task, "id": self.id, "words": self.words, "what": self.what}
        if self.at is not None:
            if self.at.tzinfo is None:
                raise Misread(f"{self.at.isoformat()} has no offset.", "Write it as 2027-03-02T16:10-06:00.")
            now = shop_of(request).now
            told["ago_s"] = str(max(0.0, (now - self.at).total_seconds()))
            if self.at > now:
                raise Misread(f"{self.at.isoformat()} is still to come.", "Tell what has happened.")
        figures = {"used": self.used_ml, "took": self.took_min, "coats": self.coats, "again_h": self.again_h}
        told |= {name: str(value) for name, value in figures.items() if value is not None}
        return Sent({k: v.replace("\0", "") for k, v in told.items()}, (), request.state.who.name)


def register(app: FastAPI) -> None:
    """Add the interface."""
    _add_reading(app)
    _add_telling(app)


def _add_reading(app: FastAPI) -> None:
    @app.get("/api/today", tags=["today"])
    def today(request: Request) -> dict[str, Any]:
        """Now, next, drying, tests, buying and rags, by the plan reckoned last."""
        keeper = keeper_of(request)
        found = keeper.today()
        if found is None:
            return {"schema": 1, "planned": False, "now": [], "next": []}
        return {"schema": 1, "planned": True, **today_json(found)}

    @app.get("/api/pieces", tags=["pieces"])
    def pieces(request: Request) -> dict[str, Any]:
        """All pieces, with their dates where there is a plan."""
        plan = keeper_of(request).plan
        rows = []
        for row in shop_of(request).pieces():
            answer = plan.answers.get(row.key) if plan else None
            dues = [
                {"for": d.for_, "by": d.by.isoformat(), "likely": d.likely.isoformat() if d.likely else None,
                 "odds": round(d.odds.chance, 2) if d.odds else None}
                for d in (answer.plan.due if answer else ())
            ]  # fmt: skip
            rows.append({"key": row.key, "name": row.name, "at_hand": row.at_hand, "due": dues})
        return {"schema": 1, "pieces": rows}

    @app.get("/api/pieces/{key}", tags=["pieces"])
    def piece(request: Request, key: str) -> dict[str, Any]:
        """A piece: its file, and its steps where there is a plan."""
        row = shop_of(request).piece(key)
        plan = keeper_of(request).plan
        answer = plan.answers.get(key) if plan else None
        steps = [
            {"id": id, "start": p.start.isoformat(), "end": p.end.isoformat(), "place": p.place, "done": p.done,
             "as_planned": p.hollow}
            for id, p in (answer.plan.placed.items() if answer else ())
        ]  # fmt: skip
        return {"schema": 1, "key": row.key, "name": row.name, "file": row.text, "steps": steps}

    @app.get("/api/log", tags=["log"])
    def log(request: Request, piece: str = "") -> dict[str, Any]:
        """What was told and counts, of one piece or of all; plans kept are left out."""
        told = [e for e in shop_of(request).counting(piece) if e.kind != "planned"]
        return {"schema": 1, "told": [as_plain(e) for e in told[-1000:]]}


def _add_telling(app: FastAPI) -> None:
    @app.post("/api/log", tags=["log"], status_code=201)
    def tell(request: Request, told: Told) -> dict[str, Any]:
        """Tell what happened. What cannot have been so is refused in one sentence (409 or 422)."""
        shop, sent = shop_of(request), told.as_sent(request)
        if told.kind == "done":
            event = telling.tell_done(sent, shop)
        elif told.kind == "tested":
            event = telling.tell_test(sent, shop, bool(told.passed))
        elif told.kind in ("started", "skipped", "note", "fault", "reading"):
            more: dict[str, Any] = {}
            if told.kind in ("fault", "reading", "note"):
                more = {"words": sent["words"], "what": sent["what"]}
            if told.kind == "reading":
                more["values"] = dict(told.values)
            event = telling.tell_simple(sent, shop, told.kind, **more)
        else:
            known = "done, started, skipped, tested, note, fault or reading"
            raise Misread(f"{told.kind!r} is nothing that is told here.", f"Write {known}.")
        return {"schema": 1, "told": as_plain(event)}

    @app.post("/api/log/{id}/back", tags=["log"])
    def back(request: Request, id: str) -> dict[str, Any]:
        """Take an entry back: it stays in the log and no longer counts."""
        if not id.strip():
            raise RakelightError("Nothing is named that could be taken back.")
        return {"schema": 1, "told": as_plain(shop_of(request).undo(id))}

    @app.post("/api/plan", tags=["today"], status_code=202)
    def plan(request: Request) -> dict[str, Any]:
        """Reckon the plan anew beside the pages; /api/ready says how far it is."""
        keeper_of(request).again()
        return {"schema": 1, "working": True}
