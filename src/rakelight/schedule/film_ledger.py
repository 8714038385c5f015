"""The film of every face as a ledger: what coats put on, scuffs and rubbing take, on the flat and at the arris.

Each figure keeps its cause: coats of one material err together, so do scuffs. A cause at a time is set low and
high and the whole ledger folded anew; the distances add in square. Source: docs/decisions.md, "Film", "Arris",
"Scuffs", "Rubbing", "Cutting through".
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.schedule.layers import Layer, Stack, Take, stacks_of_work
from rakelight.schedule.tasks import Task, Work
from rakelight.spread import Spread

Column = NDArray[np.float64]


@dataclass(frozen=True)
class Coat:
    """One coat of film on a face."""

    layer: Layer
    laid_um: Spread
    left_um: Spread  # of it, before the rub-out
    arris_um: Spread  # of it at the arris, before the rub-out
    scratched: bool  # what lies beneath it was abraded


@dataclass(frozen=True)
class FaceFilm:
    """Film of one face: built by its coats, and what the rub-out after the last of them takes."""

    part: str
    face: str
    role: str
    area_m2: float
    coats: tuple[Coat, ...]
    dry_um: Spread  # whole film before the rub-out, old film beneath counted
    arris_um: Spread
    last_um: Spread  # the coat on top alone
    arris_last_um: Spread
    rub_um: Spread  # what the rub-out asks for; 0 where there is none
    arris_rub_um: Spread
    left_um: Spread
    arris_left_um: Spread
    rub: tuple[Take, ...]  # sandings and rubbings after the last coat
    stack: Stack
    old_um: float = 0.0

    @property
    def top(self) -> Layer | None:
        """The last coat of film."""
        return self.coats[-1].layer if self.coats else None

    @property
    def own(self) -> bool:
        """Whether this part lays or takes anything itself; else a member's film is carried into it."""
        parts = {layer.part for layer in self.stack.layers} | {take.part for take in self.stack.takes}
        return self.part in parts

    @property
    def rubbed(self) -> bool:
        """Whether it is levelled or rubbed after the last coat."""
        return any(take.do in ("level", "rub") for take in self.rub)

    @property
    def levelled(self) -> bool:
        """Whether it is levelled after the last coat: what is only rubbed with wool or powder asks no floor."""
        return any(take.do == "level" for take in self.rub)


@dataclass(frozen=True)
class CutOdds:
    """Chances of cutting through, 0-1: at one spot, and anywhere on the flat or along the arris."""

    flat: float
    arris: float
    flat_anywhere: float
    arris_anywhere: float

    def over(self, area_m2: float, arris_mm: float, facts: Facts) -> CutOdds:
        """The same spot on a face so large, with arrises so long, mm."""
        from rakelight.physics.cutting import anywhere

        if not (self.flat or self.arris):
            return self
        spots = area_m2 / facts.likely("cut_spot_m2"), arris_mm / facts.likely("cut_spot_mm")
        return CutOdds(self.flat, self.arris, anywhere(self.flat, spots[0]), anywhere(self.arris, spots[1]))


def fuses(material: Material) -> bool:
    """Whether a coat melts into the one beneath, so that the whole film is at stake and not the last coat alone."""
    return material.coats_join.startswith("fuse")


def at_stake(take: Take, material: Material) -> tuple[float, float]:
    """Film a sanding must not go through, on the flat and at the arris, um: all of it, or the last coat."""
    if fuses(material):
        return take.film_um, take.arris_film_um
    return take.last_um, take.arris_last_um


def ceiling_um(names: Mapping[str, float] | tuple[str, ...], facts: Facts) -> float:
    """Most film that lasts: of several materials the largest figure among them, um."""
    whole = facts.figure("film_ceiling_um").value.likely
    return max((facts.materials[id].max_film_um or whole for id in names), default=whole)


def peak(stack: Stack) -> dict[str, float]:
    """Each material's share of the film before it is rubbed down, um: laid, less sanding between coats."""
    films: dict[str, float] = {}
    for layer in stack.films:
        films[layer.material] = films.get(layer.material, 0.0) + layer.laid_um
    for take in stack.takes:
        top = next((la for la in reversed(stack.layers[: take.over]) if la.kind == "film"), None)
        if top and top.material in films and take.do in ("scuff", "sand"):
            films[top.material] -= take.took_um
    return {id: max(0.0, um) for id, um in films.items()}


def rub_floor_um(removal_um: float, facts: Facts) -> float:
    """Least film to have before a rub-out that takes so much, um: what is to be left, and what it takes."""
    return facts.figure("rub_floor_um").value.low + removal_um


