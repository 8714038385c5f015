"""Faults seen on a finish: what to do at once, and their usual causes; tables that only the fault help needs."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache

from rakelight.errors import NotFound
from rakelight.facts.load import load
from rakelight.facts.read_tables import listed, rows
from rakelight.facts.records import Source


@dataclass(frozen=True)
class FaultCause:
    """One cause of a fault: what tells for or against it (`check`), and what to do next time."""

    cause: str
    usual: int  # 3 often, 2 at times, 1 seldom
    check: str
    next_time: str
    source: Source


@dataclass(frozen=True)
class Fault:
    """A fault as it is called, and what to do now."""

    name: str
    aliases: tuple[str, ...]
    kind: str  # haze, surface, texture, soft, lifting, bond, colour, film, gas, oil
    now: str
    causes: tuple[FaultCause, ...]
    source: Source


@lru_cache(maxsize=1)
def faults() -> dict[str, Fault]:
    """Every fault of the table, by its name."""
    sources = load().sources
    causes: dict[str, list[FaultCause]] = {}
    for row in rows("fault_causes.csv"):
        cause = FaultCause(row["cause"], int(row["usual"]), row["check"], row["next_time"], sources.read(row["source"]))
        causes.setdefault(row["fault"], []).append(cause)
    return {
        row["fault"]: Fault(
            row["fault"], listed(row["aliases"]), row["kind"], row["now"], tuple(causes.get(row["fault"], ())),
            sources.read(row["source"]),
        )
        for row in rows("faults.csv")
    }  # fmt: skip


def find_fault(said: str) -> Fault:
    """The fault a maker means. Raises NotFound, with the nearest there is.

    >>> find_fault("Fish-eyes").name, find_fault("it went milky").name
    ('fisheye', 'blush')
    """
    words = " ".join(said.casefold().replace("-", " ").split())
    known = {name.replace("-", " "): fault for fault in faults().values() for name in (fault.name, *fault.aliases)}
    for say in (words, words.removesuffix("s"), words.removesuffix("es")):
        if say in known:
            return known[say]
    within = [fault for say, fault in known.items() if len(say) > 3 and f" {say} " in f" {words} "]
    if len(set(map(id, within))) == 1:
        return within[0]
    near = get_close_matches(words, list(known), 1, 0.7)
    if near:
        return known[near[0]]
    raise NotFound(f"No fault is called {said!r}. There are: {', '.join(faults())}.")
