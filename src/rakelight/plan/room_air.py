"""How rich the air of a room becomes from all that is laid in it, and how near the limits of breath and fire.

Breath: over a day or short-term limit warns, half of the limit of immediate danger stops. Fire: a tenth of the
lower explosive limit stops, a quarter or any flame refuses. The room is taken as mixed, its air change divided by
the mixing factor. Source: docs/decisions.md, "Vapour"; ventilation.md.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.facts.load import Facts
from rakelight.facts.records import Solvent
from rakelight.physics.vapour import Release, mean_ppm, ppm_at, purge_h, vapour_m3
from rakelight.units.factors import PPM_PER_PCT

#: from the best to the worst
VERDICTS = ("go", "warn", "stop", "refuse")
#: hours over which a day limit is a mean. Source: the limits' own definition (OSHA, 8 h; NIOSH's 10 h is taken so)
DAY_H = 8.0
#: hours between the begins of eight hours that are looked at, besides every begin and end of a release
_EVERY_H = 0.1
#: no more begins than these, however long the releases
_MOST_BEGINS = 20_000
#: alcohol is sold denatured; where its methanol is not known, the limits of breath are the lower of both
_DENATURED, _DENATURANT = "ethanol", "methanol"

Floats = NDArray[np.float64]
Grams = Mapping[str, float]


@dataclass(frozen=True)
class Limits:
    """Limits of one solvent, ppm; None where none is set."""

    day: float | None
    short: float | None
    half_danger: float | None
    lel_pct: float | None
    because: str = ""  # where another solvent's limits stand in


@dataclass(frozen=True)
class Let:
    """Solvents let go evenly from an hour on."""

    start_h: float
    hours: float
    grams: Grams


@dataclass(frozen=True)
class Room:
    """A room and what its air change comes to."""

    volume_m3: float
    changes_per_h: float  # as it is, before the mixing factor
    mixing: float
    temp_c: float = 20.0

    @property
    def effective(self) -> float:
        """Air change divided by the mixing factor."""
        return self.changes_per_h / self.mixing


@dataclass(frozen=True)
class LimitShare:
    """How near a limit the air comes: 1 is at it."""

    id: str  # day, short, half-danger, lel
    says: str
    ppm: float  # that the air comes to, of the solvent that weighs most
    limit_ppm: float
    share: float  # of all solvents together
    solvent: str

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {"id": self.id, "says": self.says, "solvent": self.solvent, "ppm": round(self.ppm, 1),
                "limit_ppm": round(self.limit_ppm, 1), "share": round(self.share, 4)}  # fmt: skip


@dataclass(frozen=True)
class Exposure:
    """The air of a room at its richest."""

    peak_ppm: float  # of all solvents together
    peak_h: float
    share_of_lel: float
    limits: tuple[LimitShare, ...]  # of breath, the nearest to its limit first
    fire: LimitShare | None = None
    by_solvent: Mapping[str, float] = field(default_factory=dict)

    @property
    def most_over(self) -> float:
        """Share of the limit that is used up most; linear in what is laid."""
        return max((s.share for s in self.limits), default=0.0)


def limits_of(facts: Facts, solvent: str, *, methanol_free: bool = False, lax: bool = False) -> Limits:
    """Limits of a solvent: the lower where two bodies set one; `lax`, the higher.

    Denatured alcohol is held to methanol's limits where those are lower, unless its sheet shows none.
    """
    own = _own_limits(facts.solvents[solvent], max if lax else min)
    if solvent != _DENATURED or methanol_free:
        return own
    other = _own_limits(facts.solvents[_DENATURANT], max if lax else min)
    because = "methanol's, since its share in the alcohol is not known"
    return Limits(_least(own.day, other.day), _least(own.short, other.short),
                  _least(own.half_danger, other.half_danger), own.lel_pct, because)  # fmt: skip


def _own_limits(solvent: Solvent, choose: Callable[[list[float]], float]) -> Limits:
    def of(*columns: str) -> float | None:
        known = [solvent.figures[c] for c in columns if c in solvent.figures]
        return choose(known) if known else None

    danger = of("idlh_ppm")
    return Limits(
        of("niosh_rel_twa_ppm", "osha_pel_twa_ppm"),
        of("niosh_rel_st_ppm", "niosh_rel_ceiling_15min_ppm", "osha_pel_ceiling_ppm"),
        danger / 2 if danger else None,
        of("lel_pct_low"),
    )


def _least(*values: float | None) -> float | None:
    known = [v for v in values if v is not None]
    return min(known) if known else None


def exposure(
    facts: Facts,
    lets: Sequence[Let],
    room: Room,
    window: tuple[float, float] = (-math.inf, math.inf),
    *,
    methanol_free: bool = False,
    lax: bool = False,
) -> Exposure:
    """How rich a room becomes within a window of hours, and how near each limit that comes.

    Parameters: lets, all that goes into the room, also before the window; room; methanol_free, where the sheet of
    the alcohol shows no methanol; lax, by the higher of two bodies' limits.
    The peak lies at an end of a release, so only those hours are looked at. The mean of eight hours is the greatest
    of all that begin in the window or reach into it.
    """
    names = sorted({name for one in lets for name, g in one.grams.items() if g > 0})
    edges = {h for one in lets for h in (one.start_h, one.start_h + one.hours)} | {window[0], window[1]}
    at = np.array(sorted(h for h in edges if window[0] <= h <= window[1] and math.isfinite(h)))
    if not names or not at.size:
        return Exposure(0.0, 0.0, 0.0, ())
    rich: dict[str, Floats] = {}
    mean: dict[str, Floats] = {}
    begins = _begins(lets, window)
    for name in names:
        releases = [_release(facts, name, one, room) for one in lets if one.grams.get(name)]
        rich[name] = ppm_at(at, releases, room.volume_m3, room.effective)
        mean[name] = mean_ppm(begins, DAY_H, releases, room.volume_m3, room.effective)
    known = {name: limits_of(facts, name, methanol_free=methanol_free, lax=lax) for name in names}
    shares = [
        _share("day", "mean of eight hours, day limit", mean, {n: x.day for n, x in known.items()}),
        _share("short", "peak, short-term limit", rich, {n: x.short for n, x in known.items()}),
        _share("half-danger", "peak, half the limit of immediate danger", rich,
               {n: x.half_danger for n, x in known.items()}),
    ]  # fmt: skip
    lel = {n: x.lel_pct * PPM_PER_PCT if x.lel_pct else None for n, x in known.items()}
    fire = _share("lel", "peak, lower explosive limit", rich, lel)
    total = np.sum([rich[n] for n in names], axis=0)
    top = int(np.argmax(total))
    nearest = sorted((s for s in shares if s), key=lambda s: -s.share)
    return Exposure(
        float(total[top]), float(at[top]), fire.share if fire else 0.0, tuple(nearest), fire,
        {n: float(rich[n].max()) for n in names},
    )  # fmt: skip


def _begins(lets: Sequence[Let], window: tuple[float, float]) -> Floats:
    """Begins of all eight hours that meet the window and any release.

    After the last release the room only becomes cleaner, so none begins later than that.
    """
    ends = [one.start_h + one.hours for one in lets]
    first = max(window[0], min(one.start_h for one in lets)) - DAY_H
    last = max(first, min(window[1], max(ends)))
    edges = np.array([*(one.start_h for one in lets), *ends, first + DAY_H, last])
    count = min(_MOST_BEGINS, math.ceil((last - first) / _EVERY_H) + 1)
    every = np.concatenate([np.linspace(first, last, count), edges, edges - DAY_H])
    near = np.sort(every[(every >= first) & (every <= last)])
    first_of_its_kind = np.ones(len(near), bool)  # `np.unique` says the same, and loads masked arrays to say it
    first_of_its_kind[1:] = near[1:] > near[:-1]
    return near[first_of_its_kind]


def _release(facts: Facts, name: str, let: Let, room: Room) -> Release:
    molar = facts.solvents[name].molar_mass_g_mol
    return Release(let.start_h, let.hours, vapour_m3(let.grams[name], molar, room.temp_c))


def _share(
    id: str, says: str, ppm: Mapping[str, Floats], limits: Mapping[str, float | None]
) -> LimitShare | None:
    """The hour at which the shares of all solvents together are greatest."""
    parts = {n: ppm[n] / limit for n in ppm if (limit := limits[n])}
    if not parts:
        return None
    total = np.sum(list(parts.values()), axis=0)
    top = int(np.argmax(total))
    most = max(parts, key=lambda n: float(parts[n][top]))
    return LimitShare(id, says, float(ppm[most][top]), limits[most] or 0.0, float(total[top]), most)


def breath_verdict(seen: Exposure) -> str:
    """go, warn over a day or short-term limit, stop at half the limit of immediate danger."""
    over = {s.id for s in seen.limits if s.share > 1.0}
    return "stop" if "half-danger" in over else "warn" if over else "go"


def fire_verdict(facts: Facts, seen: Exposure, flame: bool) -> str:
    """go, stop from a tenth of the lower explosive limit, refuse from a quarter or with a flame."""
    if flame or seen.share_of_lel >= facts.likely("vapour_refuse_lel"):
        return "refuse"
    return "stop" if seen.share_of_lel >= facts.likely("vapour_stop_lel") else "go"


def worse(one: str, other: str) -> str:
    """The worse of two verdicts."""
    return max(one, other, key=VERDICTS.index)


def room_left(facts: Facts, seen: Exposure) -> float:
    """How many times as much might be laid before the first limit is reached; inf where none bounds it."""
    used = max(seen.most_over, seen.share_of_lel / facts.likely("vapour_stop_lel"))
    return 1.0 / used if used > 0 else math.inf


def purge(facts: Facts, seen: Exposure, room: Room, *, methanol_free: bool = False) -> float:
    """Hours after the peak until nobody breathes more than a day limit and no heat meets vapour.

    That is: under every day and short-term limit, and under a hundredth of the lower explosive limit; inf where
    the air never changes.
    """
    known = {n: limits_of(facts, n, methanol_free=methanol_free) for n in seen.by_solvent}
    day = sum(ppm / limit for n, ppm in seen.by_solvent.items() if (limit := known[n].day))
    short = next((s.share for s in seen.limits if s.id == "short"), 0.0)
    lel = seen.share_of_lel / facts.likely("vapour_quiet_lel")
    return purge_h(max(day, short, lel), 1.0, room.effective)


def changes_needed(
    facts: Facts, lets: Sequence[Let], room: Room, *, methanol_free: bool = False, most: float = 60.0
) -> float:
    """Air changes an hour that keep every limit, to a tenth; inf where not even `most` does."""

    def used(changes: float) -> float:
        airy = Room(room.volume_m3, changes, room.mixing, room.temp_c)
        return 1.0 / room_left(facts, exposure(facts, lets, airy, methanol_free=methanol_free))

    low, high = room.changes_per_h, most
    if used(high) > 1.0:
        return math.inf
    while high - low > 0.1:
        middle = (low + high) / 2
        low, high = (low, middle) if used(middle) <= 1.0 else (middle, high)
    return high


def burnable_m3(facts: Facts, grams: Grams, temp_c: float = 20.0) -> float:
    """Air that this solvent could make burnable where its vapour lies unmixed along the floor, m3."""
    total = 0.0
    for name, mass_g in grams.items():
        lel = limits_of(facts, name).lel_pct
        if lel:
            total += vapour_m3(mass_g, facts.solvents[name].molar_mass_g_mol, temp_c) / (lel / 100)
    return total


def added(grams: Iterable[Grams]) -> dict[str, float]:
    """Masses of several, added up."""
    total: dict[str, float] = {}
    for one in grams:
        for name, mass_g in one.items():
            total[name] = total.get(name, 0.0) + mass_g
    return total
