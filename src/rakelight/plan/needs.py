"""What each readiness asks of the coats on a face: rub, pack, wax, next coat and the rest, case by case.

Source of every rule here: docs/decisions.md, "Waits", and section 5 of the language of the files.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from rakelight.errors import RakelightError
from rakelight.facts.records import Material, Pair, Source
from rakelight.facts.words import STAGE_WORDS
from rakelight.plan.clock import CLOCK, OXIDATIVE, Law
from rakelight.plan.doses import (
    LATE,
    LATE_PAIR_H,
    Coat,
    Doses,
    Happened,
    ManyCoats,
    Need,
    Recipe,
    Shape,
    film_group,
    is_wax,
    makes_film,
)
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Lay
from rakelight.spread import Spread

#: the figure that readinesses without a rule of their own ask of every coat
_FIGURE = {
    "dust-free": "touch_dry",
    "sand": "sandable",
    "handle": "handling",
    "turn": "handling",
    "show": "handling",
    "assemble": "handling",
    "use": "full_cure",
}


def recipe_of(
    doses: Doses, shape: Shape, readiness: str, over: Lay | None, closed: bool, clamps: bool
) -> Recipe:
    """What a readiness asks of a shape; worked out once and kept with it."""
    key = (readiness, shape.alike.number(over), closed, clamps)
    found = shape.recipes.get(key)
    if found is None:
        found = shape.recipes[key] = Asked(doses, shape.steps, closed).recipe(readiness, over, clamps)
    return found


class Asked:
    """The needs of one history."""

    def __init__(self, doses: Doses, steps: Sequence[Happened], closed: bool) -> None:
        self.doses = doses
        self.steps = steps
        self.closed = closed
        self.coats = doses.stack(steps)

    def recipe(self, readiness: str, over: Lay | None, clamps: bool) -> Recipe:
        """All that a readiness asks. Raises RakelightError for a word that is no readiness."""
        if readiness not in READINESSES:
            raise RakelightError(f"{readiness!r} is no readiness; write one of: {', '.join(READINESSES)}.")
        if not self.coats:
            return Recipe(())
        many = None
        over_row = self.doses.row(over) if over else None
        if readiness == "wax" or (readiness == "next coat" and over_row and is_wax(over_row)):
            needs = self._wax(over)
        elif readiness == "next coat":
            needs = self._next_coat(over)
            many = self._many(over_row)
        elif readiness == "rub":
            needs = self._rub()
        elif readiness == "pack" or (readiness == "assemble" and clamps):
            needs = self._pack()
        else:
            needs = self._all(_FIGURE[readiness])
        return Recipe(tuple(_without_the_lesser(needs)), many)

    # -- readinesses ----------------------------------------------------------------------------

    def _all(self, name: str) -> list[Need]:
        return [need for coat in self.coats for need in self.figure(coat, name)]

    def _rub(self) -> list[Need]:
        """Every film ready to rub; what is never rubbed only has to be firm beneath it."""
        needs = []
        for coat in self.coats:
            beneath = "full_cure" if coat is self.coats[-1] else "sandable"
            needs += self.figure(coat, "rub_out_ready" if "rub_out_ready" in coat.row.time_h else beneath)
        return needs

    def _pack(self) -> list[Need]:
        """P81 from the last coat beneath the wax, between its handling and full use; wax by its full use."""
        needs = []
        pack = self.doses.facts.figure("pack_h")
        for coat in self.coats:
            if is_wax(coat.row):
                needs += self.figure(coat, "full_cure")
            elif not self._fused_since(coat):
                late = self.doses.laws(coat.row)[1]
                factor = self._factor(coat, late) * self.doses.film_factor(coat)
                least, most = self._time(coat, "handling"), self._late(coat, "full_cure")
                rest = self.doses.here(coat.row.id, pack.value)
                hours = (max(a, min(p * factor, b)) for a, p, b in zip(least, rest, most, strict=True))
                needs.append(
                    self._need(
                        coat, late, Spread(*hours), "practice P81", pack.source,
                        f"{coat.row.name} ready to pack", self._film_um(coat),
                    )
                )  # fmt: skip
        return needs

    def _wax(self, over: Lay | None) -> list[Need]:
        """The pair with wax; after a rub, a rest by the clock; wax on wax, its next coat."""
        last = self.coats[-1]
        rubs = [at for at, e in enumerate(self.steps) if e.do in ("rub", "level") and at > last.at]
        if rubs and not is_wax(last.row):
            rest = self.doses.facts.figure("wax_after_rub_h")
            says = f"{last.row.name} rested after rubbing, before wax"
            dose, id = rest.value, last.row.id
            return [Need(rubs[-1], id, CLOCK, dose, "practice P73", rest.source, says, ratio=_ratio(dose))]
        wax = over.material if over else next(r.id for r in self.doses.facts.materials.values() if is_wax(r))
        return self._beneath_next() + self._own_or_pair(wax, over.by if over else "")

    def _next_coat(self, over: Lay | None) -> list[Need]:
        last = self.coats[-1]
        if over is None:
            return self._beneath_next() + self.figure(last, "recoat_min")
        return self._beneath_next() + self._own_or_pair(over.material, over.by) + self._barriers(over)

    def _own_or_pair(self, over: str, by: str) -> list[Need]:
        last = self.coats[-1]
        needs = self.figure(last, "recoat_min")
        if over != last.row.id:
            pair = self.doses.facts.pair(last.row.id, over, by or "any")
            needs += self._pair(last, pair)
        return needs

    def _beneath_next(self) -> list[Need]:
        return [need for coat in self.coats[:-1] for need in self.figure(coat, "recoat_min")]

    def _barriers(self, over: Lay) -> list[Need]:
        """What lies under a barrier keeps the wait of its own row with what goes over the barrier.

        The likely wait, without its doubt: that was judged when the barrier went on.
        """
        needs: list[Need] = []
        top = self.coats[-1].row.id
        for coat in self.coats[:-1]:
            if coat.row.id not in (top, over.material):
                pair = self.doses.facts.pair(coat.row.id, over.material, over.by or "any")
                if pair and pair.verdict == "needs-barrier":
                    waits = self._pair(coat, pair)
                    needs += [
                        replace(n, dose=Spread.exact(n.dose.likely), ratio=1.0, sure=True) for n in waits
                    ]
        return needs

    def _many(self, over: Material | None) -> ManyCoats | None:
        last = self.coats[-1]
        row = last.row
        if not makes_film(row) or not row.coats_join.startswith("fuse"):
            return None
        if over is not None and film_group(over) != film_group(row):
            return None
        same: list[int] = []
        for coat in reversed(self.coats):
            if not makes_film(coat.row) or film_group(coat.row) != film_group(row):
                break
            same.insert(0, coat.at)
        figure = self.doses.facts.figure
        most = figure("shellac_coats_a_day" if row.is_shellac else "lacquer_coats_a_day").value.likely
        if len(same) < most:
            return None
        rest = figure("many_coats_rest_h")
        early = self.doses.laws(row)[0]
        dose = self.doses.here(row.id, rest.value)
        says = f"{row.name}: rest after {most:.0f} coats in a day"
        need = Need(last.at, row.id, early, dose, "practice P48", rest.source, says, ratio=_ratio(dose))
        return ManyCoats(int(most), tuple(same), need)

    # -- one coat -------------------------------------------------------------------------------

    def figure(self, coat: Coat, name: str) -> list[Need]:
        """What one coat asks by a figure of its row: nothing where a later coat has fused with it."""
        found = self.doses.time(coat.row, name)[1]
        late = found in LATE
        if late and self._fused_since(coat):
            return []
        law = self.doses.laws(coat.row)[late]
        dose = self._late(coat, name) if late else self._time(coat, name)
        says = f"{coat.row.name} {STAGE_WORDS[found]}"
        film_um = self._film_um(coat) if late else 0.0
        source = coat.row.time_source(found)
        return [self._need(coat, law, dose, f"time_h.{found}", source, says, film_um)]

    def _pair(self, coat: Coat, pair: Pair | None) -> list[Need]:
        wait = self.doses.facts.pair_wait(pair) if pair else None
        if pair is None or wait is None or pair.wait_h is None:
            return []
        late = pair.wait_h >= LATE_PAIR_H
        law = self.doses.laws(coat.row)[late]
        wait = self.doses.here(coat.row.id, wait)
        factor = self.doses.still(law, self.closed)
        # a pair's wait is not that of one normal film: a thin film does not shorten it
        factor *= max(1.0, coat.thick, self.doses.film_factor(coat) if late else 1.0)
        over = self.doses.facts.materials.get(pair.over)
        says = f"{over.name if over else 'any finish'} over {coat.row.name}"
        figure = f"pair:{pair.under}>{pair.over}"
        return [self._need(coat, law, wait * factor, figure, pair.source, says, 0.0)]

    def _need(
        self, coat: Coat, law: Law, dose: Spread, figure: str, source: Source, says: str, film_um: float
    ) -> Need:
        return Need(
            coat.at, coat.row.id, law, dose, figure, source, says, film_um, self._under(coat), _ratio(dose)
        )

    def _factor(self, coat: Coat, law: Law) -> float:
        return coat.thick * self.doses.still(law, self.closed)

    def _time(self, coat: Coat, name: str) -> Spread:
        time, _ = self.doses.time(coat.row, name)
        law = self.doses.laws(coat.row)[0]
        return time * coat.thick * self.doses.still(law, self.closed)

    def _late(self, coat: Coat, name: str) -> Spread:
        """A late time with the factor of the film, never under handling."""
        time, _ = self.doses.time(coat.row, name)
        law = self.doses.laws(coat.row)[1]
        factor = coat.thick * self.doses.still(law, self.closed) * self.doses.film_factor(coat)
        least = self._time(coat, "handling")
        return Spread(*(max(t * factor, a) for t, a in zip(time, least, strict=True)))

    def _film_um(self, coat: Coat) -> float:
        return coat.film_um if self.doses.film_factor(coat) != 1.0 else 0.0

    def _fused_since(self, coat: Coat) -> bool:
        """Whether a later coat makes one film with it: late times run from the last coat."""
        of_film = coat.row.mechanism in ("solvent_evaporation", "coalescence")
        return of_film and coat.film is not None and coat.film.last > coat.at

    def _under(self, coat: Coat) -> tuple[Need, ...]:
        """Next-coat needs of the oxidising coats right beneath an oxidising coat, lowest first."""
        if self.doses.laws(coat.row)[0] is not OXIDATIVE:
            return ()
        found: list[Need] = []
        for lower in reversed([c for c in self.coats if c.at < coat.at]):
            if self.doses.laws(lower.row)[0] is not OXIDATIVE:
                break
            dose = self._time(lower, "recoat_min")
            found_by = self.doses.time(lower.row, "recoat_min")[1]
            source = lower.row.time_source(found_by)
            says = f"{lower.row.name} beneath, {STAGE_WORDS['recoat_min']}"
            figure, ratio = f"time_h.{found_by}", _ratio(dose)
            found.append(Need(lower.at, lower.row.id, OXIDATIVE, dose, figure, source, says, ratio=ratio))
        return tuple(reversed(found))


def _ratio(dose: Spread) -> float:
    """High over likely, rounded so that like waits share their sums."""
    return round(dose.high / dose.likely, 3) if dose.likely > 0 else 1.0


def _without_the_lesser(needs: Iterable[Need]) -> list[Need]:
    """Needs less those that another of the same material and law always outlasts."""
    kept: list[Need] = []
    for need in reversed(list(needs)):
        if not any(_outlasts(other, need) for other in kept):
            kept = [other for other in kept if not _outlasts(need, other)]
            kept.append(need)
    return kept[::-1]


def _outlasts(a: Need, b: Need) -> bool:
    if a.law is not b.law or a.material != b.material or a.at < b.at or (a.sure and not b.sure):
        return False
    if b.beneath and a.at != b.at and all(under.at != b.at for under in a.beneath):
        return False
    return all(x >= y for x, y in zip(a.dose, b.dose, strict=True))
