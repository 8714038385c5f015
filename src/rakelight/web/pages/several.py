"""Several steps of the day told at once: ticked, sent together, written in the order of the plan."""

from __future__ import annotations

from datetime import datetime

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.errors import Misread, RakelightError
from rakelight.log.events import Event
from rakelight.papers.today import Doing, Today
from rakelight.web import telling
from rakelight.web.bench_page import find_doing
from rakelight.web.keeper import Keeper, ServedShop, keeper_of
from rakelight.web.render import render
from rakelight.web.sent import Form, Sent


def register(app: FastAPI) -> None:
    """Add the page."""

    @app.get("/log/several", response_class=HTMLResponse, include_in_schema=False)
    def several(request: Request) -> Response:
        return _page(request, keeper_of(request))

    @app.post("/log/several", include_in_schema=False)
    def tell(request: Request, sent: Form) -> Response:
        keeper = keeper_of(request)
        picked = [d for d in steps_of_today(keeper, keeper.today()) if _id(d) in sent.ids]
        if not sent.ids:
            return _page(request, keeper, Misread("Nothing is ticked.", "Tick what was done."))
        if any(keeper.shop.store.find(_entry(sent, n)) for n in range(len(sent.ids))):
            return RedirectResponse("/", 303)  # sent twice
        told: list[Doing] = []
        try:
            for doing, event in zip(picked, ended(picked, keeper.shop, sent), strict=True):
                telling.tell_as_of(event, keeper.shop)
                told.append(doing)
        except RakelightError as bad:
            says, mend = (bad.says, bad.mend) if isinstance(bad, Misread) else (str(bad), "")
            left = frozenset(map(_id, picked[len(told) :]))
            return _page(request, keeper, Misread(says, mend), told, left)
        if len(picked) < len(set(sent.ids)):
            gone = Misread("Some of what was ticked is no step of today any more.", "Look at the bench.")
            return _page(request, keeper, gone, told)
        return RedirectResponse("/", 303)


def steps_of_today(keeper: Keeper, today: Today | None) -> list[Doing]:
    """Steps of today that nobody told of yet, past or ahead, in the order of the plan."""
    answers = keeper.laid.answers if today and keeper.laid else {}
    found = [
        doing for key, answer in answers.items() for id, placed in answer.plan.placed.items()
        if today and placed.start.date() == today.at.date() and (placed.hollow or not placed.done)
        and (doing := find_doing(answers, key, id)) and doing.step
    ]  # fmt: skip
    return sorted(found, key=lambda d: (d.start, d.end))


def ended(picked: list[Doing], shop: ServedShop, sent: Sent) -> list[Event]:
    """Entries of steps done one after another: each at its planned end, and none later than the one after it or now."""
    now = shop.now
    rows: list[Event] = []
    latest: datetime = now
    for n, doing in reversed(list(enumerate(picked))):
        end = min(doing.end.astimezone(now.tzinfo), latest)
        if n == len(picked) - 1:
            end = now
        rows.append(
            Event("done", end, now, id=_entry(sent, n), piece=doing.piece, task=doing.task, device=sent.device)
        )
        latest = min(latest, _start(doing, end))
    return rows[::-1]


def _start(doing: Doing, end: datetime) -> datetime:
    """When a step that ended then began, where it took as long as planned."""
    return end - (doing.end - doing.start)


def _entry(sent: Sent, n: int) -> str:
    """The id of one of its entries: sent twice, it is told once."""
    return f"{sent.id[:58]}-{n}"


def _id(doing: Doing) -> str:
    return f"{doing.piece}:{doing.task}"


def _page(
    request: Request, keeper: Keeper, bad: Misread | None = None, told: list[Doing] | None = None,
    left: frozenset[str] = frozenset(),
) -> Response:  # fmt: skip
    today = keeper.today()
    gone = {_id(d) for d in told or ()}
    steps = [d for d in steps_of_today(keeper, today) if _id(d) not in gone]
    return render(
        request, "several.html", 422 if bad else 200, today=today, steps=steps, bad=bad, told=told or [], left=left
    )
