"""Pages: one piece with all that is planned of it, its pictures and its calendar file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, FastAPI, Request
from markupsafe import Markup
from starlette.responses import RedirectResponse, Response

from rakelight.desk import Answer, ShopDesk
from rakelight.errors import NotFound, RakelightError, Refused
from rakelight.log.events import in_force
from rakelight.plan.model import YOURS
from rakelight.web.at_hand import Shown, kept, plan_again, shop_of, shown, stop
from rakelight.web.content import pictures
from rakelight.web.content.log_words import told_rows
from rakelight.web.content.parts import days_of, part_rows
from rakelight.web.content.piece_list import date_words
from rakelight.web.content.piece_page import before_after, buy_rows, due_rows, marks_of, turns_on
from rakelight.web.content.used import made_of, schedules_of
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.render import picture, render

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces/{key}")
def piece(request: Request, key: str) -> Response:
    """One piece: the last plan kept in sight, while another is worked out beside it."""
    may_be_kept(request)
    desk = shop_of(request)
    row = desk.piece(key)
    seen = shown(request, row)
    events = in_force(desk.events(key))
    context: dict[str, Any] = {
        "key": key, "name": row.name, "at_hand": row.at_hand, "working": seen.working, "found": (), "now": desk.now,
        "plan": None, "moved": [], "made_of": "", "dues": (), "ask_date": seen.ask_date, "instead": seen.instead,
        "instead_link": seen.link,
    }  # fmt: skip
    zone = desk.shop.zone if desk.shop_text else desk.now.tzinfo
    unit = "in"
    if seen.answer:
        unit = seen.answer.piece.unit or unit
        context |= _planned(request, desk, key, seen.answer)
        context["moved"] = before_after(seen.answer, events, seen.answer.shop.zone)
    elif seen.findings:
        context["found"] = marks_of(seen.findings)
    context["log"] = told_rows(events, zone, unit)  # type: ignore[arg-type]
    return render(request, "piece.html", **context)


def _planned(request: Request, desk: ShopDesk, key: str, answer: Answer) -> dict[str, Any]:
    now, plan = answer.plan.now or desk.now, answer.plan
    dues = due_rows(answer)
    head: dict[str, Any] = {}
    if dues:
        words = date_words(dues[0].due, now)
        done = all(p.done for p in plan.placed.values())
        basis = dues[0].due.odds.basis if dues[0].due.odds else ""
        head = {
            "head": "All is done" if done else "Likely ready", "likely": words.likely_day, "span": words.span,
            "basis": "by your own record" if basis == YOURS else f"by {basis}", "begin": plan.keeps_90,
        }  # fmt: skip
    coats, tops = pictures.coming_coats(answer, now), pictures.tops(answer)
    bent = next((top for top in tops if pictures.bends(answer, top)), None)
    seasons = _cup_year(request, desk, answer, bent)[1] if bent and answer.piece.lives_town else ""
    return {
        "plan": head or None, "dues": dues, "turns": turns_on(plan.drivers), "found": marks_of(answer.findings),
        "made_of": made_of(answer), "parts": part_rows(answer), "days": days_of(answer), "buys": buy_rows(answer),
        "calendar_wide": _inline(request, answer, False), "calendar_narrow": _inline(request, answer, True),
        "films": pictures.films(answer, desk.facts), "top": tops[0] if tops else None,
        "bent": bent, "seasons": seasons,
        "town": answer.piece.lives_town, "after": pictures.after_words(answer, desk.facts),
        "air": coats[0][0] if coats else "", "jobs_left": _jobs_left(desk), "schedules": schedules_of(answer),
    }  # fmt: skip


def _jobs_left(desk: ShopDesk) -> str:
    """How many jobs more until odds go by this shop's own record: "Three jobs"; "" where they do."""
    from rakelight.plan.odds import RECORDED

    left = RECORDED - sum(row.finished is not None for row in desk.pieces())
    return ("", "One job", "Two jobs", "Three jobs")[min(3, max(0, left))]


def _inline(request: Request, answer: Answer, narrow: bool) -> Markup:
    """Drawn by our own code from words that were escaped: it may stand in the page as it is."""
    name = "cn" if narrow else "cw"
    svg = kept(request, answer, f"calendar-{name}", lambda: pictures.calendar_svg(answer, narrow, name))
    return Markup(svg)


