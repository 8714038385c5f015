"""Variations of the book: another way of laying, a coat more or fewer, filled or not, rubbed or left as laid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rakelight.choice.model import Make
from rakelight.facts.load import Facts
from rakelight.facts.looks import look_rows
from rakelight.facts.names import find_abrasive
from rakelight.facts.records import Material
from rakelight.schedule.gear import has
from rakelight.schedule.sheen_of import rubbed_sheen
from rakelight.schedule.steps import LAYING, Count, Duration, Grit, Schedule, Step
from rakelight.shop.model import Gear

_BY_WORDS = {"brush": "brushed", "wipe": "wiped", "pad": "padded", "spray": "sprayed"}
#: what a film is rubbed with last, from the dullest to the brightest
_LAST = ("pumice FFF", "0000 wool", "rottenstone")
_RUB_TAIL = ("level", "rub", "wax")
_MOST_COATS = 12


def main_coat(steps: Sequence[Step]) -> int | None:
    """The step that lays the finish: the last film coat, else the last oil; None where there is neither."""
    films = [n for n, s in enumerate(steps) if s.do == "coat"]
    oils = [n for n, s in enumerate(steps) if s.do == "oil"]
    return films[-1] if films else oils[-1] if oils else None


def variations(schedule: Schedule, gear: Gear, facts: Facts, filler_coats: int = 0) -> list[Make]:
    """A schedule and what can be made of it, each step from it a single change, then pairs that go together.

    Parameters: gear, ways of laying the shop has; filler_coats, coats of clear filler that would level the pores of
    the wood (0: nothing to fill).
    """
    found: dict[str, Make] = {}
    for way in _ways(Make(schedule, schedule.name), gear, facts):
        for make in _coat_counts(way):
            found.setdefault(make.name, make)
        for make in (way, *_unrubbed(way), *_rubbed(way, facts), *_sheens(way, facts)):
            for filled in (make, *_unfilled(make), *_filled(make, filler_coats, facts)):
                found.setdefault(filled.name, filled)
    return list(found.values())


def _named(make: Make, steps: tuple[Step, ...], words: str, sheen: str | None = None) -> Make:
    changed = (*make.changed, words)
    base = make.schedule
    name = f"{make.base}, {', '.join(changed)}"
    title = f"{base.title}, {words}" if make.changed else f"{base.title}, but {words}"
    schedule = replace(
        base, name=name, title=title, steps=steps, sheen=base.sheen if sheen is None else sheen
    )
    return Make(schedule, make.base, changed)


def _ways(make: Make, gear: Gear, facts: Facts) -> Iterator[Make]:
    """As written where the shop can, and laid in every other way it has gear for, to about the same film."""
    steps = make.schedule.steps
    by = {s.by for s in steps if s.do in LAYING and s.do != "wax"}
    if all(has(gear, way) for way in by):
        yield make
    at = main_coat(steps)
    if at is None or steps[at].do != "coat" or steps[at].flood:
        return
    material = facts.materials[steps[at].material]
    for way in material.methods:
        if way == steps[at].by or way not in _BY_WORDS or not has(gear, way):
            continue
        laid = tuple(_laid_by(s, way, gear, facts) for s in steps)
        if any(s.do in LAYING and s.do != "wax" and not has(gear, s.by) for s in laid):
            continue
        yield _named(make, laid, _BY_WORDS[way])


def _laid_by(step: Step, way: str, gear: Gear, facts: Facts) -> Step:
    """A coat laid in another way, as many coats as come to the same film; a seal only where it must."""
    if step.do not in ("coat", "seal", "size") or step.by == way:
        return step
    material = facts.materials[step.material]
    if way not in material.wet_film_um or (step.do != "coat" and has(gear, step.by)):
        return step
    number = step.coats.likely
    if step.do == "coat" and step.by in material.wet_film_um:
        ratio = material.wet_film_um[step.by].likely / material.wet_film_um[way].likely
        number = max(1, min(_MOST_COATS, round(number * ratio)))
    return replace(step, by=way, coats=Count(number, number, number))


def _coat_counts(make: Make) -> Iterator[Make]:
    """One coat fewer and one more, or as few and as many as the schedule itself leaves open."""
    steps = make.schedule.steps
    at = main_coat(steps)
    if at is None:
        return
    count = steps[at].coats
    least = count.least if count.least < count.likely else count.likely - 1
    most = count.most if count.most > count.likely else count.likely + 1
    for number in (least, most):
        if 1 <= number <= _MOST_COATS and number != count.likely:
            changed = replace(steps[at], coats=Count(number, number, number))
            yield _named(make, _with(steps, at, changed), f"{number} coat{'s' * (number != 1)}")


def _with(steps: tuple[Step, ...], at: int, step: Step) -> tuple[Step, ...]:
    return (*steps[:at], step, *steps[at + 1 :])


def _unrubbed(make: Make) -> Iterator[Make]:
    """Left as laid: no wait to rub, no levelling, rubbing or wax after the last coat."""
    steps = make.schedule.steps
    at = main_coat(steps)
    tail = steps[at + 1 :] if at is not None else ()
    if at is None or steps[at].do != "coat" or not any(s.do in ("level", "rub") for s in tail):
        return
    kept = tuple(
        s for s in tail if s.do not in _RUB_TAIL and not (s.do == "wait" and s.for_ in ("rub", "wax"))
    )
    row = look_rows().get(steps[at].material)
    if row and row.as_laid:
        sheen = make.schedule.sheen if make.schedule.sheen in row.as_laid else row.as_laid[0]
        yield _named(make, (*steps[: at + 1], *kept), "left as laid", sheen)


def _rubbed(make: Make, facts: Facts) -> Iterator[Make]:
    """Levelled and rubbed where it was left as laid, to each sheen a last abrasive gives."""
    steps = make.schedule.steps
    at = main_coat(steps)
    if at is None or steps[at].do != "coat" or any(s.do in ("level", "rub", "wax") for s in steps):
        return
    material = facts.materials[steps[at].material]
    if "rub_out_ready" not in material.time_h or material.refractive_index is None:
        return
    for last in _LAST:
        abrasive = find_abrasive(facts, last).one
        if abrasive is None:
            continue
        sheen = rubbed_sheen(facts.abrasives[abrasive], material.refractive_index.likely, facts)
        if sheen:
            tail = _tail(abrasive, last, material, sheen.word)
            yield _named(make, (*steps, *tail), f"rubbed to {sheen.word}", sheen.word)


def _tail(abrasive: str, last: str, material: Material, sheen: str) -> tuple[Step, ...]:
    bright = sheen in ("gloss", "high gloss")
    grits = (800, 1000) if bright else (600, 800)
    wool = "wool" in last and material.is_water_borne  # steel wool rusts under water-borne coats
    if wool:
        return ()
    wait = Step("wait", name="wait", for_="rub", test="a thumbnail pressed hard leaves no print", work="none")
    level = Step(
        "level", name="level", grits=tuple(Grit(g) for g in grits), wet="mineral spirits", on="show", when="rub",
        work="dirty",
    )  # fmt: skip
    rub = Step("rub", name="rub", abrasive=abrasive, wet="mineral oil", on="show", when="rub", work="dirty")
    return (wait, level, rub)


def _sheens(make: Make, facts: Facts) -> Iterator[Make]:
    """The same finish bought in another sheen, where it is left as laid."""
    steps = make.schedule.steps
    at = main_coat(steps)
    if at is None or any(s.do in _RUB_TAIL for s in steps[at + 1 :]):
        return
    row = look_rows().get(steps[at].material)
    for sheen in row.as_laid if row else ():
        if sheen != make.schedule.sheen:
            yield _named(make, steps, f"in {sheen}", sheen)


def _unfilled(make: Make) -> Iterator[Make]:
    """Pores left open: no filler, and no sanding of it."""
    steps = make.schedule.steps
    at = next((n for n, s in enumerate(steps) if s.do == "fill"), None)
    if at is None:
        return
    after = at + 1
    while (
        after < len(steps)
        and steps[after].do in ("sand", "scuff", "wait")
        and steps[after].on in ("show", "all")
    ):
        after += 1
    yield _named(make, (*steps[:at], *steps[after:]), "pores left open")


def _filled(make: Make, coats: int, facts: Facts) -> Iterator[Make]:
    """Pores filled clear over a thin seal coat, where the schedule lays a film and does not fill."""
    steps = make.schedule.steps
    at = next((n for n, s in enumerate(steps) if s.do == "coat"), None)
    if at is None or coats < 1 or any(s.do == "fill" for s in steps):
        return
    coat = steps[at]
    overnight = Duration(overnight=True)
    fill = Step("fill", name="fill", material="filler_wb_clear", by="trowel", coats=Count(coats, coats, coats),
                on="show", when="next coat", work="wet")  # fmt: skip
    sand = Step(
        "sand", name="sand", grits=(Grit(320),), on="show", when="sand", at_least=overnight, work="dusty"
    )
    before = steps[:at]
    sealed = any(s.do in ("seal", "size") for s in before)
    seal: tuple[Step, ...] = ()
    if not sealed:
        by = coat.by if coat.by in ("spray", "brush") else "brush"
        seal = (
            Step(
                "seal",
                name="seal",
                material="shellac_dewaxed",
                by=by,
                cut_lb=1.0,
                when="next coat",
                work="wet",
            ),
            Step("scuff", name="scuff", grits=(Grit(320),), when="sand", work="dusty"),
        )
    yield _named(
        make, (*before, *seal, fill, sand, *steps[at:]), f"pores filled with {coats} coat{'s' * (coats != 1)}"
    )
