"""What a piece is made of in a sentence, and which schedules it uses where."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.desk import Answer
from rakelight.piece.model import Part, part_words


@dataclass(frozen=True)
class Used:
    """A schedule of a piece."""

    name: str
    title: str
    where: str  # "case, drawer"
    own: bool  # it stands in the piece's own file


def schedules_of(answer: Answer) -> tuple[Used, ...]:
    """The schedules a piece uses, in order of its parts."""
    where: dict[str, list[str]] = {}
    for part in answer.piece.parts.values():
        for use in part.finish.values():
            names = where.setdefault(use.schedule, [])
            if part.name not in names:
                names.append(part.name)
    book = answer.book
    rows = []
    for name, parts in where.items():
        found = book.find(name) if book else None
        title = found.title if found else part_words(name)
        rows.append(
            Used(name, title, ", ".join(p.replace("-", " ") for p in parts), name in answer.piece.schedules)
        )
    return tuple(rows)


def made_of(answer: Answer) -> str:
    """Its parts in a sentence: "Case of sapele. 3 drawers of hard maple. Shelf of elm."."""
    members = {m for part in answer.piece.parts.values() for m in part.of}
    outer = [part for part in answer.piece.parts.values() if part.name not in members]
    shown = outer if len(outer) > 1 or not outer or not outer[0].of else _inside(answer, outer[0])
    return " ".join(_words(answer, part) for part in shown)


def _inside(answer: Answer, whole: Part) -> list[Part]:
    return [answer.piece.parts[m] for m in whole.of if m in answer.piece.parts]


def _words(answer: Answer, part: Part) -> str:
    count = max(part.count, 1)
    name = part.shown if count == 1 else f"{count} × {part.shown.lower()}"
    woods = list(dict.fromkeys(_woods(answer, part)))
    return f"{name} of {' and '.join(woods)}." if woods else f"{name}."


def _woods(answer: Answer, part: Part) -> list[str]:
    if part.woods:
        return list(part.woods)
    return [w for m in part.of if m in answer.piece.parts for w in _woods(answer, answer.piece.parts[m])]
