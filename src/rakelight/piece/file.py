"""Reads a piece's file: what is made, its parts, dates and what it must stand; all faults at once."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rakelight.errors import Finding, Misread
from rakelight.piece.check import check_piece
from rakelight.piece.joined import join_all
from rakelight.piece.model import DateWords, Part, Piece, Wanted
from rakelight.piece.part_file import TOP_KEYS, read_part, read_strains
from rakelight.piece.want import Want, read_want
from rakelight.reading import Doc, Table, choice, number, read_toml, text
from rakelight.units import read_date
from rakelight.units.numbers import said

if TYPE_CHECKING:
    from rakelight.facts import Facts

LIVES = ("heated house", "unheated house", "outdoors")
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*$")


def read_piece(
    source: Path | str | bytes, name: str = "", facts: Facts | None = None
) -> tuple[Piece | None, list[Finding]]:
    """A piece, and everything that is wrong with its file.

    `source` is a path, or the text of the file itself; `name` is how messages call it. The piece is None only
    where nothing of it could be used. Raises NotFound where a path leads to no file.
    """
    doc = read_toml(source, name)
    if not doc.data:
        if not doc.findings:
            doc.root.fault(
                "missing", "the file says nothing.", 'Begin with its name, as piece = "Side table".'
            )
        return None, doc.findings
    if "part" not in doc.data and ("shop" in doc.data or "steps" in doc.data):
        other = "shop" if "shop" in doc.data else "schedule"
        doc.root.fault(
            "not-a-piece", f"this is the file of a {other}, not of a piece.", "Name the piece's file."
        )
        return None, doc.findings
    if facts is None:
        from rakelight.facts import load

        facts = load()
    piece = _piece(doc, facts)
    if piece is None:
        return None, doc.findings
    doc.findings.extend(check_piece(piece))
    return piece, sorted(doc.findings, key=lambda f: f.where.line)


def _piece(doc: Doc, facts: Facts) -> Piece | None:
    root = doc.root
    root.only(TOP_KEYS, "a piece")
    called = root.need("piece", text, 'Write its name at the top, as piece = "Side table".')
    unit = root.take("unit", choice("in", "mm")) or ("in" if "unit" in root else "")
    start = root.take("start", read_date)
    lives, town = root.take("lives", _lives) or (LIVES[0], "")
    strains = root.take("must_stand", read_strains) if "must_stand" in root else ("handling",)
    parts, tables = _parts(root, unit, facts)
    if not parts:
        return None
    parts = join_all(parts, tables, unit)
    return Piece(
        called or doc.name or "Piece",
        unit,
        parts,
        _wanted(root, parts, start),
        start,
        lives,
        town,
        strains or ("handling",),
        _schedules(root),
        doc.name,
        {".".join(map(str, spot)): line for spot, line in doc.lines.items()},
        _matched(root, read_want(root), parts),
        root.take("quote", number(0.01, 1e7, "quote = 3200")),
    )


def _matched(root: Table, want: Want, parts: dict[str, Part]) -> Want:
    """A want whose `match` is a part of this piece; a finding where it is not, there and in every part."""
    for name, part in parts.items():
        if part.want.match and (part.want.match not in parts or part.want.match == name):
            spot = ("part", name, "want", "match")
            mend = f"Write one of: {', '.join(p for p in parts if p != name)}."
            says = f"match: {said(part.want.match)} is not another part of this piece."
            root.fault("unknown-part", says, mend, *spot)
            parts[name] = replace(part, want=replace(part.want, match=""))
    if want.match and want.match not in parts:
        mend = f"Write one of: {', '.join(parts)}."
        root.fault("unknown-part", f"match: {said(want.match)} is not a part of this piece.", mend, "want", "match")
        return replace(want, match="")
    return want


def _lives(value: Any) -> tuple[str, str]:
    place, _, town = text(value).partition(",")
    return choice(*LIVES)(place), town.strip()


def _parts(root: Table, unit: str, facts: Facts) -> tuple[dict[str, Part], dict[str, Table]]:
    listed = root.child("part")
    if listed is None or not listed.data:
        if "part" not in root or listed is not None:
            root.fault("missing", "the piece has no part.", "Write at least one, headed [part.top].")
        return {}, {}
    parts, tables = {}, {}
    for name in listed.data:
        if not _NAME.match(name):
            plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-0123456789")
            mend = f"Write [part.{plain or 'top'}]."
            listed.fault("part-name", f"{said(name)} is not small letters and hyphens.", mend, name)
        table = listed.child(name)
        if table is not None:
            parts[name], tables[name] = read_part(table, name, unit, facts), table
    return parts, tables


def _wanted(root: Table, parts: dict[str, Part], start: DateWords | None) -> tuple[Wanted, ...]:
    found = []
    for table in root.children("wanted"):
        table.only(("by", "for", "part", "matters"), "wanted")
        by = table.need("by", read_date, 'Write a date, as by = "19 March 2027".')
        for_ = table.take("for", text) or "pack"
        part = table.take("part", _part_of(parts)) or ""
        matters = table.take("matters", _matters)
        if by and start and by.day < start.day:
            says = f"the date wanted, {by.day:%-d %B %Y}, is before the start, {start.day:%-d %B %Y}."
            table.fault("wanted-before-start", says, "Mend one of the two.", "by")
        if by:
            found.append(Wanted(by, for_, part, table.line(), matters or 1.0))
    return tuple(found)


def _matters(value: Any) -> float:
    """How much a date matters against others: 0.1 to 10."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0.1 <= value <= 10:
        raise Misread(f"{said(value)} is no weight of a date.", "Write 0.1 to 10; 2 where it matters twice as much.")
    return float(value)


def _part_of(parts: dict[str, Part]) -> Any:
    def parse(value: Any) -> str:
        name = text(value)
        if name not in parts:
            raise Misread(f"{said(name)} is not a part of this piece.", f"Write one of: {', '.join(parts)}.")
        return name

    return parse


def _schedules(root: Table) -> dict[str, Table]:
    listed = root.child("schedule")
    found = {}
    for name in listed.data if listed else ():
        assert listed is not None
        table = listed.child(name)
        if table is not None:
            found[name] = table
    return found
