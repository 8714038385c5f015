"""Finds a step of a schedule by the words others call it: "sand", "coat 3", "photograph"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from rakelight.schedule.steps import READINESSES, Step

_NUMBERED = re.compile(r"(?P<name>.*\S)\s+(?P<number>\d{1,4})", re.DOTALL | re.ASCII)


@dataclass(frozen=True)
class Spot:
    """A place in a schedule: a step by its index, and one of its coats where a number was said (from 1)."""

    index: int
    coat: int = 0


def plain(words: str) -> str:
    """Words as they are compared: single blanks, small letters."""
    return " ".join(words.split()).casefold()


def _called(step: Step, words: str) -> bool:
    return words in (plain(step.name), plain(step.own or step.do))


def find_step(steps: Sequence[Step], words: str, last: bool = False) -> Spot | None:
    """Where a step stands, by its name, its verb or its own words.

    Parameters: steps, in order; words, as written in `to`, `from`, `through`, `before` or `after`; last,
    whether a name met several times means the last one (`after`, `to`, `through`) or the first (`before`,
    `from`). Returns None where no step is called so. A number counts the coats, or the times, of that name
    through the whole schedule: "coat 4" is the first of the second step where the first has three coats; a
    number past the likely coats but within the most is the last step's own.

    >>> sand, coat = Step("sand", name="sand"), Step("coat", name="coat")
    >>> find_step([sand, coat, sand], "sand"), find_step([sand, coat, sand], "sand", last=True).index
    (Spot(index=0, coat=0), 2)
    >>> find_step([sand, coat, sand], "sand 2")
    Spot(index=2, coat=1)
    """
    wanted = plain(words)
    named = [at for at, step in enumerate(steps) if plain(step.name) == wanted]
    found = named or [at for at, step in enumerate(steps) if _called(step, wanted)]
    if found:
        return Spot(found[-1 if last else 0])
    numbered = _NUMBERED.fullmatch(wanted)
    if not numbered:
        return None
    return _count_to(steps, numbered["name"], int(numbered["number"]))


def _count_to(steps: Sequence[Step], name: str, number: int) -> Spot | None:
    before = 0
    spot = None
    for at, step in enumerate(steps):
        if not _called(step, name) or number < 1:
            continue
        if number <= before + step.coats.likely:
            return Spot(at, number - before)
        spot = Spot(at, number - before) if number <= before + step.coats.most else None
        before += step.coats.likely
    return spot


def names_of(steps: Sequence[Step]) -> list[str]:
    """Names under which steps can be found, each once, in order."""
    return list(dict.fromkeys(step.name for step in steps))


def nearest_step(steps: Sequence[Step], words: str) -> str:
    """What to write instead of a name that is no step's."""
    names = names_of(steps)
    near = get_close_matches(plain(words), names, 1, 0.5)
    if near:
        return f'Did you mean "{near[0]}"?'
    return f"Steps here: {', '.join(names)}." if names else "There is no step before it."


def unknown_fors(steps: Sequence[Step], own_steps: Sequence[str]) -> list[Step]:
    """Steps whose `for` is neither a readiness nor one of the maker's own steps of the piece."""
    known = {plain(name) for name in (*READINESSES, *own_steps)}
    return [step for step in steps if step.for_ and plain(step.for_) not in known]
