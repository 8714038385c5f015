"""Which signs no font at hand can set: the character maps of the fonts are read, so that a gap is told, not printed."""

from __future__ import annotations

import struct
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import BinaryIO

#: what the face that comes with the typesetter holds, tried sign by sign: Latin, Greek, Cyrillic, Hebrew, punctuation
_COMES_ALONG = ((0, 0x460), (0x5D0, 0x5EB), (0x1E00, 0x1F00), (0x2010, 0x2028), (0x2030, 0x203B), (0x2070, 0x20C0),
                (0x2190, 0x21A0))  # fmt: skip
_OURS = frozenset(
    "\u00a0\u2009\u200b\u2010\u2011\u2012\u2013\u2014\u2018\u2019\u201c\u201d\u2022\u2026\u2044\u2212µ≥≤×°²³"
)


def missing(texts: Iterable[str], fonts: Iterable[Path]) -> list[str]:
    """Signs in the texts that none of the fonts holds, in order; fonts that cannot be read count as empty."""
    wanted = {c for text in texts for c in text if not _holds(_COMES_ALONG, ord(c)) and c not in _OURS and _shows(c)}
    for path in fonts if wanted else ():
        wanted -= {c for c in wanted if _holds(_ranges(path), ord(c))}
        if not wanted:
            break
    return sorted(wanted)


def _shows(sign: str) -> bool:
    """Joiners and variation signs leave no mark of their own."""
    return not (0xFE00 <= ord(sign) <= 0xFE0F or ord(sign) in (0x200C, 0x200D, 0x2060, 0xFEFF))


def _holds(ranges: tuple[tuple[int, int], ...], code: int) -> bool:
    return any(a <= code <= b for a, b in ranges)


@lru_cache(maxsize=512)
def _ranges(path: Path) -> tuple[tuple[int, int], ...]:
    """Runs of code points a font file holds (first of a collection)."""
    try:
        with path.open("rb") as file:
            return tuple(_read(file))
    except (OSError, struct.error, ValueError):
        return ()


def _read(file: BinaryIO) -> list[tuple[int, int]]:
    start = 0
    if file.read(4) == b"ttcf":
        file.seek(12)
        start = struct.unpack(">I", file.read(4))[0]
    file.seek(start + 4)
    count = struct.unpack(">H", file.read(2))[0]
    file.seek(start + 12)
    tables = [struct.unpack(">4sIII", file.read(16)) for _ in range(count)]
    where = next((offset for name, _, offset, _ in tables if name == b"cmap"), None)
    if where is None:
        return []
    file.seek(where + 2)
    number = struct.unpack(">H", file.read(2))[0]
    records = [struct.unpack(">HHI", file.read(8)) for _ in range(number)]
    found: list[tuple[int, int]] = []
    for platform, encoding, offset in records:
        if platform == 0 or (platform == 3 and encoding in (1, 10)):
            file.seek(where + offset)
            found += _subtable(file)
    return found


def _subtable(file: BinaryIO) -> list[tuple[int, int]]:
    """Ranges of one map, in the two forms that matter (segments, and groups of long codes)."""
    form = struct.unpack(">H", file.read(2))[0]
    if form == 4:
        file.read(4)
        double = struct.unpack(">H", file.read(2))[0]
        file.read(6)
        ends = struct.unpack(f">{double // 2}H", file.read(double))
        file.read(2)
        starts = struct.unpack(f">{double // 2}H", file.read(double))
        return [(a, b) for a, b in zip(starts, ends, strict=True) if a != 0xFFFF]
    if form == 12:
        file.read(10)
        groups = struct.unpack(">I", file.read(4))[0]
        rows = [struct.unpack(">III", file.read(12)) for _ in range(min(groups, 100_000))]
        return [(a, b) for a, b, _ in rows]
    return []
