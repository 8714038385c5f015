"""Sheen of a face: by the last abrasive upon its film, or as the schedule names it where it is left as laid."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.facts.names import say_abrasive
from rakelight.facts.records import Abrasive
from rakelight.physics.gloss import GRAIN_UM, most_gu, rubbed_range_gu
from rakelight.schedule.layers import Stack, Take
from rakelight.spread import Spread


@dataclass(frozen=True)
class Sheen:
    """Gloss at 60 degrees with its spread, and the word for its likely value."""

    gu: Spread
    word: str
    because: str  # what makes it so: the last abrasive, or the schedule


def sheen_word(gu: float, facts: Facts) -> str:
    """The word for a gloss at 60 degrees.

    >>> from rakelight.facts import load
    >>> [sheen_word(gu, load()) for gu in (3, 12, 24, 48, 83, 91)]
    ['flat', 'eggshell', 'satin', 'semi-gloss', 'gloss', 'high gloss']
    """
    for row in facts.sheens.values():
        if row.gloss_high is None or gu < row.gloss_high:
            return row.sheen
    return list(facts.sheens)[-1]


def acts_like_um(abrasive: Abrasive) -> float | None:
    """Size an abrasive acts like when it makes a sheen, um: papers their grain, powders, wool and pads smaller."""
    return abrasive.acts_like_um or abrasive.size_um


def gloss_key(abrasive: Abrasive) -> str:
    """The key of this shop's own scale of gloss for an abrasive."""
    return f"gloss:{abrasive.kind} {abrasive.grade}"


def scale_of(abrasive: Abrasive, facts: Facts) -> Spread:
    """Grain at which all but 1/e of the shine is gone, um: this shop's own for an abrasive, else the book's."""
    own = facts.shop.get(gloss_key(abrasive)) if facts.shop else None
    return own.of(GRAIN_UM) if own else GRAIN_UM


def rubbed_sheen(abrasive: Abrasive, index: float, facts: Facts, scale_um: Spread | None = None) -> Sheen | None:
    """What a last abrasive leaves on a film of an index of refraction; None where its size is not known.

    Args: scale_um, None: this shop's own for the abrasive, else the book's.
    """
    grain = acts_like_um(abrasive)
    if grain is None:
        return None
    gu = rubbed_range_gu(grain, index, scale_um=scale_um or scale_of(abrasive, facts))
    return Sheen(gu, sheen_word(gu.likely, facts), say_abrasive(f"{abrasive.kind} {abrasive.grade}"))


def class_range(word: str, facts: Facts, most: float = 100.0) -> Spread | None:
    """Gloss a sheen word covers, its middle as likely; None where the word is no sheen."""
    row = facts.sheens.get(word)
    if row is None:
        return None
    high = max(row.gloss_high if row.gloss_high is not None else most, row.gloss_low)
    return Spread(row.gloss_low, (row.gloss_low + high) / 2, high)


def index_of(stack: Stack, facts: Facts) -> float | None:
    """Index of what the light meets: the wax on top, else the last coat of film; None where not known."""
    for layer in reversed(stack.layers):
        row = facts.materials[layer.material].refractive_index
        if layer.kind in ("wax", "film") and row:
            return row.likely
    return None


def last_abrasive(take: Take, facts: Facts) -> Abrasive | None:
    """What a levelling or rubbing ended with."""
    return facts.abrasives.get(take.abrasive) or facts.abrasives.get(f"FEPA_P P{take.grit}")


def sheen_of(stack: Stack, said: str, facts: Facts, own_gu: float | None = None) -> Sheen | None:
    """Sheen of a face when all is done; None where nothing tells it.

    Parameters: said, the schedule's own word, "" none; own_gu, the number on the can of a finish flatted by its maker,
    which stands where nothing is rubbed.
    """
    index = index_of(stack, facts)
    films = [n for n, layer in enumerate(stack.layers, 1) if layer.laid_um > 0]
    after = [t for t in stack.takes if films and t.over >= films[-1] and t.do in ("level", "rub")]
    if after and index:
        abrasive = last_abrasive(after[-1], facts)
        found = rubbed_sheen(abrasive, index, facts) if abrasive else None
        if found:
            return found
    if own_gu is not None:
        return Sheen(facts.figure("can_gloss_times").value * own_gu, sheen_word(own_gu, facts), "by the can's number")
    gu = class_range(said, facts, most_gu(index) if index else 100.0)
    return Sheen(gu, said, "as laid") if gu else None

