"""The film of a piece as text for people, or as data."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from rakelight.as_json import finding_json
from rakelight.cli.plain import width
from rakelight.errors import Finding
from rakelight.papers.findings_text import finding_lines
from rakelight.physics.drying import REFERENCE_C
from rakelight.piece.model import part_words
from rakelight.schedule.filling_ways import Way, filling_ways
from rakelight.schedule.film_advice import times_in
from rakelight.schedule.film_ledger import fuses
from rakelight.schedule.pores_of import TRUSTED_FROM
from rakelight.schedule.rub_answers import span
from rakelight.units import MIN_PER_H, show_film, show_hours, show_temp, show_work

if TYPE_CHECKING:
    from rakelight.facts.load import Facts
    from rakelight.piece.model import Piece
    from rakelight.schedule.film_answers import FaceAnswer
    from rakelight.spread import Spread


def data_of(piece: Piece, found: dict[str, list[FaceAnswer]], told: list[Finding], facts: Facts) -> dict[str, Any]:
    """As plain data."""
    faces = [a for answers in found.values() for a in answers]
    rows = [_face(a) | {"filling": [_way(w) for w in filling_ways(a, facts)]} for a in faces]
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
        "now_um": None if a.now_um is None else span(a.now_um), "coats_now": a.coats_now,
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
        "dust_test": None if a.dust is None else {"coat": a.dust.coat, "open": a.dust.open},
        "pore_dip_um": None if a.dip_um is None else round(a.dip_um, 1),
        "grain_wanted": a.grain,
        "wood": a.wood.name if a.wood else "",
        "sheen": None if a.sheen is None else
            {"gu": span(a.sheen.gu), "word": a.sheen.word, "because": a.sheen.because},
    }  # fmt: skip


def _way(way: Way) -> dict[str, Any]:
    coats = way.coats
    return {
        "with": way.name, "alone": way.alone,
        "coats": None if coats is None else {"low": coats.low, "likely": coats.likely, "high": coats.high},
        "wait_h": span(way.wait_h) if way.wait_h else None, "work_min": span(way.work_min) if way.work_min else None,
    }  # fmt: skip


def _ways(same: list[FaceAnswer], unit: str, facts: Facts) -> list[str]:
    """The ways to fill alike faces of one part side by side, at the tables' air."""
    area = sum(a.film.area_m2 for a in same)
    rows = filling_ways(replace(same[0], film=replace(same[0].film, area_m2=area)), facts)
    if not any(way.coats is None or way.coats.likely for way in rows):
        return []
    lines = [f"    ways to fill one, at {show_temp(REFERENCE_C, unit)}:"]
    for way in rows:
        name = f"{way.name} alone" if way.alone else way.name
        if way.coats is None:
            lines.append(f"      {name}: does not get there")
            continue
        n, coats = way.coats.likely, way.coats
        more = " more" if way.alone else ""
        said = [f"{n}{more} coat{'' if n == 1 else 's'} ({coats.low} to {coats.high})"]
        if way.wait_h:
            said.append(f"{show_hours(way.wait_h.likely)} {'of waits' if way.alone else 'until the finish'}")
        if way.work_min and n:
            said.append(f"{show_work(way.work_min.likely / MIN_PER_H)} of work")
        lines.append(f"      {name}: {', '.join(said)}")
    return lines


def lines_of(piece: Piece, found: dict[str, list[FaceAnswer]], told: list[Finding], facts: Facts) -> list[str]:
    """For people: alike faces of a part on one line."""
    lines = [piece.name]
    for name, faces in found.items():
        if not faces:
            continue
        lines += ["", part_words(name)]
        groups: dict[Any, list[FaceAnswer]] = {}
        for a in faces:
            groups.setdefault((a.film.dry_um, a.film.rub_um, a.filler, a.more, a.now_um), []).append(a)
        for same in groups.values():
            lines += _lines(same, piece.unit) + _ways(same, piece.unit, facts)
    shown = finding_lines(told, width())
    return [*lines, "", *shown] if shown else lines


def _beneath(a: FaceAnswer) -> str:
    """What shows where it is cut through: coats that melt together are one film down to the wood."""
    from rakelight.facts import load

    top = a.film.top
    return "to the wood" if top and fuses(load().materials[top.material]) else "to the coat beneath"


def _lines(same: list[FaceAnswer], unit: str) -> list[str]:
    a = same[0]
    film = a.film
    names = ", ".join(dict.fromkeys(x.film.face for x in same))
    coats = f"{len(film.coats)} coat{'' if len(film.coats) == 1 else 's'}"
    lines = [f"  {names}: {_span(film.dry_um, unit)} of film in {coats}; ceiling {show_film(a.ceiling_um, unit)}"]
    lines.append(f"    at the arris {_span(film.arris_um, unit)}; the last coat alone {_span(film.last_um, unit)}")
    if a.now_um is not None:
        laid = f"{a.coats_now} coat{'' if a.coats_now == 1 else 's'} laid"
        lines.append(f"    by now {_span(a.now_um, unit)}, {laid}" if a.now_um.likely else "    by now none of it")
    if film.rubbed:
        first = f", so have {show_film(a.floor_um, unit)} first" if a.floor_um is not None else ""
        lines.append(f"    rubbing takes {_span(film.rub_um, unit)}{first}")
        lines.append(f"    it leaves {_span(film.left_um, unit)}, at the arris {_span(film.arris_left_um, unit)}")
        flat, arris = times_in(a.cut.flat).lower(), times_in(a.cut.arris).lower()
        lines.append(f"    cut through {_beneath(a)}, one spot: flat {flat}, arris {arris}")
        if a.more.number:
            before = "levelling" if film.levelled else "rubbing"
            lines.append(f"    coats to lay more before {before}: {a.more.number}")
    lines += _filler_lines(a)
    if a.sheen:
        gu = a.sheen.gu
        why = a.sheen.because if a.sheen.because in ("as laid", "by the can's number") else f"by {a.sheen.because}"
        lines.append(f"    sheen: {a.sheen.word}, about {gu.likely:.0f} GU ({gu.low:.0f} to {gu.high:.0f}), {why}")
    return lines


def _filler_lines(a: FaceAnswer) -> list[str]:
    """Coats of filler: by the dust test where it settles them, else by the book."""
    if a.dust and not a.dust.open and a.dust.coat >= TRUSTED_FROM:
        return [f"    pores filled by your dust test on coat {a.dust.coat}"]
    if a.filler is None or not a.filler.high:
        return []
    n = a.filler
    spread = "" if n.low == n.high else f" ({n.low} to {n.high})"
    coats = f"{n.likely} coat{'' if n.likely == 1 else 's'}{spread}"
    open_ = f"; dust lay white in open pores after coat {a.dust.coat}" if a.dust and a.dust.open else ""
    return [f"    filler for the sheen: {coats} in all{open_}"]


def _span(spread: Spread, unit: str) -> str:
    if spread.certain:
        return show_film(spread.likely, unit)
    low, high = show_film(spread.low, unit).split()[0], show_film(spread.high, unit).split()[0]
    return f"{show_film(spread.likely, unit)} ({low} to {high})"
