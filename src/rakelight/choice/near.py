"""How near a look is to what is wanted, and what of it is not met."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.choice.looks import USES
from rakelight.choice.model import Fail, Look, Slot, Want
from rakelight.facts.load import Facts
from rakelight.facts.looks import REPAIRS
from rakelight.piece.want import WORDS

#: the words of a look in their order, the steps between which are counted
SCALES: dict[str, Sequence[str]] = {key: words for key, words in WORDS.items() if key != "repair"}


def apart(look: Look, want: Want, wished: Look | None) -> float:
    """Steps between a look and what is wanted; where nothing was said the wished finish leads.

    Steps of different scales count alike: they only order what is shown, and are never shown as a figure.
    """
    total = 0
    for key, scale in SCALES.items():
        aim = want.said.get(key) or (wished.get(key) if wished else "")
        has = look.get(key)
        if aim in scale and has in scale:
            total += abs(scale.index(aim) - scale.index(has))
    return float(total)


def unmet(look: Look, want: Want, slot: Slot, facts: Facts) -> list[Fail]:
    """What was said and is not so, and uses it does not stand, each with by how much."""
    found = []
    for key, aim in want.said.items():
        has = look.get(key)
        if key == "repair":
            if has in REPAIRS and REPAIRS.index(has) > REPAIRS.index(aim):
                by = float(REPAIRS.index(has) - REPAIRS.index(aim))
                found.append(Fail("look", f"repair is {has}, {aim} is wanted", by, slot.name))
        elif has != aim:
            scale = SCALES[key]
            by = float(abs(scale.index(aim) - scale.index(has))) if has in scale else 1.0
            found.append(Fail("look", f"{key} is {has or 'not known'}, {aim} is wanted", by, slot.name))
    return [*found, *_not_stood(look, slot, facts)]


def _not_stood(look: Look, slot: Slot, facts: Facts) -> list[Fail]:
    worst = facts.likely("stands_badly")
    found = []
    for use in slot.must_stand:
        grade = look.stands.get(use)
        if use in USES and grade is not None and grade <= worst:
            name = facts.materials[look.top].name
            says = f"{name} stands {use} {'badly' if grade > 1 else 'very badly'}, {grade} of 5"
            found.append(Fail("use", says, worst + 1 - grade, slot.name))
    return found
