"""Rules: woods that behave badly under a finish."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.errors import Severity
from rakelight.facts.records import FillerLimit, Wood
from rakelight.physics.pores import dip_um
from rakelight.rules.case import Case, OnFace
from rakelight.rules.registry import NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital
from rakelight.schedule.pores_of import (
    HALF,
    MOST_ADVISED,
    TRUSTED_FROM,
    acts_of,
    asks_words,
    deepest,
    dust_on,
    filler_coats,
    filler_words,
    grain_wanted,
    pore_limit,
    suiting,
)
from rakelight.schedule.sheen_of import sheen_of
from rakelight.spread import Spread

_BRIGHT = ("semi-gloss", "gloss", "high gloss")


@rule("oily-wood-unsealed", "layers", "Oil or oil varnish on a wood whose own oils keep it from drying.")
def oily_wood(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        woods = [w for w in case.woods(on.part, on.face.name) if w.oily in ("yes", "slight")]
        first = next((layer for layer in on.stack.layers if layer.kind not in ("colour", "bleach")), None)
        if not woods or first is None or first.part != on.part:
            continue
        row = case.material(first)
        if row.mechanism != "oxidative" or first.kind not in ("oil", "film"):
            continue
        wood = next((w for w in woods if w.oily == "yes"), woods[0])
        because = f" ({wood.extractive})" if wood.extractive else ""
        says = (
            f"{capital(row.name)} straight on {wood.name}: what the wood holds{because} can keep it tacky "
            "for days or "
            "weeks, and waiting has no date one can plan with."
        )
        mend = (
            "Sand fresh, wipe with acetone or naphtha, seal at once with 1-2 lb dewaxed shellac; "
            "or use a finish that dries by losing solvent."
        )
        severity = WARNING if wood.oily == "yes" else NOTE
        yield Hit(severity, says, mend, wood.sources.get("oily"), on.part, on.face.name, first.task)


@rule(
    "blotch-prone-stain-no-wash",
    "layers",
    "Stain on a wood that takes it unevenly, with no wash coat beneath.",
)
def blotch(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        woods = [w for w in case.woods(on.part, on.face.name) if w.blotch in ("yes", "some")]
        layers = on.stack.layers
        for at, layer in enumerate(layers if woods else ()):
            if layer.kind != "colour" or layer.part != on.part or layer.material == "gel_stain":
                continue
            if any(under.kind in ("size", "film", "oil") for under in layers[:at]):
                break
            row = case.material(layer)
            wood = next((w for w in woods if w.blotch == "yes"), woods[0])
            stain = row.mechanism == "oxidative" and wood.blotch == "yes"
            says = f"{capital(wood.name)} takes {row.name} in blotches; there is no wash coat beneath it."
            mend = (
                "Seal first with a half to one pound cut of dewaxed shellac (6 h to overnight before "
                "stain), or use gel "
                "stain; try it on pieces of every board: one good one proves little."
            )
            severity = WARNING if stain else NOTE
            yield Hit(severity, says, mend, wood.sources.get("blotch"), on.part, on.face.name, layer.task)
            break


@rule("end-grain-darker", "layers", "Stain on end grain that shows, worked like the faces.")
def end_grain(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        if not on.face.end_grain or on.face.role != "show":
            continue
        first = next(iter(on.stack.layers), None)
        if first is None or first.kind != "colour" or first.part != on.part:
            continue
        task = case.tasks.get(first.task)
        if task and len(task.faces) > 1:
            says = "End grain drinks more colour than the faces and comes out darker."
            mend = (
                "Sand it one grit finer than the faces, or size it with a half pound cut of dewaxed shellac "
                "first."
            )
            source = case.facts.practice["P17"].source
            yield Hit(NOTE, says, mend, source, on.part, on.face.name, first.task)


@rule("open-pores-show", "layers", "Pores left open under a sheen that shows them.")
def open_pores(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        if on.face.role != "show" or on.face.end_grain or not on.own:
            continue
        filled = any(layer.kind == "filler" for layer in on.stack.layers)
        if not filled and not on.stack.films:
            continue
        sheen = sheen_named(case, on)
        wood = None if on.stack.old_um else deepest(case.woods(on.part, on.face.name))
        limit = pore_limit(grain_wanted(case.work, on.part), sheen, wood, case.facts)
        if limit is None or limit.likely_um is None or wood is None:
            continue
        dust = dust_on(on.stack, case.work.dust)
        if dust and (dust.open or dust.coat >= TRUSTED_FROM):
            continue  # the hand test rules over the book
        hit = _pores(case, on, wood, limit, filled)
        if hit:
            yield hit


def sheen_named(case: Case, on: OnFace) -> str:
    """The sheen the schedule names, else the one its last rub leaves; "" unknown."""
    schedule = on.job.uses.get(on.face.name)
    if schedule and schedule.sheen:
        return schedule.sheen
    found = sheen_of(on.stack, "", case.facts)
    return found.word if found else ""


def _pores(case: Case, on: OnFace, wood: Wood, limit: FillerLimit, filled: bool) -> Hit | None:
    depth = wood.pore_depth_um or Spread.exact(0.0)
    acts = acts_of(on.stack, case.facts)
    dip = dip_um(depth.likely, [act for _, act in acts])
    most = limit.likely_um or 0.0
    if dip <= most:
        return None
    severity = _how_bad(wood, limit, filled, dip)
    if severity is None:
        return None
    needs = filler_coats(on.stack, wood, limit, case.facts, suiting(on.stack, case.facts)[0])
    done = "after filling" if filled else "with no filler"
    says = (
        f"Pores of {wood.name}, about {case.shown.film(depth.likely)} deep, leave a dip of {case.shown.film(dip)} "
        f"{done}; {asks_words(limit, case.shown.film(most))}."
    )
    takes = filler_words(on.stack, wood, limit, case.facts)
    fill = f"{'In all' if filled else 'Filled,'} it takes {takes}, sanded flush,"
    level = f"Fill alone does not get there in {MOST_ADVISED} coats: lay film over it and cut the film level,"
    mend = (
        f"{fill if takes else level} some weeks before the last rub since fill sinks back; or leave it open on "
        "purpose and choose a softer sheen."
    )
    figures = {"dip_um": dip, "limit_um": most, "filler_coats": float(needs.likely), "depth_um": depth.likely}
    task = on.own[-1].task
    return Hit(
        severity, says, mend, wood.sources.get("pores") or limit.source, on.part, on.face.name, task, figures
    )


def _how_bad(wood: Wood, limit: FillerLimit, filled: bool, dip: float) -> Severity | None:
    """Open pores are a style up to satin; half filled ones never are. Closed woods show only under gloss."""
    if limit.sheen == HALF:
        return NOTE
    bright = limit.sheen in _BRIGHT
    if filled:
        return NOTE if limit.lenient_um is None or dip <= limit.lenient_um else WARNING
    if wood.fill_for_level_film not in ("yes", "optional"):
        return NOTE if limit.sheen in _BRIGHT[1:] else None
    if bright:
        return WARNING
    return NOTE if limit.sheen == "satin" else None
