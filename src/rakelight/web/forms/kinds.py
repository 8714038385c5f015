"""The kinds of part as they are picked: by a picture, with the sizes each is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.piece.kinds import KINDS


@dataclass(frozen=True)
class Size:
    """One size of a part: its key in the file, how it is asked, and what may be typed."""

    key: str
    says: str
    example: str
    may_lack: bool = False


@dataclass(frozen=True)
class KindOfPart:
    """A kind of part under its picture."""

    id: str
    says: str  # under the picture
    named: str  # what a part of it is called where no name was typed
    sizes: tuple[Size, ...]


_THICK = Size("thick", "Thick", "7/8")
_LONG = Size("long", "Long, with the grain", "32")

PICKED = (
    KindOfPart("panel", "Board or top", "top", (
        _LONG, Size("wide", "Wide, across the grain", "7 1/2"), _THICK,
        Size("round", "Round? Across, in place of long and wide", "13", may_lack=True),
    )),
    KindOfPart("slab", "Slab, natural edge", "slab", (
        _LONG, Size("wide_at", "Wide, measured at three or more even places", "15 1/2, 16, 15 3/4"), _THICK,
    )),
    KindOfPart("box", "Case or box", "case", (
        Size("wide", "Wide, outside", "26"), Size("deep", "Deep, front to back", "15"), Size("high", "High", "30"),
        Size("thick", "Thickness of its walls", "3/4"),
    )),
    KindOfPart("frame", "Frame or door", "frame", (
        Size("wide", "Wide, outside", "18"), Size("high", "High, outside", "24"),
        Size("rail", "Width of one member", "2 1/4"), _THICK,
    )),
    KindOfPart("leg", "Leg", "leg", (
        Size("long", "Long", "16 1/2"), _THICK, Size("taper", "Small end, where it tapers", "7/8", may_lack=True),
    )),
    KindOfPart("stick", "Rail or stick", "rail", (
        Size("long", "Long", "25"), _THICK, Size("wide", "Wide, where it is not square", "3 1/2", may_lack=True),
    )),
    KindOfPart("moulding", "Moulding", "moulding", (
        Size("long", "Long", "60"), Size("girth", "Measured round its face", "3"),
    )),
)  # fmt: skip
BY_ID = {kind.id: kind for kind in PICKED}
assert set(BY_ID) == set(KINDS)

#: every size that is asked of some kind, once
SIZE_KEYS = tuple(dict.fromkeys(size.key for kind in PICKED for size in kind.sizes))


@dataclass(frozen=True)
class AskedSize:
    """One field for a size, however many kinds it is asked of."""

    key: str
    example: str
    says: tuple[tuple[str, str], ...]  # kind, how it is asked of it


_ORDER = ("long", "wide", "wide_at", "deep", "high", "rail", "girth", "thick", "taper", "round")


def asked_sizes() -> tuple[AskedSize, ...]:
    """The fields for sizes, each once, in the order they are measured."""
    rows = []
    for key in _ORDER:
        of = [(kind.id, size) for kind in PICKED for size in kind.sizes if size.key == key]
        rows.append(AskedSize(key, of[0][1].example, tuple((id, size.says) for id, size in of)))
    return tuple(rows)
