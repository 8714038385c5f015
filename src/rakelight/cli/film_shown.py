"""The film of a piece as text for people, or as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rakelight.as_json import finding_json
from rakelight.cli.plain import width
from rakelight.errors import Finding
from rakelight.papers.findings_text import finding_lines
from rakelight.schedule.film_advice import times_in
from rakelight.schedule.rub_answers import span
from rakelight.units import show_film

if TYPE_CHECKING:
    from rakelight.piece.model import Piece
    from rakelight.schedule.film_answers import FaceAnswer
    from rakelight.spread import Spread


def data_of(piece: Piece, found: dict[str, list[FaceAnswer]], told: list[Finding]) -> dict[str, Any]:
    """As plain data."""
    rows = [_face(a) for faces in found.values() for a in faces]
    parts = [name for name, faces in found.items() if faces]
    return {
        "schema": 1, "piece": piece.name, "part": parts[0] if len(found) == 1 and parts else "",
        "faces": rows, "findings": [finding_json(f) for f in told],
    }  # fmt: skip


def _face(a: FaceAnswer) -> dict[str, Any]:
    film, cut, more = a.film, a.cut, a.more
    return {
        "part": film.part, "name": film.face, "role": film.role,
        "dry_um": span(film.dry_um), "arris_um": span(film.arris_um), "last_coat_um": span(film.last_um),
        "coats": len(film.coats),
        "rub_um": span(film.rub_um) if film.rubbed else None,
        "left_um": span(film.left_um), "arris_left_um": span(film.arris_left_um),
        "floor_um": None if a.floor_um is None else round(a.floor_um, 1), "ceiling_um": round(a.ceiling_um, 1),
        "cut_through": {"flat": round(cut.flat, 6), "arris": round(cut.arris, 6)},
        "cut_through_anywhere": {"flat": round(cut.flat_anywhere, 6), "arris": round(cut.arris_anywhere, 6)},
        "coats_more": more.number,
        "coats_more_for": {"floor": more.floor, "flat": more.flat, "arris": more.arris, "film": more.film},
        "coats_room": more.room,
        "filler_coats": None if a.filler is None else
            {"low": a.filler.low, "likely": a.filler.likely, "high": a.filler.high},
        "pore_dip_um": None if a.dip_um is None else round(a.dip_um, 1),
        "wood": a.wood.name if a.wood else "",
        "sheen": None if a.sheen is None else
            {"gu": span(a.sheen.gu), "word": a.sheen.word, "because": a.sheen.because},
    }  # fmt: skip


def lines_of(piece: Piece, found: dict[str, list[FaceAnswer]], told: list[Finding]) -> list[str]:
    """For people: alike faces of a part on one line."""
    lines = [piece.name]
    for name, faces in found.items():
        if not faces:
            continue
        lines += ["", name.replace("-", " ").capitalize()]
        groups: dict[Any, list[FaceAnswer]] = {}
        for a in faces:
            groups.setdefault((a.film.dry_um, a.film.rub_um, a.filler, a.more), []).append(a)
        for same in groups.values():
            lines += _lines(same, piece.unit)
    shown = finding_lines(told, width())
    return [*lines, "", *shown] if shown else lines


def _lines(same: list[FaceAnswer], unit: str) -> list[str]:
    a = same[0]
    film = a.film
    names = ", ".join(dict.fromkeys(x.film.face for x in same))
    coats = f"{len(film.coats)} coat{'' if len(film.coats) == 1 else 's'}"
    lines = [f"  {names}: {_span(film.dry_um, unit)} of film in {coats}; ceiling {show_film(a.ceiling_um, unit)}"]
    lines.append(f"    at the arris {_span(film.arris_um, unit)}; the last coat alone {_span(film.last_um, unit)}")
    if film.rubbed:
        floor = show_film(a.floor_um or 0.0, unit)
        lines.append(f"    rubbing takes {_span(film.rub_um, unit)}, so have {floor} first")
        lines.append(f"    it leaves {_span(film.left_um, unit)}, at the arris {_span(film.arris_left_um, unit)}")
        lines.append(
            f"    cut through, one spot: flat {times_in(a.cut.flat).lower()}, arris {times_in(a.cut.arris).lower()}"
        )
        if a.more.number:
            lines.append(f"    coats to lay more before levelling: {a.more.number}")
    if a.filler and a.filler.high:
        lines.append(f"    filler for the sheen: {a.filler.likely} coats ({a.filler.low} to {a.filler.high}) in all")
    if a.sheen:
        gu = a.sheen.gu
        why = "as laid" if a.sheen.because == "as laid" else f"by {a.sheen.because}"
        lines.append(f"    sheen: {a.sheen.word}, about {gu.likely:.0f} GU ({gu.low:.0f} to {gu.high:.0f}), {why}")
    return lines


def _span(spread: Spread, unit: str) -> str:
    if spread.certain:
        return show_film(spread.likely, unit)
    low, high = show_film(spread.low, unit).split()[0], show_film(spread.high, unit).split()[0]
    return f"{show_film(spread.likely, unit)} ({low} to {high})"
