"""Owner of every wait: what has happened on a face and where it stood, to the hour it is ready.

Hours are floats since an origin the planner keeps, elapsed time. Every wait is so many hours at 21 C and 50 %
humidity, against the rate of the material's law in the air of the place, hour by hour.
Source: docs/decisions.md, "Waits".
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import RakelightError, SourceKind
from rakelight.facts.load import Facts
from rakelight.plan.clock import Clock, Law, Stay
from rakelight.plan.doses import ABRADING, Alike, Doses, Happened, ManyCoats, Need, Recipe, Shape, is_wax
from rakelight.plan.laying import Openings, openings
from rakelight.plan.model import Because
from rakelight.plan.needs import recipe_of
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import HourlyAir
from rakelight.spread import Z90, Spread

__all__ = ["Happened", "ReadyH", "Stay", "Waits"]

Deviates = Mapping[str, float]

#: hours of a day where no local days are told; a rest between days is no matter after two
DAY_H = 24


@dataclass(frozen=True)
class ReadyH:
    """When a face is ready, in hours since the origin; inf where it never is within the year of air."""

    low: float
    likely: float
    high: float
    because: Because


@dataclass(frozen=True)
class _Same:
    """One deviate for every material."""

    z: float

    def get(self, _material: str, _default: float = 0.0) -> float:
        return self.z


class Waits:
    """Answers from which hour a face is ready, in the air of one shop."""

    def __init__(
        self,
        facts: Facts,
        air: Mapping[str, HourlyAir],
        factors: Mapping[str, float] | None = None,
        day_of: Callable[[float], int] | None = None,
    ) -> None:
        """Args: facts; air of each place from the origin; this shop's factors ("drying:<material>", times the
        book); day_of, number of the local day of an hour (else 24 hours from the origin)."""
        self.clock = Clock(facts, air)
        self.factors = dict(factors or {})
        self.doses = Doses(facts, self.factors)
        self._day_of = day_of or (lambda hour: int(hour // DAY_H))
        self._root = Shape(Alike())
        self._melting: dict[str, tuple[Law, float] | None] = {}
        self._openings: dict[tuple[int, str], tuple[Lay, Openings]] = {}
        self._alike: dict[tuple[Lay, str], Openings] = {}

    # -- ready ----------------------------------------------------------------------------------

    def ready(
        self,
        events: Sequence[Happened],
        stays: Sequence[Stay],
        readiness: str,
        over: Lay | None = None,
        closed: bool = False,
        clamps: bool = False,
        z: Deviates | None = None,
    ) -> float:
        """Hour at which a face is ready.

        Args: events of the face in order; stays of its part in order; readiness as in the files; over, what
        is to be laid (of "next coat" and "wax"); closed, inside of a space with no open side; clamps, whether
        they bear on finish; z, each material's deviate (0 likely, 1.28 high).
        Returns the hour, never before the last event; -inf where nothing has happened; inf where never.
        Raises RakelightError for an unknown readiness, place or material.
        """
        if not events:
            return -math.inf
        recipe = recipe_of(self.doses, self.shape(events, stays), readiness, over, closed, clamps)
        return self._latest(recipe, events, stays, z)

    def _latest(
        self, recipe: Recipe, events: Sequence[Happened], stays: Sequence[Stay], z: Deviates | None
    ) -> float:
        best = events[-1].hour
        for need in recipe.needs:
            hour = self._hour(need, events, stays, z)
            if hour > best:
                best = hour
        if recipe.many:
            start = self._rest_from(recipe.many, events)
            if start is not None:
                best = max(best, self._from(recipe.many.need, start, events, stays, z))
        return best

    def _hour(self, need: Need, events: Sequence[Happened], stays: Sequence[Stay], z: Deviates | None) -> float:
        return self._from(need, events[need.at].hour, events, stays, z)

    def _from(
        self, need: Need, start: float, events: Sequence[Happened], stays: Sequence[Stay], z: Deviates | None
    ) -> float:
        deviate = z.get(need.material, 0.0) if z and not need.sure else 0.0
        dose = need.at_z(deviate)
        if need.beneath:
            dose += self._short(need, events, stays, z)
        return self.clock.until(need.law, stays, start, dose, need.ratio, deviate)

    def _short(self, need: Need, events: Sequence[Happened], stays: Sequence[Stay], z: Deviates | None) -> float:
        """Reference hours the oxidising coats beneath were short of their next coat when it was laid."""
        short = 0.0
        for n, lower in enumerate(need.beneath):
            above = need.beneath[n + 1].at if n + 1 < len(need.beneath) else need.at
            deviate = z.get(lower.material, 0.0) if z else 0.0
            got = self.clock.passed(
                lower.law, stays, events[lower.at].hour, events[above].hour, lower.ratio, deviate
            )
            short = max(0.0, lower.at_z(deviate) + short - got)
        return short

    def parts(
        self,
        events: Sequence[Happened],
        stays: Sequence[Stay],
        readiness: str,
        over: Lay | None = None,
        closed: bool = False,
        z: Deviates | None = None,
    ) -> list[tuple[Need, float]]:
        """What `ready` is the latest of: each need with the hour at which it is met.

        Args and raises as `ready`. The rest after many coats in a day counts from the last of them.
        """
        if not events:
            return []
        recipe = recipe_of(self.doses, self.shape(events, stays), readiness, over, closed, False)
        found = [(need, self._hour(need, events, stays, z)) for need in recipe.needs]
        start = self._rest_from(recipe.many, events) if recipe.many else None
        if recipe.many and start is not None:
            found.append((recipe.many.need, self._from(recipe.many.need, start, events, stays, z)))
        return found

    def _rest_from(self, many: ManyCoats, events: Sequence[Happened]) -> float | None:
        """From when the rest counts, where as many coats as a day allows have been laid; None where not.

        The first coat of a day after a day that lacked only one rests from midnight: were it laid a minute
        before, it would have to rest, and a later start is never ready earlier.
        """
        hours = [events[at].hour for at in many.at[-many.most :]]
        days = [self._day_of(hour) for hour in hours]
        if days[0] == days[-1]:
            return hours[-1]
        if days[0] != days[-2] or hours[-1] - hours[-2] > 2 * DAY_H:
            return None
        midnight = math.floor(hours[-2]) + 1
        while self._day_of(midnight) == days[0]:
            midnight += 1
        return min(float(midnight), hours[-1])

    def table(
        self,
        events: Sequence[Happened],
        stays: Sequence[Stay],
        readiness: str,
        over: Lay | None,
        start_hours: NDArray[np.float64],
        z: Deviates | None = None,
    ) -> NDArray[np.float64]:
        """Ready hour for each hour at which the last event may end.

        It never falls as that hour rises, but where a later coat is no longer one film with the one beneath.

        Args as `ready`; start_hours, shape (n,). Returns shape (n,), inf where never.
        Raises RakelightError where nothing has happened.
        """
        if not events:
            raise RakelightError("A table of waits needs at least one thing done on the face.")
        past, last = list(events[:-1]), events[-1]
        return np.array(
            [self.ready([*past, replace(last, hour=float(h))], stays, readiness, over, z=z) for h in start_hours]
        )

    # -- reasons --------------------------------------------------------------------------------

    def explain(
        self,
        events: Sequence[Happened],
        stays: Sequence[Stay],
        readiness: str,
        over: Lay | None = None,
        closed: bool = False,
        clamps: bool = False,
    ) -> ReadyH:
        """Low, likely and high hour, and the figure that drives the likely one.

        Args and raises as `ready`.
        """
        if not events:
            return ReadyH(-math.inf, -math.inf, -math.inf, Because("nothing lies on it"))
        recipe = recipe_of(self.doses, self.shape(events, stays), readiness, over, closed, clamps)
        low, high = (self._latest(recipe, events, stays, _as_map(z)) for z in (-Z90, Z90))
        needs = list(recipe.needs)
        if not needs:
            return ReadyH(low, low, high, Because("nothing on it has to dry"))
        hours = [self._hour(need, events, stays, None) for need in needs]
        rest = self._rest_from(recipe.many, events) if recipe.many else None
        if recipe.many and rest is not None:
            needs.append(recipe.many.need)
            hours.append(self._from(recipe.many.need, rest, events, stays, None))
        rules = max(range(len(needs)), key=lambda n: hours[n])
        likely = max(hours[rules], events[-1].hour)
        return ReadyH(low, likely, high, self._because(needs[rules], events, stays))

    def _because(self, need: Need, events: Sequence[Happened], stays: Sequence[Stay]) -> Because:
        doses = []
        short = 0.0
        for z in (-Z90, 0.0, Z90):
            more = self._short(need, events, stays, _as_map(z)) if need.beneath else 0.0
            short = more if z == 0.0 else short
            doses.append(need.at_z(z) + more)
        low, likely, high = doses
        words = f"{need.says}: {_hours(likely)} ({_bare(low)} to {_bare(high)})"
        words += " by the clock" if need.law.kind == "clock" else " at 21 C and 50 %"
        if need.film_um:
            words += f", film of {need.film_um:.0f} um"
        if short >= 0.5:
            words += f", {_hours(short)} of it for the coat beneath, laid over before it was ready"
        factor = self.doses.factors.get(need.material, 1.0)
        if factor != 1.0 and need.law.kind != "clock":
            words += f", {factor:.2g} times the book in this shop"
        place = _place_at(stays, events[need.at].hour, self.clock.first)
        words += f", in {' then '.join(place)}"
        kind = need.source.kind if factor == 1.0 else SourceKind.MEASURED
        return Because(words, need.material, need.figure, (low, likely, high), need.source.text, kind)

    def unfinished(self, events: Sequence[Happened], stays: Sequence[Stay]) -> tuple[float, float, float]:
        """Reference hours by which the oxidising coats beneath the last one were laid over too early.

        Returns low, likely, high; zeros where none was. A coat laid so is a warning of its own.
        """
        if not events:
            return 0.0, 0.0, 0.0
        recipe = recipe_of(self.doses, self.shape(events, stays), "next coat", None, False, False)
        chained = [need for need in recipe.needs if need.beneath]
        if not chained:
            return 0.0, 0.0, 0.0
        need = max(chained, key=lambda n: n.at)
        low, likely, high = (self._short(need, events, stays, _as_map(z)) for z in (-Z90, 0.0, Z90))
        return low, likely, high

    # -- laying ---------------------------------------------------------------------------------

    def window_end(self, events: Sequence[Happened], stays: Sequence[Stay], over: Lay) -> float:
        """Hour until which the next coat needs no scuffing, at the likely rate; inf where there is no limit.

        No limit: once the last coat has been abraded, beneath wax, and over what has no such window.
        """
        need = self.window_need(events, over)
        return math.inf if need is None else self._hour(need, events, stays, None)

    def window_need(self, events: Sequence[Happened], over: Lay) -> Need | None:
        """The hours of that window as a need without doubt; None where there is no limit."""
        coats = self.doses.stack(self._root.of(events).steps)
        if not coats or is_wax(self.doses.row(over)):
            return None
        last = coats[-1]
        if any(event.do in ABRADING for event in events[last.at + 1 :]):
            return None
        if "recoat_max_without_abrading" not in last.row.time_h:
            return None
        recipe = recipe_of(self.doses, self._root.of(events), "next coat", None, False, False)
        own = next((n for n in recipe.needs if n.at == last.at), None)
        time, name = self.doses.time(last.row, "recoat_max_without_abrading")
        law = self.doses.laws(last.row)[0]
        beneath = own.beneath if own else ()
        dose = Spread.exact(time.likely * last.thick)
        says = f"{last.row.name} coated without scuffing"
        source = last.row.time_source(name)
        return Need(last.at, last.row.id, law, dose, f"time_h.{name}", source, says, 0.0, beneath, sure=True)

    def shape(self, events: Sequence[Happened], stays: Sequence[Stay] = ()) -> Shape:
        """A history without its hours, but for which of its coats make one film."""
        return self._root.of(events, self._apart(events, stays))

    def _apart(self, events: Sequence[Happened], stays: Sequence[Stay]) -> list[int]:
        """Coats laid too late, at the likely rate, to be one film with the coat of their kind beneath."""
        found: list[int] = []
        before: Happened | None = None
        for at, event in enumerate(events):
            lay = event.lay
            if lay is None:
                continue
            melts = self._melts(lay.material)
            if melts and before and before.lay and before.lay.material == lay.material:
                law, most_h = melts
                if self.clock.passed(law, stays, before.hour, event.hour) > most_h + 1e-9:
                    found.append(at)
            before = event
        return found

    def _melts(self, material: str) -> tuple[Law, float] | None:
        if material not in self._melting:
            row = self.doses.facts.materials.get(material)
            self._melting[material] = self.doses.melts_until(row) if row else None
        return self._melting[material]

    def may_lay(self, lay: Lay, place: str, hour: float, long_h: float = 0.0) -> bool:
        """Whether it is warm and dry enough to lay a coat in a place at an hour, for `long_h`, and stays so."""
        return self.openings(lay, place).holds(hour, long_h)

    def next_hour_to_lay(self, lay: Lay, place: str, hour: float, long_h: float = 0.0) -> float:
        """The first hour from one on at which a coat that takes `long_h` may be laid; inf where there is none."""
        return self.openings(lay, place).next(hour, long_h)

    def hours_to_lay(self, lay: Lay, place: str, least_k: float | None = None) -> list[tuple[float, float]]:
        """Every span of hours in which a coat may be begun; least_k, film above dew point, else as the calendar."""
        found = self.openings(lay, place) if least_k is None else openings(self.doses, self.clock, lay, place, least_k)
        return list(zip(found.starts, found.ends, strict=True))

    def openings(self, lay: Lay, place: str) -> Openings:
        """The spans of starting hours of a coat in a place."""
        found = self._openings.get((id(lay), place))
        if found is None:
            alike = self._alike.get((lay, place))
            if alike is None:
                alike = self._alike[lay, place] = openings(self.doses, self.clock, lay, place)
            found = self._openings[id(lay), place] = (lay, alike)
        return found[1]


def _as_map(z: float) -> Deviates | None:
    return _Same(z) if z else None  # type: ignore[return-value]


def _place_at(stays: Sequence[Stay], hour: float, first: str) -> list[str]:
    """Where it stood from an hour on, in order."""
    if not stays:
        return [first]
    at = max((n for n, stay in enumerate(stays) if stay.from_hour <= hour), default=0)
    places = [stays[at].place]
    for stay in stays[at + 1 :]:
        if stay.place != places[-1]:
            places.append(stay.place)
    return places


def _hours(hours: float) -> str:
    return f"{_bare(hours)} h"


def _bare(hours: float) -> str:
    """As a maker rounds: whole hours from three on, one digit beneath, minutes' worth under one."""
    if hours >= 3:
        return f"{hours:.0f}"
    return f"{hours:.1f}".rstrip("0").rstrip(".") if hours >= 1 else f"{hours:.2g}"
