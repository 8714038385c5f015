"""Old film that stays beneath when a part is finished over: how thick it is, of what, on which faces."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rakelight.errors import Misread
from rakelight.piece.model import OldFilm
from rakelight.reading import Table, text, texts
from rakelight.units.films import read_film
from rakelight.units.numbers import said as quoted

if TYPE_CHECKING:
    from rakelight.facts import Facts

OLD_KEYS = ("film", "with", "on")
#: an old finish thicker than this has been misread; the thickest that holds is an eighth of it
_THICKEST_UM = 1000.0


def read_old(table: Table, picked: Callable[[str], list[str]], facts: Facts) -> OldFilm | None:
    """`old` of a part cut from wood; faults go to the table's findings. `picked` turns a name into faces."""
    below = table.child("old") if "old" in table else None
    if below is None:
        return None
    below.only(OLD_KEYS, "old film")
    film_um = below.need("film", _thick, 'Write how thick it is, as film = "2 mil".')
    faces: dict[str, None] = {}
    for name in below.take("on", texts) or ():
        try:
            faces.update(dict.fromkeys(picked(name)))
        except Misread as bad:
            below.fault("unknown-face", bad.says, bad.mend, "on")
    material = _material(below, facts) if "with" in below else ""
    return OldFilm(film_um, material, tuple(faces), below.line()) if film_um else None


def _thick(value: Any) -> float:
    um = read_film(value)
    if not 0 < um <= _THICKEST_UM:
        says = f"{quoted(value)} is no film that stays beneath." if um else "No film is nothing to count."
        raise Misread(says, "Leave old out where all of it comes off; else write what stays, as \"2 mil\".")
    return um


def _material(below: Table, facts: Facts) -> str:
    from rakelight.facts.names import find_material

    said = below.take("with", text) or ""
    match = find_material(facts, said) if said else None
    if match and match.one and "film" in facts.materials[match.one].roles:
        return match.one
    if match and match.one:
        says = f"{facts.materials[match.one].name} leaves no film."
        below.fault("old-leaves-no-film", says, "Leave old out: oil, colour and wax are no old film.", "with")
    elif match:
        below.fault("which-name" if match.ids else "unknown-material", match.says, match.ask, "with")
    return ""