def film_cv(by: str, facts: Facts) -> float:
    """Spread of a film from spot to spot, by the way it is laid: standard deviation over mean."""
    ways = {"spray": "film_cv_sprayed", "pad": "film_cv_padded"}
    return facts.likely(ways.get(by, "film_cv_brushed"))


def odds(flat: tuple[float, float], arris: tuple[float, float], by: str, facts: Facts) -> tuple[float, float]:
    """Chances of going through at one spot, on the flat and at the arris; each pair is film at stake and removal."""
    from rakelight.physics.cutting import chance

    hand = facts.likely("removal_cv_hand")
    return (
        chance(*flat, film_cv(by, facts), hand),
        chance(*arris, facts.likely("film_cv_arris"), hand),
    )


def spot_odds(film: FaceFilm, facts: Facts) -> CutOdds:
    """The same where a face is no larger than one spot: equal for faces with one past."""
    if film.top is None or not film.rubbed:
        return CutOdds(0.0, 0.0, 0.0, 0.0)
    whole = fuses(facts.materials[film.top.material])
    flat = film.dry_um.likely - film.old_um if whole else film.last_um.likely
    arris = film.arris_um.likely - film.old_um if whole else film.arris_last_um.likely
    one = odds(
        (max(0.0, flat), film.rub_um.likely), (max(0.0, arris), film.arris_rub_um.likely), film.top.by, facts
    )
    return CutOdds(*one, *one)


def ledger(
    work: Work, facts: Facts, old: Spread | None = None, parts: tuple[str, ...] = ()
) -> dict[str, tuple[FaceFilm, ...]]:
    """Film of every face that has any, by part; `parts` limits it to some.

    Parameters: old, film that lies on the faces before all else, where it is finished over, um; None: as the
    piece's file says.
    """
    tasks = {t.id: t for job in work.jobs.values() for t in job.tasks}
    stacks = stacks_of_work(work, facts)
    known: dict[object, FaceFilm] = {}
    found: dict[str, tuple[FaceFilm, ...]] = {}
    for name, job in work.jobs.items():
        if parts and name not in parts:
            continue
        films = []
        for face in job.part.faces:
            for stack in stacks[name].get(face.name, ()):
                if not stack.films:
                    continue
                key = _past(stack, tasks)
                if key not in known:
                    known[key] = _fold(stack, tasks, facts, old or _old(stack)).film(stack)
                own = {"part": name, "face": face.name, "role": face.role, "area_m2": face.area_m2, "stack": stack}
                films.append(FaceFilm(**{**known[key].__dict__, **own}))  # `replace` is three times as slow
        found[name] = tuple(films)
    return found


def _past(stack: Stack, tasks: dict[str, Task]) -> object:
    """What the ledger depends on: faces of whichever part that share it are folded once."""
    laid = []
    for layer in stack.layers:
        lay = tasks[layer.task].lay
        wet = lay.wet_um if lay and layer.laid_um > 0 else None
        what = (layer.material, layer.by, layer.cut, layer.thin, layer.do, layer.kind)
        laid.append((*what, layer.laid_um, layer.arris_laid_um, layer.abraded_before, wet))
    taken = [(t.over, t.do, t.grit, t.first_grit, t.abrasive, tasks[t.task].takes) for t in stack.takes]
    return tuple(laid), tuple(taken), stack.old_um, stack.old_of


def _old(stack: Stack) -> Spread | None:
    """Film of an earlier finish, as the piece's file says it: taken as known."""
    return Spread.exact(stack.old_um) if stack.old_um else None


