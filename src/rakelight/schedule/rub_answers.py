"""Answers that need no piece: the sheen of a last abrasive, or what to stop with; odds of cutting through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.names import find_abrasive, find_material, say_abrasive
from rakelight.facts.records import Abrasive
from rakelight.physics import cutting, gloss
from rakelight.schedule.sheen_of import Sheen, acts_like_um, class_range, rubbed_sheen, scale_of, sheen_word
from rakelight.spread import Spread
from rakelight.units import show_film

#: papers coarser than this end no rub-out
_COARSEST_UM = 30.0


@dataclass(frozen=True)
class SheenAnswer:
    """What a last abrasive leaves on a finish."""

    finish: str
    index: float
    last: str
    sheen: Sheen
    gu_20: Spread
    gu_85: Spread
    most_gu: float
    words: tuple[str, str]  # at the low and the high end
    scale_um: float  # refitted, or as the book has it
    measured: bool
    kind: str
    source: str

    @property
    def says(self) -> str:
        """One sentence for a maker."""
        gu, (low, high) = self.sheen.gu, self.words
        doubt = f"it may come out {low} or {high}" if low != high else "hardly anything moves that"
        whose = "from one reading on your own panel" if self.measured else "book figures"
        return (
            f"{self.finish}, last rubbed with {self.last}: {self.sheen.word}, about {gu.likely:.0f} GU at 60 degrees "
            f"({gu.low:.0f} to {gu.high:.0f}; {whose}); {doubt}. A smooth film of it gives {self.most_gu:.0f} at most."
        )

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "schema": 1, "finish": self.finish, "last": self.last, "refractive_index": self.index,
            "gu": span(self.sheen.gu), "word": self.sheen.word, "words": list(self.words),
            "gu_20": span(self.gu_20), "gu_85": span(self.gu_85), "most_gu": round(self.most_gu, 1),
            "grain_scale_um": round(self.scale_um, 2), "measured": self.measured,
            "kind": self.kind, "source": self.source, "says": self.says,
        }  # fmt: skip


@dataclass(frozen=True)
class StopAnswer:
    """What to stop with for a wanted sheen."""

    finish: str
    wanted: str
    wanted_gu: Spread
    stops: tuple[tuple[str, Sheen], ...]  # nearest first
    reached: bool
    most_gu: float
    in_place: tuple[tuple[str, Sheen], ...] = ()  # of a water-borne film: pads in the place of wool

    @property
    def says(self) -> str:
        """One sentence for a maker."""
        name, sheen = self.stops[0]
        others = ", ".join(n for n, _ in self.stops[1:4])
        under = self.wanted_gu.high < gloss.FLOOR_GU
        ends = f"{gloss.FLOOR_GU:.0f} GU at least" if under else f"{self.most_gu:.0f} GU at most"
        first = f"{self.wanted.capitalize()} is not to be had: this film gives {ends}. "
        first = "" if self.reached else first
        near = "Stop with" if self.reached else "The nearest is"
        return (
            f"{first}{near} {name}: about {sheen.gu.likely:.0f} GU ({sheen.gu.low:.0f} to {sheen.gu.high:.0f}), "
            f"{sheen.word}. Also near: {others}. {self._no_wool()}"
            "Rub a panel first and look at both side by side."
        )

    def _no_wool(self) -> str:
        """What takes the place of steel wool, whose shreds rust in a water-borne film; "" on any other."""
        pads = " or ".join(f"a {n} (about {s.gu.likely:.0f} GU)" for n, s in self.in_place)
        return f"No steel wool on a water-borne film, its shreds rust in it: in its place {pads}. " if pads else ""

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        rows = [{"last": n, "gu": span(s.gu), "word": s.word} for n, s in self.stops]
        return {
            "schema": 1, "finish": self.finish, "wanted": self.wanted, "wanted_gu": span(self.wanted_gu),
            "reached": self.reached, "most_gu": round(self.most_gu, 1), "stop_with": rows, "says": self.says,
        }  # fmt: skip


@dataclass(frozen=True)
class CuttingAnswer:
    """Odds that a removal goes through a film."""

    film_um: float
    removal_um: float
    film_cv: float
    removal_cv: float
    one: float
    by_normal: float
    spots: float
    anywhere: float
    odds: float
    film_for_um: float
    unit: str = "mm"  # "in" says it in mil

    @property
    def says(self) -> str:
        """One sentence for a maker."""
        from rakelight.schedule.film_advice import times_in

        many = f"; in any of {self.spots:.0f} spots: {times_in(self.anywhere).lower()}" if self.spots > 1 else ""
        return (
            f"Cut through at one spot: {times_in(self.one).lower()} "
            f"({show_film(self.removal_um, self.unit)} off {show_film(self.film_um, self.unit)})"
            f"{many}. For {self.odds * 100:g} in 100 a spot have {show_film(self.film_for_um, self.unit)} of film."
        )

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "schema": 1, "film_um": self.film_um, "removal_um": self.removal_um, "film_cv": self.film_cv,
            "removal_cv": self.removal_cv, "cut_through": round(self.one, 6), "by_normal": round(self.by_normal, 6),
            "spots": self.spots, "anywhere": round(self.anywhere, 6), "odds": self.odds,
            "film_for_um": round(self.film_for_um, 1), "says": self.says,
        }  # fmt: skip


def span(spread: Spread, places: int = 1) -> dict[str, float]:
    """Low, likely and high as plain data."""
    low, likely, high = (round(v, places) for v in spread)
    return {"low": low, "likely": likely, "high": high}


def _finish(facts: Facts, words: str) -> tuple[str, float]:
    match = find_material(facts, words)
    if match.one is None:
        raise Misread(match.says, match.ask)
    row = facts.materials[match.one]
    if row.refractive_index is None or row.coats_join == "absorbed":
        raise Misread(f"{row.name} makes no film that could be rubbed.", "Write a finish: shellac, lacquer, varnish.")
    return row.name, row.refractive_index.likely


def is_watery(facts: Facts, finish: str) -> bool:
    """Whether a finish is thinned with water, so that wool left in it rusts."""
    row = facts.materials[find_material(facts, finish).one or ""]
    return row.is_water_borne or row.mechanism == "water_evaporation"


def _abrasive(facts: Facts, words: str) -> tuple[str, Abrasive]:
    match = find_abrasive(facts, words)
    if match.one is None:
        raise Misread(match.says, match.ask)
    return say_abrasive(match.one), facts.abrasives[match.one]


def sheen_answer(
    facts: Facts, finish: str, last: str, wax: bool = False, reading_gu: float | None = None
) -> SheenAnswer:
    """Gloss a last abrasive leaves on a finish; `reading_gu`, of a gloss meter on one's own panel, refits it.

    `wax`: a coat of wax lies on it. Raises Misread for what is not known, or a reading that fixes nothing.
    """
    name, index = _finish(facts, finish)
    if wax:
        index = _finish(facts, "paste wax")[1]
    said, abrasive = _abrasive(facts, last)
    grain = acts_like_um(abrasive)
    if grain is None:
        raise Misread(f"How bright {said} leaves a film is not known.", "Write a paper, powder, wool or pad.")
    scale = scale_of(abrasive, facts)
    if reading_gu is not None:
        own = gloss.scale_from_reading(reading_gu, grain, index)
        if own is None:
            most = gloss.most_gu(index)
            says = f"A reading of {reading_gu:g} GU fixes nothing: this film reads {gloss.FLOOR_GU:.0f} to {most:.0f}."
            raise Misread(says, "Read a panel rubbed to satin or semi-gloss, at 60 degrees.")
        scale = refitted_um(own)
    sheen = rubbed_sheen(abrasive, index, facts, scale)
    if sheen is None:
        raise Misread(f"How bright {said} leaves a film is not known.", "Write a paper, powder, wool or pad.")
    return SheenAnswer(
        finish=name, index=index, last=said, sheen=replace(sheen, because=said),
        gu_20=gloss.rubbed_range_gu(grain, index, gloss.BRIGHT_DEG, scale),
        gu_85=gloss.rubbed_range_gu(grain, index, gloss.DULL_DEG, scale),
        most_gu=gloss.most_gu(index),
        words=(sheen_word(sheen.gu.low, facts), sheen_word(sheen.gu.high, facts)),
        scale_um=scale.likely, measured=reading_gu is not None,
        kind=abrasive.source.kind.value, source=abrasive.source.text,
    )  # fmt: skip


def refitted_um(own_um: float) -> Spread:
    """A scale from one reading: one hand on one day, so it keeps the spread of the book about it."""
    return gloss.GRAIN_UM * (own_um / gloss.GRAIN_UM.likely)


def stop_answer(facts: Facts, finish: str, want: str, scale_um: Spread | None = None) -> StopAnswer:
    """What to stop with for a wanted sheen: a word, or gloss units ("30") as measured on the part to be matched.

    Raises Misread where it is neither.
    """
    name, index = _finish(facts, finish)
    most, watery = gloss.most_gu(index), is_watery(facts, name)
    gu = class_range(want.strip().lower(), facts, most) or _units(want, facts)
    found: list[tuple[str, Sheen]] = []
    pads: list[tuple[str, Sheen]] = []
    for key, abrasive in facts.abrasives.items():
        grain = acts_like_um(abrasive)
        sheen = rubbed_sheen(abrasive, index, facts, scale_um)
        if watery and abrasive.kind == "steel_wool":
            continue
        if abrasive.kind != "CAMI" and grain is not None and grain <= _COARSEST_UM and sheen:
            found.append((say_abrasive(key), sheen))
            if abrasive.kind == "pad":
                pads.append(found[-1])
    aim = max(gloss.FLOOR_GU, min(gu.likely, most))
    for rows in (found, pads):
        rows.sort(key=lambda pair: abs(pair[1].gu.likely - aim))
    reached = gu.low < most and gu.high >= gloss.FLOOR_GU
    return StopAnswer(name, want, gu, tuple(found[:6]), reached, most, tuple(pads[:2]) if watery else ())


def _units(want: str, facts: Facts) -> Spread:
    words = want.lower().removesuffix("gu").strip()
    try:
        value = float(words)
    except ValueError:
        value = -1.0
    if not 0 <= value <= 200:
        says = f"{want!r} is neither a sheen nor gloss units."
        raise Misread(says, f"Write one of: {', '.join(facts.sheens)}; or units at 60 degrees, as 30.")
    return Spread.exact(value)


def cutting_answer(
    facts: Facts, film_um: float, removal_um: float, by: str = "brush", spots: float = 1.0,
    odds: float | None = None, unit: str = "mm",
) -> CuttingAnswer:  # fmt: skip
    """Odds that a removal goes through a film at one spot and anywhere; and the film to have for given odds.

    Parameters: by, how the film was laid (brush, spray, pad, wipe); spots, how many stand by themselves; odds, chance
    a spot that is still taken on, 0-1 (as the tables have it); unit, "in" to be told mil.
    """
    from rakelight.schedule.film_ledger import film_cv

    cv, hand = film_cv(by, facts), facts.likely("removal_cv_hand")
    taken = facts.likely("cut_odds_flat") if odds is None else odds
    if not 0 < taken < 1:
        raise Misread(f"Odds of {taken:g} are none.", 'Write more than none and less than always, as "1 %".')
    one = cutting.chance(film_um, removal_um, cv, hand)
    return CuttingAnswer(
        film_um=film_um, removal_um=removal_um, film_cv=cv, removal_cv=hand, one=one,
        by_normal=cutting.chance_normal(film_um, cv * film_um, removal_um, hand * removal_um),
        spots=max(1.0, spots), anywhere=cutting.anywhere(one, spots), odds=taken,
        film_for_um=cutting.film_for(taken, removal_um, cv, hand), unit=unit,
    )  # fmt: skip
