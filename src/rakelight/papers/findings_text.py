"""Warnings as a maker reads them: what must stop first, each with what mends it and where it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rakelight.errors import Finding, Severity
from rakelight.papers.wrapping import WIDTH, upper_first, wrapped
from rakelight.piece.model import part_words

_HEADS = {Severity.ERROR: "STOP", Severity.WARNING: "Warning", Severity.NOTE: "Note"}
_FACES = 3  # more faces than this are not named one by one
_NARROW = 80  # on paper narrower than this a source is one line, cut short where it must be


def finding_lines(found: Iterable[Finding], width: int = WIDTH) -> list[str]:
    """Findings in groups, STOP before Warning before Note; what differs only in figures is said once."""
    found = list(found)
    lines: list[str] = []
    for severity, head in _HEADS.items():
        groups = _alike([f for f in found if f.severity is severity])
        if groups:
            lines += ["", head] if lines else [head]
        for run in _by_source(groups):
            for group in run:
                lines += _lines(group, width)
            lines += _source_lines(run, width)
    return lines


def _by_source(groups: list[list[Finding]]) -> list[list[list[Finding]]]:
    """Groups of one source together, where the first of them stands; those without one by themselves."""
    runs: dict[object, list[list[Finding]]] = {}
    for n, group in enumerate(groups):
        first = group[0]
        runs.setdefault((first_source(first.source), first.kind) if first.source else n, []).append(group)
    return list(runs.values())


def _source_lines(run: list[list[Finding]], width: int) -> list[str]:
    """Where the figures come from, once below all that it holds for."""
    first = run[0][0]
    if not first.source:
        return []
    kind = f" ({first.kind.value})" if first.kind else ""
    head = f"{'' if len(run) == 1 else 'both ' if len(run) == 2 else f'all {len(run)} '}from "
    source = first_source(first.source)
    room = width - 4 - len(head) - len(kind)
    if width < _NARROW and len(source) > room:
        source = source[: max(room - 4, 8)].rsplit(" ", 1)[0].rstrip(" ,;:(") + " ..."
    return wrapped(f"{head}{source}{kind}", width, "    ")


def _alike(found: list[Finding]) -> list[list[Finding]]:
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for f in found:
        groups.setdefault((f.id, re.sub(r"[\d.]+", "0", f.says), f.mend, f.source), []).append(f)
    return list(groups.values())


def _lines(group: list[Finding], width: int) -> list[str]:
    first, *others = group
    where = place_words(first)
    lines = wrapped(f"{where}: {first.says}" if where else upper_first(first.says), width, "  ", "    ")
    spots = [spot for f in others if (spot := place_words(f)) and spot != where]
    if spots:
        lines += wrapped(f"The same, with other figures: {'; '.join(dict.fromkeys(spots))}.", width, "    ")
    if first.mend:
        lines += wrapped(first.mend, width, "    > ")
    return lines


def place_words(found: Finding) -> str:
    """Where a finding lies: "Case, level (filled-shellac.toml:14)".

    The part is left out where the sentence itself begins with it.
    """
    where = found.where
    part = part_words(where.part)
    faces = "" if where.face.count(",") >= _FACES else where.face
    if part and found.says.lower().startswith(f"{part.lower()}:"):
        part = faces = ""
    words = ", ".join(word for word in (part, faces, where.step) if word)
    spot = f"{where.file}:{where.line}" if where.line else where.file
    words = upper_first(words)
    return f"{words} ({spot})" if words and spot else words or spot


def first_source(source: str) -> str:
    """The first of several sources, and how many more there are.

    >>> first_source('a "handbook; second part"; a sheet; a chart')
    'a "handbook; second part" and 2 more'
    """
    parts = re.findall(r'(?:"[^"]*"|\([^()]*\)|[^;"(]|["(])+', source)
    parts = [part.strip() for part in parts if part.strip()]
    if len(parts) < 2:
        return source.strip()
    return f"{parts[0]} and {len(parts) - 1} more"
