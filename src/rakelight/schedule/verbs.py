"""What each verb of a schedule takes, lies on, waits for and is as work (the files' language, section 4)."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.facts.records import Material
from rakelight.schedule.steps import VERBS

#: keys of any step
ANY_STEP = ("on", "when", "at_least", "at_most", "wait", "test", "minutes", "name")
#: keys that place and date a step among a part's `extra`
EXTRA_ONLY = ("before", "after", "by_date")
#: keys of the maker's own steps
OWN_ONLY = ("kind", "tools")
OWN_KINDS = ("dusty", "wet", "quiet")
#: ways to lay a finish
METHODS = ("brush", "wipe", "pad", "spray", "trowel")


@dataclass(frozen=True)
class Verb:
    """One verb: its own keys, its defaults, and the roles of what it lays."""

    takes: tuple[str, ...]
    on: str
    when: str  # readiness before it starts
    work: str
    roles: frozenset[str] = frozenset()  # a material needs one of these ...
    never: frozenset[str] = frozenset()  # ... and none of these
    hand: str = ""  # way it is laid when nothing is said and the material has several
    any_step: tuple[str, ...] = ANY_STEP

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key the verb takes, its own first."""
        return (*self.takes, *(k for k in self.any_step if k not in self.takes))

    def fits(self, material: Material) -> bool:
        """Whether the verb lays such a material."""
        return bool(self.roles & material.roles) and not self.never & material.roles


def _laid(*roles: str) -> frozenset[str]:
    return frozenset(roles)


_COLOUR = _laid("colour", "colour_removal")
_OIL = _laid("penetrating_oil")
_SIZE = _laid("size", "sealer", "barrier")
_SEALS = _laid("sealer", "sealer_knots", "barrier", "film")
_FILM = ("with", "by", "cut", "thin", "coats", "a_day", "scuff", "flood", "opened")
_BODY = _laid("penetrating_oil", "film", "filler")
_STILL = ("on", "at_least", "at_most", "wait", "name")

RULES: dict[str, Verb] = {
    "sand": Verb(("grits",), "all", "sand", "dusty"),
    "raise grain": Verb((), "all", "sand", "wet"),
    "stain": Verb(("with", "by", "coats", "strength", "opened"), "all", "next coat", "wet", _COLOUR, _BODY, "wipe"),
    "dye": Verb(("with", "by", "coats", "strength", "opened"), "all", "next coat", "wet", _COLOUR, _BODY, "wipe"),
    "oil": Verb(("with", "by", "coats", "warm", "opened"), "all", "next coat", "wet", _OIL, hand="wipe"),
    "size": Verb(("with", "cut", "thin", "by", "opened"), "all", "next coat", "wet", _SIZE),
    "seal": Verb(("with", "cut", "thin", "by", "opened"), "all", "next coat", "wet", _SEALS, _laid("wax")),
    "fill": Verb(("with", "by", "coats", "opened"), "show", "next coat", "wet", _laid("filler")),
    "coat": Verb(_FILM, "all", "next coat", "wet", _laid("film")),
    "scuff": Verb(("grit",), "all", "sand", "dusty"),
    "level": Verb(("grits", "wet"), "show", "rub", "dusty"),
    "rub": Verb(("with", "grits", "wet"), "show", "rub", "dirty"),
    "wax": Verb(("with", "by", "coats", "opened"), "show", "wax", "quiet", _laid("wax"), _OIL, "wipe"),
    "wait": Verb(("for", "test", "at_least"), "all", "", "none", any_step=_STILL),
    "turn": Verb((), "all", "turn", "quiet"),
    "points": Verb((), "all", "handle", "quiet"),
    "move": Verb(("to",), "all", "dust-free", "quiet"),
}
assert tuple(RULES) == VERBS

OWN = Verb(OWN_ONLY, "all", "handle", "quiet")


def is_dye(material: Material) -> bool:
    """Whether a material is a dye: colour without a binder, mixed from powder."""
    return "colour" in material.roles and material.binder == "none"


def lays(verb: str, material: Material) -> bool:
    """Whether a verb lays such a material; `dye` lays only dyes.

    A material whose role does not fit is a mistake of the maker's: `coat` with wax, `oil` with lacquer.
    """
    return RULES[verb].fits(material) and (verb != "dye" or is_dye(material))


def verbs_for(material: Material) -> list[str]:
    """Verbs that lay a material, the most usual first."""
    usual = ("oil", "wax", "fill", "coat", "dye", "stain", "seal", "size")
    return [verb for verb in usual if lays(verb, material)]
