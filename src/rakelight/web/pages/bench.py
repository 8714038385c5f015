"""The bench: what to do now and next, what dries until when, tests, rags, and the log at the foot."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from urllib.parse import quote

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.desk import Answer
from rakelight.desk.pore_test import dust_due
from rakelight.errors import NotFound
from rakelight.log.events import in_force
from rakelight.papers.today import Doing, Today
from rakelight.web import telling
from rakelight.web.bench_page import (
    BenchView,
    band,
    find_doing,
    in_hand,
    nothing_words,
    rags_are_first,
)
from rakelight.web.content.air_now import AirNow, air_now, air_of, place_of
from rakelight.web.content.log_words import says_of
from rakelight.web.content.shop_page import temp_unit
from rakelight.web.filters import near
from rakelight.web.keeper import Keeper, keeper_of
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.pages.several import steps_of_today
from rakelight.web.render import render

_MOST_TOLD = 8
_MOST_NEXT = 8
#: what tells whether a step is begun
_OF_STEPS = ("started", "done", "skipped", "taken back", "corrected")


def register(app: FastAPI) -> None:
    """Add the page, and the way to it from a code on paper."""
    _add_step(app)

    @app.get("/", response_class=HTMLResponse, include_in_schema=False)
    def bench(request: Request, step: str = "", next: str = "") -> HTMLResponse:
        keeper = keeper_of(request)
        today = keeper.today()
        view = _view(keeper, today, step) if today else None
        undo = telling.last_within_undo(keeper.shop, request.state.who.name) if keeper.shop.shop_text else None
        if undo is None:  # what may be taken back is there for seconds
            may_be_kept(request)
        undo = None if next else undo
        known = bool(keeper.shop.shop_text)
        told = telling.told_today(keeper.shop)[:_MOST_TOLD] if known else []
        unit = _unit(today)
        return render(
            request, "bench.html", today=today, view=view, working=keeper.working, said=keeper.said, undo=undo,
            undo_says=says_of(undo, unit) if undo else "",
            undo_left=telling.undo_left_s(keeper.shop, undo) if undo else 0, told=[(e, says_of(e, unit)) for e in told],
            pieces=[row for row in keeper.shop.pieces() if row.at_hand], shop_known=known, air=_air(keeper),
            clock_now=keeper.shop.now, most_next=_MOST_NEXT, zone=keeper.shop.zone,
            several=len(steps_of_today(keeper, today)) > 1,
            degrees=temp_unit(keeper.shop.shop) if known else "in",
            several_places=known and len(keeper.shop.shop.places) > 1,
        )  # fmt: skip


def _add_step(app: FastAPI) -> None:
    @app.get("/step/{task:path}", include_in_schema=False)
    def step(request: Request, task: str, piece: str = "") -> Response:
        """What the code by a step on a bench sheet opens: the bench, with that step in hand."""
        keeper = keeper_of(request)
        answers = keeper.laid.answers if keeper.plan and keeper.laid else {}
        having = [key for key in answers if (not piece or key == piece) and find_doing(answers, key, task)]
        if len(having) != 1:
            raise NotFound("The plan has no such step now; the bench shows what there is.")
        return RedirectResponse(f"/?step={quote(f'{having[0]}:{task}')}", 303)


def _unit(today: Today | None) -> str:
    return next((d.unit for d in (*today.now, *today.next)), "in") if today else "in"


def _air(keeper: Keeper) -> AirNow | None:
    """The air of the shop's first place now; None where unknown."""
    if not keeper.shop.shop_text:
        return None
    place = next(iter(keeper.shop.shop.places), "")
    return air_of(keeper.shop, place) if place else None


def _view(keeper: Keeper, today: Today, step: str) -> BenchView:
    plan = keeper.plan
    answers = keeper.laid.answers if plan and keeper.laid else {}
    events = telling.told_today(keeper.shop)
    begun = keeper.shop.once(f"begun {' '.join(answers)}", lambda: _begun(keeper, answers))
    chosen = _chosen(today, answers, step, begun)
    hand = None
    if chosen:
        put_right = frozenset(e.what for e in events if e.kind == "note" and e.task == chosen.task and e.what)
        when = begun.get((chosen.piece, chosen.task))
        hand = in_hand(chosen, answers.get(chosen.piece), keeper.shop.facts, when, put_right)
        shop = keeper.shop.shop
        air = air_of(keeper.shop, place_of(shop, chosen).name)
        hand = replace(hand, air=air_now(shop, keeper.shop.facts, chosen, keeper.shop.now, air))
    others = tuple(d for d in today.now if chosen is None or (d.piece, d.task) != (chosen.piece, chosen.task))
    bands = tuple((d, b) for d in today.drying if (b := band(d, today.at)))
    text = dict.fromkeys(words for rags in today.rags for words in rags.text)
    hollow = tuple(d for p, t in today.unconfirmed.steps if (d := find_doing(answers, p, t)) and d.end <= today.at)
    tried = {(e.piece, e.task) for e in events if e.kind == "coats"}  # told since the plan was made
    dusts = [(p, d) for p, a in answers.items() for d in dust_due(a.work, a.state, keeper.shop.facts)]
    return BenchView(
        today, hand, others, bands, rags_are_first(today.rags, today.at), tuple(text),
        max((r.defers for r in today.rags), key=len, default=""), nothing_words(today, _next_words(today)), (), hollow,
        tuple((p, d) for p, d in dusts if (p, d.task) not in tried),
    )  # fmt: skip


def _begun(keeper: Keeper, answers: dict[str, Answer]) -> dict[tuple[str, str], datetime]:
    """Steps told as begun and not yet as done, the last first."""
    found: dict[tuple[str, str], datetime] = {}
    over: set[tuple[str, str]] = set()
    told = [e for piece in answers for e in in_force(keeper.shop.store.events(piece, _OF_STEPS))]
    for event in sorted(told, key=lambda e: e.written, reverse=True):
        key = (event.piece, event.task)
        if event.kind in ("done", "skipped"):
            over.add(key)
        elif event.kind == "started" and key not in over and event.piece in answers:
            found.setdefault(key, (event.start or event.happened).astimezone(keeper.shop.zone))
    return found


def _chosen(
    today: Today, answers: dict[str, Answer], step: str, begun: dict[tuple[str, str], datetime]
) -> Doing | None:
    """The step asked for, else the one begun, else what is to be done now."""
    if step:
        piece, _, task = step.partition(":")
        found = find_doing(answers, piece, task)
        if found is None:
            raise NotFound("The plan has no such step now; the bench shows what there is.")
        return found
    for piece, task in begun:
        if found := find_doing(answers, piece, task):
            return found
    return today.now[0] if today.now else None


def _next_words(today: Today) -> str:
    """What an empty day waits for: "The case dries until Fri 12 March."."""
    first = next((d for d in today.drying if d.ready.likely), None)
    if first is None or first.ready.likely is None:
        return ""
    part = first.part.replace("-", " ")
    return f"The {part} dries until {near(first.ready.likely, today.at)}."
