"""Pages: the papers of a piece by their first page, each as a file to print; and the calendar file."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING
from urllib.parse import quote

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import Response

from rakelight.desk import Answer
from rakelight.errors import NotFound
from rakelight.web.addresses import addresses
from rakelight.web.at_hand import kept, shop_of, shown
from rakelight.web.render import render

if TYPE_CHECKING:
    from rakelight.papers.bundle import Paper  # heavy: read when papers are asked for

router = APIRouter(include_in_schema=False)
_SIZES = {"a4": (331, 468), "letter": (340, 440)}
#: what each paper is for
_SAYS = {
    "bench-by-day": "What to do on which day, with boxes to tick.",
    "bench-by-part": "The same, part after part.",
    "labels-sheet": "Cut, date and use-by for every jar, many to a sheet.",
    "labels-single": "The same, one label to a page for a label printer.",
    "buying": "Whole cans, with what to do if it drinks more.",
    "board": "What the test board must prove, to be filled in beside it.",
    "recipe": "What was laid, so that it can be done again.",
    "care": "For whoever gets the piece: how to keep it.",
    "card": "To stand beside it at a show.",
    "calendar": "For the wall, across a sheet.",
}


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


def _answer(request: Request, key: str) -> Answer:
    answer = shown(request, shop_of(request).piece(key)).answer
    if answer is None:
        raise NotFound(f"No plan of {key} is known yet, so there is nothing to print.")
    return answer


def _papers(request: Request, key: str, answer: Answer) -> list[Paper]:
    from rakelight.papers.bundle import Source, papers

    def made() -> list[Paper]:
        facts = shop_of(request).facts
        address = _for_a_phone(request)
        address = f"{address}?piece={quote(key)}" if address else ""
        return papers(
            Source(answer.work, answer.plan, answer.amounts, answer.shop, answer.state, facts, address=address,
                   findings=answer.findings)
        )  # fmt: skip

    return kept(request, answer, "papers", made)


def _for_a_phone(request: Request) -> str:
    """Where a phone opens these pages; "" where none can, so that no code is printed that opens nothing."""
    if not request.app.state.lan:
        return ""
    url = request.url
    found = asyncio.run(addresses(url.port or (443 if url.scheme == "https" else 80), url.scheme == "https"))
    return found[0] if found else ""


def _size(paper: str) -> str:
    return paper if paper in _SIZES else "a4"


@router.get("/pieces/{key}/papers")
def all_papers(request: Request, key: str, paper: str = "") -> Response:
    """All papers by their first page."""
    answer = _answer(request, key)
    american = answer.piece.unit == "in" and answer.shop.zone.key.startswith(("America/", "US/"))
    size = _size(paper or ("letter" if american else "a4"))
    rows = [
        {"name": p.name, "title": p.head.title + (", singly" if p.name == "labels-single" else ""),
         "says": _SAYS.get(p.name, "")}
        for p in _papers(request, key, answer)
    ]  # fmt: skip
    return render(
        request, "papers.html", key=key, name=answer.piece.name, papers=rows, paper=size, thumb=_SIZES[size]
    )


@router.get("/pieces/{key}/papers/{name}.{ending}")
def one_paper(request: Request, key: str, name: str, ending: str, paper: str = "a4") -> Response:
    """One paper as PDF to print, or its first page as a small picture."""
    from rakelight.papers.render.press import first_page, press

    answer, size = _answer(request, key), _size(paper)
    found = next((p for p in _papers(request, key, answer) if p.name == name), None)
    if found is None or ending not in ("pdf", "png"):
        raise NotFound(f"There is no paper called {name[:60]!r}.")
    if ending == "png":
        picture = kept(
            request,
            answer,
            f"{name}-{size}",
            lambda: first_page(found.template, found.model, found.head, size),
        )
        return Response(picture, media_type="image/png")
    pdf = press(found.template, found.model, found.head, size).pdf
    return Response(pdf, media_type="application/pdf", headers=_named(f"{key}-{name}.pdf", "inline"))


@router.get("/pieces/{key}/calendar.ics")
def ics(request: Request, key: str) -> Response:
    """The plan for a calendar."""
    from rakelight.papers.calendar_file import CalendarText, calendar_file

    answer, facts = _answer(request, key), shop_of(request).facts
    caution = next((c.text[0] for c in facts.cautions if c.id == "oil-rag"), "")
    rags = {name: caution for name, row in facts.materials.items() if row.self_heating_rags and caution}
    mixes = {name: coat.mix.says for name, coat in answer.amounts.tasks.items() if coat.mix}
    made = calendar_file(answer.work, answer.plan, answer.shop, CalendarText(mixes, rags), b"")
    return Response(made, media_type="text/calendar", headers=_named(f"{key}.ics", "attachment"))


def _named(name: str, how: str) -> dict[str, str]:
    plain = name.encode("ascii", "replace").decode().replace("?", "_")
    return {"Content-Disposition": f'{how}; filename="{plain}"'}
