"""Every paper of a planned piece: which there are, and what stands on each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rakelight.errors import Finding
from rakelight.facts.load import Facts
from rakelight.papers import bench, board_card, buying_list, card, care, jar_labels, recipe, wall
from rakelight.papers.plan_text import clock_words, day_words
from rakelight.papers.sheet_words import Head, short
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.tasks import Work
from rakelight.shop.model import Shop
from rakelight.state.model import State

KINDS = ("bench", "labels", "buying", "board", "recipe", "care", "card", "calendar")


@dataclass(frozen=True)
class Paper:
    """One paper: its kind, the name of its file, its template, its head and its content."""

    kind: str
    name: str
    template: str
    head: Head
    model: Any


@dataclass(frozen=True)
class Source:
    """What papers are made from."""

    work: Work
    plan: Plan
    amounts: Amounts
    shop: Shop
    state: State
    facts: Facts
    address: str = ""
    maker: str = ""
    words: str = ""
    findings: tuple[Finding, ...] = ()


def papers(source: Source, only: Sequence[str] = ()) -> list[Paper]:
    """The papers asked for, all where none is named; those with nothing on them are left out unless named."""
    found = [paper for kind in KINDS if not only or kind in only for paper in _made(kind, source)]
    return [paper for paper in found if only or not _empty(paper)]


def _made(kind: str, s: Source) -> list[Paper]:
    work, plan, amounts, facts = s.work, s.plan, s.amounts, s.facts
    piece, unit = work.piece.name, work.piece.unit

    def paper(name: str, title: str, model: Any, template: str = "") -> Paper:
        now = plan.now
        as_of = f"as of {day_words(now)} {now.year} {clock_words(now)}" if now else ""
        return Paper(kind, name, template or name, Head(short(piece), short(s.shop.name), title, as_of), model)

    if kind == "bench":
        days = bench.by_day(work, plan, amounts, facts, s.address, shop=s.shop)
        parts = bench.by_part(work, plan, amounts, facts, s.address, s.shop)
        return [
            paper("bench-by-day", "Bench sheets by day", days, "bench"),
            paper("bench-by-part", "Bench sheets by part", parts, "bench"),
        ]
    if kind == "labels":
        made = jar_labels.labels(plan, amounts, facts, piece, unit, s.shop)
        return [
            paper("labels-sheet", "Jar labels", made, "labels_sheet"),
            paper("labels-single", "Jar labels", made, "labels_single"),
        ]
    if kind == "buying":
        return [paper("buying", "Buying list", buying_list.buying_list(work, plan, amounts))]
    if kind == "board":
        return [paper("board", "Test board", board_card.board_cards(work, plan, facts))]
    if kind == "recipe":
        return [paper("recipe", "Recipe", recipe.recipes(work, plan, s.state))]
    if kind == "care":
        return [paper("care", "Care", care.care_sheet(work, plan, s.state, facts, s.maker))]
    if kind == "calendar":
        return [paper("calendar", "Calendar", wall.wall_calendar(work, plan, s.shop, s.findings), "wall")]
    return [paper("card", "Card", card.show_card(work, facts, s.maker, s.words))]


def _empty(paper: Paper) -> bool:
    model = paper.model
    rows = getattr(model, "labels", None), getattr(model, "cards", None), getattr(model, "pages", None)
    return any(row is not None and not row for row in rows)
