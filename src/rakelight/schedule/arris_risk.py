"""Going through at the arris: of each levelling or rub, the chance at one spot and anywhere along its length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.piece.model import Part
from rakelight.schedule.film_ledger import CutOdds, fuses, odds
from rakelight.schedule.layers import Stack, Take, stacks_of_work
from rakelight.schedule.tasks import Work
from rakelight.units import MM_PER_FT, MM_PER_IN, MM_PER_M, show_length

#: from these odds on that it happens somewhere, it is told (assumption)
TOLD_FROM = 0.5
_SURE = 0.95


@dataclass(frozen=True)
class ArrisRisk:
    """What one levelling, with the rubs after it on the same coat, does to the arris."""

    task: str  # that begins it
    one: float  # chance at one spot, 0-1
    anywhere: float  # along all arrises that are met
    length_mm: float  # of them; 0 not known
    film_um: float  # at stake: all of it, or the last coat
    removes_um: float
    whole: bool  # through to the wood; else to the coat beneath
    spot_mm: float = 100.0  # how long one spot is
    off_mm: float = 10.0  # how far off it the level stays
    do: str = "level"

    @property
    def told(self) -> bool:
        """Whether it is more likely than not that it goes through somewhere."""
        return self.anywhere >= TOLD_FROM


def arris_risks(stack: Stack, part: Part, facts: Facts, faces: Mapping[str, int]) -> Iterator[ArrisRisk]:
    """Each levelling or rub with paper or powder that a part does on one of its faces, and what the arris has for it.

    Parameters: faces, how many each step works: of one alone at most half of a part's arrises are met, since every
    arris lies between two. Valid for a block held flat over the edge. Source: docs/decisions.md, "Arris".
    """
    by_coat: dict[int, list[Take]] = {}
    for take in stack.takes:
        if take.part == part.name and take.over and take.do in ("level", "rub") and take.removes_um > 0:
            by_coat.setdefault(take.over, []).append(take)
    for over, takes in by_coat.items():
        top = next((la for la in reversed(stack.layers[:over]) if la.kind == "film"), None)
        if top is None or not any(_cuts(take) for take in takes):
            continue
        whole, first = fuses(facts.materials[top.material]), takes[0]
        there = max(0.0, first.arris_film_um if whole else first.arris_last_um)
        removes, spot = sum(take.arris_removes_um for take in takes), facts.likely("cut_spot_mm")
        off = facts.likely("off_edge_mm")
        one = odds((1.0, 0.0), (there, removes), top.by, facts)[1]
        length = part.arris_length_mm * (0.5 if faces.get(first.task) == 1 else 1.0)
        anywhere = CutOdds(0.0, one, 0.0, one).over(0.0, length, facts).arris_anywhere
        yield ArrisRisk(first.task, one, anywhere, length, there, removes, whole, spot, off, first.do)


def risks_by_task(work: Work, facts: Facts) -> dict[str, ArrisRisk]:
    """The worst of each step that begins such a levelling, of those told."""
    stacks = stacks_of_work(work, facts)
    worst: dict[str, ArrisRisk] = {}
    for name, job in work.jobs.items():
        faces = {task.id: len(task.faces) for task in job.tasks}
        for stack in (one for several in stacks[name].values() for one in several):
            for risk in arris_risks(stack, job.part, facts, faces):
                if risk.told and (risk.task not in worst or worst[risk.task].one < risk.one):
                    worst[risk.task] = risk
    return worst


def _cuts(take: Take) -> bool:
    """Paper and powder cut an arris; wool and pads only dull it."""
    return take.do == "level" or bool(take.grit) or take.abrasive.startswith("powder")


def where_words(risk: ArrisRisk, unit: str) -> str:
    """How often, and along how much of it, within a sentence.

    >>> where_words(ArrisRisk("level", 0.426, 1.0, 9906.0, 27.0, 27.4, True), "in")
    '4 times in 10 at any 4 in of it, and so all but certainly somewhere along 32 1/2 ft'
    """
    from rakelight.schedule.film_advice import times_in

    spot = f"{risk.spot_mm / MM_PER_IN:.0f} in" if unit == "in" else f"{risk.spot_mm:.0f} mm"
    often = times_in(risk.one).lower()
    if not risk.length_mm:
        return f"{often} at any {spot} of it"
    sure = "all but certainly" if risk.anywhere >= _SURE else times_in(risk.anywhere).lower()
    return f"{often} at any {spot} of it, and so {sure} somewhere along {_long(risk.length_mm, unit)}"


def _long(length_mm: float, unit: str) -> str:
    if unit != "in":
        return f"{length_mm / MM_PER_M:.1f} m"
    feet, half = divmod(max(1, round(2 * length_mm / MM_PER_FT)), 2)
    return " ".join([*([str(feet)] if feet else []), *(["1/2"] if half else []), "ft"])


def step_words(risk: ArrisRisk, unit: str) -> str:
    """What stands at the step on the sheet."""
    to = "to the wood" if risk.whole else "to the coat beneath"
    return (
        f"Stay {show_length(risk.off_mm, unit)} off every arris and touch it only with the last, softest step: with "
        f"the block held over the edge it is cut through {to} {where_words(risk, unit)}."
    )
