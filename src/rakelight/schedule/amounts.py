"""How much of what: for each session, part and material, and what to buy; low, likely, high.

Litres come from the coverage of the row, never from the film. Source: docs/decisions.md, "Amounts".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from rakelight.facts.load import Facts
from rakelight.piece.model import part_words
from rakelight.schedule.bare import LaidSoFar, Patch, patches
from rakelight.schedule.buying import BuyLine, buying
from rakelight.schedule.coats import CoatAmount, ml_per_m2
from rakelight.schedule.days_of_use import gun_sessions
from rakelight.schedule.mixes import recipe
from rakelight.schedule.shelf import Drawn, FromJars, Shelf, from_jars
from rakelight.schedule.tasks import Lay, Task, Work
from rakelight.shop.model import Shop
from rakelight.spread import Spread
from rakelight.units import MM2_PER_M2


@dataclass(frozen=True)
class Amounts:
    """Every amount of a piece."""

    tasks: dict[str, CoatAmount] = field(default_factory=dict)  # by task id
    coats: dict[tuple[str, str], Spread] = field(default_factory=dict)  # by part and step, ml as laid
    parts: dict[str, dict[str, Spread]] = field(default_factory=dict)  # by part, by material id, ml as laid
    total: dict[str, Spread] = field(default_factory=dict)  # by material id, ml as laid and left in the gun
    buy: tuple[BuyLine, ...] = ()
    drawn: tuple[Drawn, ...] = ()  # what is taken from the shelf

    def of_task(self, id: str) -> CoatAmount | None:
        """What one session takes; None where nothing is laid."""
        return self.tasks.get(id)

    def mix_lines(self) -> list[str]:
        """What to mix, one line for each part and jar; coats that take the same jar share a line.

        A test board is laid from the jar of the piece and has no line of its own.
        """
        jars: dict[tuple[str, str], list[str]] = {}
        several = Counter((c.part, c.step) for c in self.tasks.values() if c.mix and not c.board)
        for coat in self.tasks.values():
            if coat.mix and not coat.board:
                where = f" ({', '.join(coat.faces)})" if several[coat.part, coat.step] > 1 else ""
                step = coat.step + where
                jars.setdefault((coat.part, f"{coat.name}, {coat.mix.says}"), []).append(step)
        shown = {part: part_words(part) for part, _ in jars}
        return [f"{shown[part]}, {steps_words(steps)}: {says}" for (part, says), steps in jars.items()]


def amounts(
    work: Work,
    shop: Shop,
    facts: Facts,
    days: Mapping[str, date] | None = None,
    shelf: Shelf | None = None,
    done: Collection[str] = (),
) -> Amounts:
    """Amounts of a piece, from its tasks in order.

    Parameters: days, the day of each task where a plan knows it (for how often brush and gun are cleaned); without
    it the days are counted from the coats a day of each step; shelf, what is in stock (None: not told), from which
    all but the tasks `done` draw. Returns ml and g, low, likely, high.
    Valid for flat and moulded work laid by hand or gun; coats of one material share their error.
    """
    begins, left_ml = gun_sessions(work, facts, days), facts.likely("gun_left_ml")
    laid = LaidSoFar.of(work)
    found: dict[str, CoatAmount] = {}
    for job in work.jobs.values():
        for task in job.tasks:
            if task.lay and task.lay.material in facts.materials:
                found[task.id] = _coat(work, task, task.lay, facts, laid, left_ml if task.id in begins else 0.0)
        laid.join()
    jars = FromJars(found)
    if shelf is not None:
        reserve = facts.figures["buy_reserve"].value.likely
        jars = from_jars(found, shelf, done, reserve, work.piece.unit)
        found = jars.coats
    wanted = [coat for coat in found.values() if shelf is None or coat.task not in done]
    bought = buying(work, wanted, facts, days, shelf)
    return Amounts(
        found,
        _gathered(((a.part, a.step), a.liquid) for a in found.values()),
        _by_part(found.values()),
        _gathered((a.material, a.taken) for a in found.values()),
        bought,
        (*jars.drawn, *(d for line in bought for d in line.drawn)),
    )


def _coat(work: Work, task: Task, lay: Lay, facts: Facts, laid: LaidSoFar, gun_ml: float) -> CoatAmount:
    """One session; gun_ml, what stays in the gun after it."""
    material = facts.materials[lay.material]
    liquid, area, on_bare = Spread.exact(0.0), 0.0, False
    for number, patch in _laid_on(work, task, facts):
        first = laid.first(patch, task, material.id)
        wet = ml_per_m2(material, lay.by, facts, patch, first)
        liquid = liquid.with_shared(wet * (patch.area_m2 * number))
        area += patch.area_m2 * number
        on_bare |= first
        laid.lay(patch, task, material)
    made = recipe(material, lay, task.scheduled, facts)
    liquid = liquid * made.laid_share
    reserve = facts.figures["buy_reserve"].value.likely
    mix = made.mixed(liquid.likely * reserve + gun_ml, work.piece.unit) if area > 0 else None
    return CoatAmount(
        task.id, task.part, task.step, material.id, material.name, area, liquid, gun_ml, on_bare, mix, made,
        task.faces, task.board,
    )  # fmt: skip


def _laid_on(work: Work, task: Task, facts: Facts) -> Iterable[tuple[int, Patch]]:
    """Patches a task lays something on, each with the number of parts; for a test board, its one face."""
    part = work.jobs[task.part].part
    if task.board and part.test_board:
        board = part.test_board
        yield 1, Patch(task.part, "board", board.long_mm * board.wide_mm / MM2_PER_M2)
        return
    number = task.pieces[1] - task.pieces[0] + 1
    tall_mm = facts.figures["stand_tall_mm"].value.likely
    for face in task.faces:
        for patch in patches(work, task.part, face, tall_mm):
            yield number, patch


def steps_words(steps: list[str]) -> str:
    """Names of sessions that take the same jar: "coat 1 to coat 6, each time"."""
    names = list(dict.fromkeys(steps))
    shown = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
    return shown if len(steps) == 1 else f"{shown}, each time"


def _gathered(pairs: Iterable[tuple[Any, Spread]]) -> dict[Any, Spread]:
    """Sums by key of what shares its error."""
    sums: dict[Any, Spread] = {}
    for key, amount in pairs:
        sums[key] = sums[key].with_shared(amount) if key in sums else amount
    return sums


def _by_part(found: Iterable[CoatAmount]) -> dict[str, dict[str, Spread]]:
    parts: dict[str, dict[str, Spread]] = {}
    for (part, material), amount in _gathered(((a.part, a.material), a.liquid) for a in found).items():
        parts.setdefault(part, {})[material] = amount
    return parts
