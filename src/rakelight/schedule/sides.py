"""Which broad face of a part lies down."""

from __future__ import annotations

from rakelight.piece.model import Face, Part


def broad_sides(part: Part) -> tuple[str, str]:
    """Lower and upper broad face; empty names where a part has no two.

    The hidden one lies down, else the underside, the back, the inside, the second named.
    """
    broad = [f for f in part.faces if f.broad]
    if len(broad) != 2:
        return "", ""
    lower = min(reversed(broad), key=_lies_up)
    return lower.name, next(f.name for f in broad if f is not lower)


def _lies_up(face: Face) -> tuple[int, int]:
    """The lower this is, the more a face is the one to lie down."""
    named = {"underside": 0, "back": 0, "inside": 1}.get(face.name, 2)
    return (0 if face.role != "show" else 1), named