@dataclass
class _Folded:
    """What one past comes to; faces that share it differ only in name and size."""

    causes: dict[str, int]
    coats: list[tuple[Layer, Column, Column, Column]]  # laid, left, left at the arris
    old: Column
    rub: tuple[Take, ...] = ()
    asked: tuple[Column, Column] = field(default_factory=lambda: (np.zeros(1), np.zeros(1)))
    left: tuple[Column, Column] = field(default_factory=lambda: (np.zeros(1), np.zeros(1)))

    def film(self, stack: Stack) -> FaceFilm:
        """The film of a face with this past, whichever it is."""
        spread = self.spread
        coats = tuple(
            Coat(layer, spread(laid), spread(flat), spread(arris), bool(layer.abraded_before))
            for layer, laid, flat, arris in self.coats
        )
        last = self.coats[-1]
        return FaceFilm(
            part="",
            face="",
            role="",
            area_m2=0.0,
            coats=coats,
            dry_um=spread(self.old + sum(c[2] for c in self.coats)),
            arris_um=spread(self.old + sum(c[3] for c in self.coats)),
            last_um=spread(last[2]),
            arris_last_um=spread(last[3]),
            rub_um=spread(self.asked[0]),
            arris_rub_um=spread(self.asked[1]),
            left_um=spread(self.left[0]),
            arris_left_um=spread(self.left[1]),
            rub=self.rub,
            stack=stack,
            old_um=float(self.old[0]),
        )

    def spread(self, column: Column) -> Spread:
        """Likely as folded; each cause's distance to its low and high, added in square."""
        likely = float(column[0])
        ends = [value - likely for value in column.tolist()[1:]]
        down = up = 0.0
        for a, b in zip(ends[::2], ends[1::2], strict=True):
            down += min(a, b, 0.0) ** 2
            up += max(a, b, 0.0) ** 2
        return Spread(max(0.0, likely - math.sqrt(down)), likely, likely + math.sqrt(up))


class _Causes:
    """Columns of every uncertain figure: the likely first, then each cause low and high by itself."""

    def __init__(self, spreads: dict[str, Spread]) -> None:
        self.at = {id: n for n, id in enumerate(spreads)}
        self.width = 1 + 2 * len(spreads)
        self.columns = {id: self._column(n, spreads[id]) for id, n in self.at.items()}

    def _column(self, n: int, spread: Spread) -> Column:
        column = np.full(self.width, spread.likely)
        column[2 * n + 1], column[2 * n + 2] = spread.low, spread.high
        return column

    def __getitem__(self, id: str) -> Column:
        return self.columns[id]

    def zero(self) -> Column:
        return np.zeros(self.width)


def _fold(stack: Stack, tasks: dict[str, Task], facts: Facts, old: Spread | None) -> _Folded:
    causes = _Causes(_causes(stack, tasks, facts, old))
    last = max(n for n, layer in enumerate(stack.layers) if layer.laid_um > 0) + 1
    beneath = causes["old"] if old else causes.zero()
    flat: list[Column] = []
    arris: list[Column] = []
    laid: list[tuple[Layer, Column]] = []
    built: list[tuple[Layer, Column, Column, Column]] = []
    asked, asked_arris = causes.zero(), causes.zero()
    rub = []
    for at, layer in enumerate(stack.layers, 1):
        if layer.laid_um > 0:
            coat = causes[f"wet {layer.material} {layer.by}"] * causes[_solids(layer)]
            laid.append((layer, coat))
            flat.append(coat.copy())
            arris.append(coat * (layer.arris_laid_um / layer.laid_um))
        if at == last:
            built = [(la, coat, f.copy(), a.copy()) for (la, coat), f, a in zip(laid, flat, arris, strict=True)]
        for take in stack.takes:
            if take.over != at or take.removes_um <= 0:
                continue
            off = _removed(take, tasks, causes)
            off_arris = off * causes["arris_scuff"]
            if at >= last:
                rub.append(take)
                asked, asked_arris = asked + off, asked_arris + off_arris
            _wear(flat, off)
            _wear(arris, off_arris)
    after = tuple(t for t in stack.takes if t.over >= last)
    left = beneath + sum(flat), beneath + sum(arris)
    return _Folded(causes.at, built, beneath, after, (asked, asked_arris), left)


def _solids(layer: Layer) -> str:
    return f"solids {layer.material} {layer.cut} {layer.thin}"


def _causes(stack: Stack, tasks: dict[str, Task], facts: Facts, old: Spread | None) -> dict[str, Spread]:
    found = {"arris_scuff": facts.figure("arris_scuff").value}
    if old:
        found["old"] = old
    for layer in stack.films:
        lay = tasks[layer.task].lay
        if lay and lay.wet_um and lay.solids_volume:
            found[f"wet {layer.material} {layer.by}"] = lay.wet_um
            found[_solids(layer)] = lay.solids_volume
    for take in stack.takes:
        for id, _ in tasks[take.task].takes:
            found[id] = facts.figure(id).value
    return found


def _removed(take: Take, tasks: dict[str, Task], causes: _Causes) -> Column:
    off = causes.zero()
    for id, times in tasks[take.task].takes:
        off = off + causes[id] * times
    return off


def _wear(films: list[Column], off: Column) -> None:
    """Take film off the top of a pile, coat by coat; what is not there is not taken."""
    for n in range(len(films) - 1, -1, -1):
        taken = np.minimum(films[n], off)
        films[n] = films[n] - taken
        off = off - taken
        if not off.any():
            return
