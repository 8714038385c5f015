"""Rules: film against what sanding and rubbing take, and what a rub leaves for the next coat."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.rules.case import Case, OnFace
from rakelight.rules.registry import ERROR, NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital
from rakelight.schedule.arris_risk import arris_risks, where_words
from rakelight.schedule.film_ledger import at_stake, ceiling_um, fuses, peak
from rakelight.schedule.layers import Layer, Take

#: through to the wood at more spots than not is a warning: too many places to touch up (assumption)
_MANY = 0.5


def _takes(on: OnFace, *verbs: str) -> Iterator[Take]:
    for take in on.stack.takes:
        if take.part == on.part and take.do in verbs and take.over:
            yield take


def _top(case: Case, on: OnFace, take: Take, kinds: tuple[str, ...]) -> Layer | None:
    return next((layer for layer in reversed(on.stack.layers[: take.over]) if layer.kind in kinds), None)


@rule("sands-through", "layers", "Sanding or rubbing that takes more than the coats have put on.")
def sands_through(case: Case) -> Iterator[Hit]:
    source = case.facts.figure("scuff_um").source
    for on in case.faces:
        through: set[str] = set()
        for take in _takes(on, "scuff", "sand", "level", "rub"):
            top = _top(case, on, take, ("film",))
            if top is None or take.removes_um <= 0 or take.film_um <= 0:
                continue
            row = case.material(top)
            melts, name = fuses(row), row.name
            there, edge = at_stake(take, row)
            figures = {"removes_um": take.removes_um, "film_um": there, "arris_um": edge}
            if take.removes_um > there:
                through.add(take.task)
                yield _through(case, on, take, top, name, there, melts, source, figures)
        yield from _arris(case, on, through)


def _arris(case: Case, on: OnFace, through: set[str]) -> Iterator[Hit]:
    """The arris: a warning where it goes through to the wood in many a place, else a word beside the step."""
    if not any(take.do in ("level", "rub") for take in on.stack.takes):
        return
    faces = {task.id: len(task.faces) for task in on.job.tasks}
    unit = case.piece.unit
    for risk in arris_risks(on.stack, on.job.part, case.facts, faces):
        if not risk.told or risk.task in through:
            continue
        to = "to the wood" if risk.whole else "to the coat beneath"
        says = (
            f"Along the arris the {risk.do} goes through {to}, {where_words(risk, unit)}: "
            f"{case.shown.film(risk.film_um)} there, about {case.shown.film(risk.removes_um)} taken with the block "
            "held over the edge."
        )
        rounded = case.facts.likely("arris_round_mm")
        ways = [f"Stay {case.shown.length(risk.off_mm)} off the edge and touch it only with the last, softest step"]
        ways.append("start with a finer paper")
        if on.job.part.arris_mm < rounded:
            ways.append(f"or round the arris to {case.shown.length(rounded)} before finishing")
        severity = WARNING if risk.whole and risk.one >= _MANY else NOTE
        figures = {
            "removes_um": risk.removes_um, "arris_um": risk.film_um, "odds": risk.one, "anywhere": risk.anywhere,
            "length_mm": risk.length_mm,
        }  # fmt: skip
        source = case.facts.figure("film_cv_arris").source
        yield Hit(severity, says, "; ".join(ways) + ".", source, on.part, on.face.name, risk.task, figures)


def _through(
    case: Case,
    on: OnFace,
    take: Take,
    top: Layer,
    name: str,
    there: float,
    melts: bool,
    source: object,
    figures: dict[str, float],
) -> Hit:
    to = "to the wood" if melts else "through the last coat, and a contour line shows"
    beneath = "the film beneath it is" if melts else "the last coat is"
    says = (
        f"The {take.do} takes about {case.shown.film(take.removes_um)} and {beneath} {case.shown.film(there)} of "
        f"{name}: {to}."
    )
    if take.do in ("scuff", "sand"):
        mend = "Leave this scuff out, scuff after more coats, or lay the coats fuller."
    else:
        mend = "Lay more coats first, make the last one a full brushed coat, or start with a finer paper."
    return Hit(WARNING, says, mend, source, on.part, on.face.name, take.task, figures)  # type: ignore[arg-type]


@rule("film-over-ceiling", "layers", "More film than the finish can carry without cracking.")
def film_over_ceiling(case: Case) -> Iterator[Hit]:
    whole = case.facts.figure("film_ceiling_um").source
    for on in case.faces:
        if not on.own or not on.stack.films:
            continue
        at, names = on.stack.films[-1].task, peak(on.stack)
        for id, um in names.items():
            row = case.facts.materials[id]
            if row.max_film_um and um > row.max_film_um:
                source = row.source("max_film_um")
                yield _ceiling(case, on, at, row.name, um, row.max_film_um, source, _hard(case, id))
        most, um = ceiling_um(names, case.facts), sum(names.values())
        if on.stack.old_um:
            yield from _over_old(case, on, at, um)
        elif len(names) > 1 and um > most:
            yield _ceiling(case, on, at, "film in all", um, most, whole, None)


def _over_old(case: Case, on: OnFace, task: str, new_um: float) -> Iterator[Hit]:
    """An earlier finish that stays beneath counts into the film that cracks."""
    old = on.stack
    most = ceiling_um(tuple({layer.material for layer in old.films} | {old.old_of} - {""}), case.facts)
    um = new_um + old.old_um
    if um > most:
        source = case.facts.figure("film_ceiling_um").source
        says = (
            f"{case.shown.film(um)} of film, {case.shown.film(old.old_um)} of it old: more than "
            f"{case.shown.film(most)} cracks sooner or later."
        )
        mend = "Strip the old film first, or take it down, or lay fewer coats."
        figures = {"film_um": um, "ceiling_um": most, "old_um": old.old_um}
        yield Hit(WARNING, says, mend, source, on.part, on.face.name, task, figures)


def _hard(case: Case, id: str) -> float | None:
    stop = case.facts.practice["P53"].value
    return stop.high if id == "lacquer_nc" and stop else None


def _ceiling(
    case: Case, on: OnFace, task: str, name: str, um: float, most: float, source: object, hard: float | None
) -> Hit:
    severity = ERROR if hard and um > hard else WARNING
    says = f"{case.shown.film(um)} of {name}: more than {case.shown.film(most)} cracks sooner or later."
    mend = "Lay fewer or thinner coats, or level between them."
    figures = {"film_um": um, "ceiling_um": most}
    return Hit(severity, says, mend, source, on.part, on.face.name, task, figures)  # type: ignore[arg-type]


@rule("film-too-thin-to-rub", "layers", "Levelled and rubbed, the film left is thinner than wears well.")
def film_too_thin(case: Case) -> Iterator[Hit]:
    floor = case.facts.figure("rub_floor_um")
    for on in case.faces:
        levels = [t for t in _takes(on, "level") if t.film_um > 0]
        if not levels or levels[-1].removes_um > levels[-1].film_um:
            continue
        left = on.stack.film_um
        if left >= floor.value.low:
            continue
        says = (
            f"{case.shown.film(levels[0].film_um)} of film before it is levelled leaves about {case.shown.film(left)}; "
            f"{case.shown.film(floor.value.low)} is the least to leave."
        )
        severity = WARNING if left < floor.value.low / 2 else NOTE
        figures = {"film_um": left, "floor_um": floor.value.low}
        mend = "Lay more coats before levelling, or do not level: leave it as laid."
        yield Hit(severity, says, mend, floor.source, on.part, on.face.name, levels[0].task, figures)


@rule(
    "wool-or-wax-or-silicone-before-coat",
    "layers",
    "Wax, rubbing oil, silicone or steel wool on a surface that is coated next.",
)
def wool_or_wax(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        for at, layer in enumerate(on.stack.layers):
            if layer.part != on.part or layer.kind == "wax":
                continue
            left = layer.contaminated_by
            below = on.stack.layers[at - 1] if at else None
            if not left or (below and below.kind == "wax"):
                continue
            yield _left(case, on, layer, left)


def _left(case: Case, on: OnFace, layer: Layer, left: str) -> Hit:
    row = case.facts.lubricants.get(left)
    name = capital(case.material(layer).name)
    severity = ERROR if row and (row.silicone or row.waxes_surface) else WARNING
    if left == "steel wool":
        says = f"{name} follows a rub with steel wool: its shreds and oil stay in the surface."
        mend = "Use a grey pad or P400 paper between coats; keep steel wool for the last rub."
    elif row and row.silicone:
        says = f"{name} follows a rub with {left}: it draws back into fisheyes."
        mend = "Rub with mineral spirits or soapy water instead, and keep silicone out of the shop."
    elif row and row.waxes_surface:
        says = f"{name} follows a rub with {left}: no coat holds over wax."
        mend = "Wax last; to go on, strip the wax with mineral spirits and scuff."
    else:
        says = f"{name} follows a rub with {left}: what stays of it keeps the coat from holding."
        mend = (
            f'Rub with mineral spirits instead, or write {{ own = "clean off the {left} with naphtha" }} '
            "before it."
        )
    return Hit(severity, says, mend, row.source if row else None, on.part, on.face.name, layer.task)


@rule("steel-wool-tannin", "layers", "Steel wool on wet, bare or thinly finished wood that holds tannin.")
def steel_wool_tannin(case: Case) -> Iterator[Hit]:
    source = case.facts.lubricants["water"].source
    for on in case.faces:
        tannin = [w.name for w in case.woods(on.part, on.face.name) if "tannin" in w.extractive]
        for take in on.stack.takes if tannin else ():
            if take.part != on.part or not take.abrasive.startswith("steel_wool"):
                continue
            row = case.facts.lubricants.get(take.wet)
            watery = (row.watery if row else "water" in take.wet or "soap" in take.wet) or _water_next(
                case, on, take
            )
            if not watery and take.film_um > 0:
                continue
            says = f"Steel wool on {tannin[0]}: shreds left in it rust and stain the tannin black."
            mend = "Rub with a grey or white pad or bronze wool, or only over a closed film and with wax."
            yield Hit(WARNING, says, mend, source, on.part, on.face.name, take.task)


def _water_next(case: Case, on: OnFace, take: Take) -> bool:
    after = on.stack.layers[take.over : take.over + 1]
    return any(_watery(case, layer) for layer in after)


def _watery(case: Case, layer: Layer) -> bool:
    row = case.material(layer)
    return row.is_water_borne or row.mechanism == "water_evaporation"


@rule("steel-wool-water-borne", "layers", "Steel wool before or between water-borne coats.")
def steel_wool_water_borne(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        for take in on.stack.takes:
            wool = take.part == on.part and take.abrasive.startswith("steel_wool")
            if wool and _water_next(case, on, take):
                says = "Steel wool before a water-borne coat: every shred left rusts in it."
                mend = "Scuff with P400 paper or a white pad instead."
                source = case.facts.lubricants["water"].source
                yield Hit(WARNING, says, mend, source, on.part, on.face.name, take.task)