@router.post("/pieces/{key}/plan")
def again(request: Request, key: str) -> Response:
    """Plan again from what happened; the page shows the plan before until the new one is there."""
    plan_again(request)
    return RedirectResponse(f"/pieces/{key}", 303)


@router.post("/pieces/{key}/stop")
def cancel(request: Request, key: str) -> Response:
    """Leave off working a plan out."""
    stop(request)
    return RedirectResponse(f"/pieces/{key}", 303)


# -- pictures -----------------------------------------------------------------------------------------


def _answered(request: Request, desk: ShopDesk, key: str) -> Answer:
    seen: Shown = shown(request, desk.piece(key))
    if seen.answer is None:
        raise NotFound(f"No plan of {key} is known yet, so nothing can be drawn.")
    return seen.answer


def _picture(request: Request, key: str, name: str, draw: Callable[[Answer, ShopDesk], str]) -> Response:
    may_be_kept(request)
    desk = shop_of(request)
    answer = _answered(request, desk, key)
    try:
        return picture(kept(request, answer, name, lambda: draw(answer, desk)))
    except Refused:
        raise
    except RakelightError as bad:
        raise NotFound(str(bad)) from bad


@router.get("/pieces/{key}/calendar.svg")
def calendar(request: Request, key: str, narrow: bool = False) -> Response:
    """The calendar by itself."""
    return _picture(request, key, f"calendar-file-{narrow}", lambda a, _: pictures.calendar_svg(a, narrow))


@router.get("/pieces/{key}/film/{part}.svg")
def film(request: Request, key: str, part: str) -> Response:
    """The film of a part; with "-narrow" behind its name upright, for a phone."""

    def draw(answer: Answer, desk: ShopDesk) -> str:
        name = part.removesuffix("-narrow")
        found = [f for f in pictures.films(answer, desk.facts) if f.part == name]
        if not found:
            raise RakelightError(f"No film lies on {name[:60]!r}.")
        return pictures.film_svg(found[0], desk.facts, part.endswith("-narrow"))

    return _picture(request, key, f"film-{part}", draw)


@router.get("/pieces/{key}/wood/{part}.svg")
def wood(request: Request, key: str, part: str) -> Response:
    """How a top moves through the year."""

    def draw(answer: Answer, desk: ShopDesk) -> str:
        return pictures.movement_svg(answer, _top(answer, part), desk.facts)[0]

    return _picture(request, key, f"wood-{part}", draw)


@router.get("/pieces/{key}/cup/{part}.svg")
def cup(request: Request, key: str, part: str) -> Response:
    """How a top finished unequally cups."""

    def draw(answer: Answer, desk: ShopDesk) -> str:
        return pictures.cup_svg(answer, _top(answer, part), desk.facts)

    return _picture(request, key, f"cup-{part}", draw)


@router.get("/pieces/{key}/cup-year/{part}.svg")
def cup_year(request: Request, key: str, part: str) -> Response:
    """How a top finished unequally cups through the year."""

    def draw(answer: Answer, desk: ShopDesk) -> str:
        return _cup_year(request, desk, answer, _top(answer, part))[0]

    return _picture(request, key, f"cup-year-{part}", draw)


def _top(answer: Answer, part: str) -> pictures.Top:
    """The board or top of that name. Raises RakelightError where it is none."""
    found = next((top for top in pictures.tops(answer) if top.part == part), None)
    if found is None:
        raise RakelightError(f"{part[:60]!r} is no wide board of solid wood.")
    return found


def _cup_year(request: Request, desk: ShopDesk, answer: Answer, top: pictures.Top) -> tuple[str, str]:
    """The picture and its words, drawn once for a plan."""
    return kept(request, answer, f"cup-year of {top.part}", lambda: pictures.cup_year(answer, top, desk.facts))


@router.get("/pieces/{key}/air.svg")
def air(request: Request, key: str) -> Response:
    """The air of the week."""
    return _picture(
        request, key, "air", lambda a, desk: pictures.air_svg(a, desk.facts, a.plan.now or desk.now)
    )


@router.get("/pieces/{key}/odds.svg")
def odds(request: Request, key: str) -> Response:
    """The odds of the date."""
    return _picture(request, key, "odds", lambda a, _: pictures.odds_svg(a))
