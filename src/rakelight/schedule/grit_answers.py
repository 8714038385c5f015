"""Sanding sense: papers in order with no step too wide, what each must take, and where to begin on a fault."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.names import find_abrasive, say_abrasive
from rakelight.facts.records import Abrasive
from rakelight.physics.abrasion import ladder, scratch_um, steps_too_wide
from rakelight.schedule.film_ledger import rub_floor_um
from rakelight.schedule.rub_answers import span
from rakelight.spread import Spread
from rakelight.units import M2_PER_FT2

_BETWEEN = re.compile(r"\s*(?:,|;|>|\bto\b|\bthen\b)\s*|\s+")


@dataclass(frozen=True)
class LadderAnswer:
    """Papers in order. `takes_um`: what each must take at least, to clear the scratches of the one before."""

    papers: tuple[str, ...]
    grains_um: tuple[float, ...]
    takes_um: tuple[float, ...]
    wide: tuple[str, ...]  # steps of what was asked that are wider than `most_step`
    most_step: float
    on_film: bool
    minutes_per_m2: Spread | None  # of the whole ladder, on wood
    back_min_per_m2: Spread | None  # what dropping back one paper costs

    @property
    def says(self) -> str:
        """One paragraph for a maker."""
        words = [f"{', '.join(self.papers)}{self._widest()}."]
        if self.wide:
            words.insert(0, f"Wider than {self.most_step:g} to 1: {'; '.join(self.wide)}. Rather:")
        takes = ", ".join(
            f"{paper} {um:.0f} um" if um >= 1 else f"{paper} {um:.1f} um"
            for paper, um in zip(self.papers[1:], self.takes_um[1:], strict=True)
        )
        if takes:
            words.append(f"To clear the scratches of the paper before, take off at least: {takes}.")
        if self.minutes_per_m2 and self.back_min_per_m2:
            low, likely, high = self.minutes_per_m2
            words.append(
                f"About {likely:.0f} min a square metre of flat ({low:.0f} to {high:.0f}), "
                f"{likely * M2_PER_FT2:.0f} a square foot. Go on when the lines of the "
                "paper before are gone, not by the clock. Where lines still show two papers on, drop back one: "
                f"about {self.back_min_per_m2.likely:.0f} min a square metre more, "
                f"{self.back_min_per_m2.likely * M2_PER_FT2:.0f} a square foot."
            )
        elif self.on_film:
            words.append("Lines that a finer paper does not clear in twice the strokes: drop back one paper, once.")
        return " ".join(words)

    def _widest(self) -> str:
        """The widest step there is, and where no paper to be had makes it smaller."""
        steps = [a / b for a, b in pairwise(self.grains_um)]
        if not steps:
            return ""
        left = steps_too_wide(self.grains_um, self.most_step)
        lacks = "; ".join(f"{self.papers[n]} and {self.papers[n + 1]}" for n in left)
        said = f": the widest step is {max(steps):.2f} to 1"
        return f"{said}; no paper here lies between {lacks}" if left else said

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        steps = zip(self.papers, self.grains_um, self.takes_um, strict=True)
        return {
            "schema": 1, "on": "film" if self.on_film else "wood", "most_step": self.most_step,
            "papers": [{"paper": p, "grain_um": g, "takes_um": round(t, 2)} for p, g, t in steps],
            "too_wide": list(self.wide),
            "minutes_per_m2": span(self.minutes_per_m2) if self.minutes_per_m2 else None,
            "drop_back_min_per_m2": span(self.back_min_per_m2) if self.back_min_per_m2 else None,
            "says": self.says,
        }  # fmt: skip


@dataclass(frozen=True)
class FaultAnswer:
    """Where to begin on a fault, and what it costs of the film."""

    fault: str
    height_um: Spread
    first: str
    first_do: str
    film_um: float | None  # to have before it is levelled away; None where it stands in single spots
    kind: str
    source: str

    @property
    def says(self) -> str:
        """One paragraph for a maker."""
        low, likely, high = self.height_um
        have = f" To level it wholly away have {self.film_um:.0f} um of film." if self.film_um else ""
        return (
            f"{self.fault.capitalize()}: about {likely:g} um high ({low:g} to {high:g}; book figures, not yours). "
            f"{self.first_do} Begin with {self.first}.{have}"
        )

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "schema": 1, "fault": self.fault, "height_um": span(self.height_um), "first": self.first,
            "first_do": self.first_do, "film_um": round(self.film_um, 1) if self.film_um else None,
            "kind": self.kind, "source": self.source, "says": self.says,
        }  # fmt: skip


def ladder_answer(facts: Facts, words: str, on_film: bool = False) -> LadderAnswer:
    """Papers from the first to the last named, with those between that the steps ask.

    What was named is kept where it fits; a step too wide gets the papers it lacks. Raises Misread for what is no
    paper, or an order that goes back to coarser.
    """
    joined = re.sub(r"\b(us|cami)\s+", r"\1", words, flags=re.IGNORECASE)
    said = [_paper(facts, word) for word in _BETWEEN.split(joined.strip()) if word]
    if not said:
        raise Misread("No papers are named.", 'Write them in order, as "120, 180, 320".')
    grains = [size for _, size in said]
    if any(b >= a for a, b in pairwise(grains)):
        raise Misread("Papers go from coarse to fine.", 'Write them in order, as "120, 180, 320".')
    most = facts.likely("grit_step_film" if on_film else "grit_step_wood")
    wide = steps_too_wide(grains, most)
    own = dict((size, name) for name, size in said)
    stock = {a.size_um: say_abrasive(f"{a.kind} {a.grade}") for a in facts.abrasives.values() if _fepa(a)}
    names = {size: name for size, name in stock.items() if size} | own
    found = [grains[0]]
    for a, b in pairwise(grains):
        found += ladder([*names], a, b, most)[1:] if a / b > most else [b]
    share = facts.likely("scratch_share")
    sanding = facts.labour.get("sand one grit")
    pace = sanding.minutes_per_m2 if sanding and not on_film else None
    return LadderAnswer(
        papers=tuple(names[g] for g in found), grains_um=tuple(found),
        takes_um=(0.0, *(scratch_um(g, share) for g in found[:-1])),
        wide=tuple(f"{said[n][0]} to {said[n + 1][0]}" for n in wide) if len(said) > 2 else (),
        most_step=most, on_film=on_film,
        minutes_per_m2=pace * len(found) if pace else None, back_min_per_m2=pace * 2 if pace else None,
    )  # fmt: skip


def fault_answer(facts: Facts, words: str) -> FaultAnswer:
    """With what to begin on a fault of the film. Raises Misread for a fault that no table holds."""
    plain = words.strip().lower()
    known = {say: fault for fault in facts.film_faults.values() for say in (fault.name, *fault.aliases)}
    if plain not in known:
        near = get_close_matches(plain, list(known), 2, 0.6) or list(facts.film_faults)
        raise Misread(f"No fault here is called {words!r}.", f"Write one of: {', '.join(near)}.")
    fault = known[plain]
    return FaultAnswer(
        fault.name, fault.height_um, say_abrasive(fault.first_paper), fault.first_do,
        rub_floor_um(fault.height_um.likely, facts) if fault.all_over else None,
        fault.source.kind.value, fault.source.text,
    )  # fmt: skip


def _fepa(abrasive: Abrasive) -> bool:
    return abrasive.kind == "FEPA_P" and abrasive.size_um is not None


def _paper(facts: Facts, word: str) -> tuple[str, float]:
    match = find_abrasive(facts, word)
    row = facts.abrasives.get(match.one or "")
    if row is None:
        raise Misread(match.says, match.ask)
    if row.kind not in ("FEPA_P", "CAMI") or row.size_um is None:
        raise Misread(f"{word!r} is no paper.", 'Write papers by their number, as "120, 180, 320".')
    return say_abrasive(match.one or ""), row.size_um
