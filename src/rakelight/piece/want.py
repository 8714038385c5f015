"""What is wanted of a finish, part by part: sheen, pores, warmth, colour, build, feel, and how it is mended."""

from __future__ import annotations

from dataclasses import dataclass, fields

from rakelight.facts.looks import REPAIRS, WARMTHS
from rakelight.reading import Table, choice, text

SHEENS = ("flat", "eggshell", "satin", "semi-gloss", "gloss", "high gloss")
GRAINS = ("open", "half", "full")
BUILDS = ("in the wood", "thin", "full")
FEELS = ("wood", "silky", "glass")
COLOURS = ("natural", "coloured")
#: words each key may have
WORDS = {
    "sheen": SHEENS,
    "grain": GRAINS,
    "warmth": WARMTHS,
    "colour": COLOURS,
    "build": BUILDS,
    "feel": FEELS,
    "repair": REPAIRS,
}
WANT_KEYS = ("sheen", "match", "grain", "warmth", "colour", "build", "feel", "repair")


@dataclass(frozen=True)
class Want:
    """What is wanted of a finish; "" where nothing was said and the wished finish leads."""

    sheen: str = ""
    match: str = ""  # the part whose sheen it is to have
    grain: str = ""
    warmth: str = ""
    colour: str = ""
    build: str = ""
    feel: str = ""
    repair: str = ""

    @property
    def said(self) -> dict[str, str]:
        """What was said of its look, by its key."""
        return {key: value for key, value in vars(self).items() if value and key != "match"}

    def over(self, other: Want) -> Want:
        """This, and where it says nothing what another says."""
        return Want(**{f.name: getattr(self, f.name) or getattr(other, f.name) for f in fields(self)})


def read_want(table: Table) -> Want:
    """`want` of a piece or a part; faults go to the table's findings. A part named in `match` is looked up later."""
    below = table.child("want") if "want" in table else None
    if below is None:
        return Want()
    below.only(WANT_KEYS, "want")
    read = {key: below.take(key, choice(*words)) or "" for key, words in WORDS.items()}
    match = below.take("match", text) or ""
    if match and read["sheen"]:
        mend = "Take one of the two out."
        below.fault("two-sheens", "sheen and match both say how bright it is to be.", mend, "match")
        match = ""
    return Want(match=match, **read)
