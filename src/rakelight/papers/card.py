"""Card for a show: woods, finish, and how it was made, in the maker's own words or from a draft."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.papers.finish_words import finished_parts
from rakelight.papers.wrapping import and_words, lower_first, upper_first
from rakelight.schedule.tasks import Task, Work


@dataclass(frozen=True)
class ShowCard:
    """The card."""

    piece: str
    maker: str
    woods: str
    finish: tuple[str, ...]
    made: str
    draft: bool  # made of the record, for the maker to put in own words


def show_card(work: Work, facts: Facts, maker: str = "", words: str = "") -> ShowCard:
    """A card for a piece; `words` are the maker's own, "" a draft from the record."""
    parts = finished_parts(work, facts)
    woods = list(dict.fromkeys(w for job in work.jobs.values() for w in job.part.woods))
    lines: dict[str, list[str]] = {}
    for one in parts:
        lines.setdefault(one.says, []).extend(one.names)
    finish = tuple(f"{and_words(names)}: {lower_first(says)}." for says, names in lines.items())
    return ShowCard(work.piece.name, maker, upper_first(and_words(woods)), finish, words or _draft(work), not words)


def _draft(work: Work) -> str:
    """One or two plain sentences of what was done by hand."""
    tasks = [t for job in work.jobs.values() for t in job.tasks if not t.board]
    said = []
    coats = sum(1 for t in tasks if t.lay)
    hand = [w for do, w in (("brush", "brushed"), ("pad", "padded"), ("wipe", "wiped on")) if _by(tasks, do)]
    if coats and hand:
        said.append(f"Finish {and_words(hand)} by hand.")
    elif coats:
        said.append("Finish laid with a gun.")
    if any(t.do in ("level", "rub") for t in tasks):
        said.append("Rubbed out by hand when the film was hard.")
    joins = sorted({job.part.join for job in work.jobs.values() if job.part.of and job.part.join != "dry"})
    if joins:
        said.append(f"Put together with {and_words(joins)}.")
    return " ".join(said)


def _by(tasks: list[Task], by: str) -> bool:
    return any(t.lay and t.lay.by == by for t in tasks)
