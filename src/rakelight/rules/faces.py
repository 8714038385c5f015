"""Rules: the faces of a part against each other, and against the use the piece is put to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rakelight.errors import Severity
from rakelight.physics.cup import cup_mm
from rakelight.piece.model import Face, Part
from rakelight.rules.case import Case, OnFace
from rakelight.rules.registry import ERROR, NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.schedule.layers import Layer, Stack

_USES = {"water": "water", "alcohol": "alcohol", "heat": "heat", "wear": "abrasion"}
#: a dry room going damp, as in the worked top of the moisture core
SEASON_RH, ROOM_C = (0.40, 0.65), 20.0
_COARSE_H, _TOLD_MM = 4.0, 1.0
#: roles of a face that is left without film because of what it does
_MEANT = ("glue", "fitting", "sliding")


@rule("unequal-faces", "layers", "The two broad faces of a solid part end up finished unequally.")
def unequal_faces(case: Case) -> Iterator[Hit]:
    for job in case.work.jobs.values():
        part = job.part
        faces = [f for f in part.faces if f.broad and f.role not in _MEANT]
        if not case.solid(part) or len(faces) != 2:
            continue
        films = [_final(case, part, face) for face in faces]
        if not any(s.layers for s in films) or _alike(case, *films):
            continue
        hit = _unequal(case, part, faces, films)
        if hit.severity is not NOTE or all(f.role != "bare" for f in faces):  # a small face bare on purpose is meant so
            yield hit


def _final(case: Case, part: Part, face: Face) -> Stack:
    stacks = case.finals.get((part.name, face.name), ())
    return max(stacks, key=lambda s: s.film_um, default=Stack())


def _alike(case: Case, one: Stack, other: Stack) -> bool:
    thin, thick = sorted((one.film_um, other.film_um))
    if thick > 0:
        return thin >= case.facts.likely("faces_alike_share") * thick
    return bool(one.layers) == bool(other.layers)


def _unequal(case: Case, part: Part, faces: list[Face], films: list[Stack]) -> Hit:
    thin, narrow = case.facts.figure("thin_unequal_mm"), case.facts.figure("narrow_unequal_mm")
    wide = part.sizes.wide_mm or part.sizes.round_mm or max(part.sizes.wide_at_mm, default=0.0)
    thick = part.sizes.thick_mm or 0.0
    small = thick < thin.value.likely or (0 < wide < narrow.value.likely)
    no_film = not any(s.film_um for s in films)
    severity = NOTE if small or no_film else WARNING
    told = ", ".join(
        f"{case.shown.film(s.film_um)} of film on the {f.name}"
        if s.film_um
        else f"{_bare(case, s)} on the {f.name}"
        for f, s in zip(faces, films, strict=True)
    )
    cup, words = _cup(case, part, wide, thick)
    if severity is WARNING and cup:
        words += _through_a_damp_season(case, part, wide, thick, films)
    says = (
        f"{capital(told)}. One school asks both faces alike, another says it makes no difference in the "
        "end: either "
        f"way both faces reach the same moisture, but while the air changes the barer one leads{words}."
    )
    mend = (
        "Give both faces the same coats on the same day, or see that fixings hold it flat and let it move. "
        "It does not lessen the movement over the year."
    )
    figures = {"thick_mm": thick, "wide_mm": wide, "cup_mm": cup}
    return Hit(severity, says, mend, thin.source, part.name, ", ".join(f.name for f in faces), "", figures)


def _bare(case: Case, stack: Stack) -> str:
    if not stack.layers:
        return "nothing"
    return case.material(stack.layers[-1]).name


def _cup(case: Case, part: Part, wide: float, thick: float) -> tuple[float, str]:
    woods = case.woods(part.name)
    moves = [w.c_radial_per_pct if part.cut == "quarter" else w.c_tangential_per_pct for w in woods]
    known = [m for m in moves if m]
    if not known or wide <= 0 or thick <= 0:
        return 0.0, ""
    cup = cup_mm(100 * case.facts.likely("cup_told_share"), max(known), wide, thick)
    return cup, f" (half a per cent between them cups a free part by about {case.shown.length(cup)})"


def _through_a_damp_season(case: Case, part: Part, wide: float, thick: float, films: list[Stack]) -> str:
    """What the core says of these faces when the air goes damp and stays so; nothing where it hardly bends."""
    from rakelight.physics.emc import emc_pct
    from rakelight.schedule.wood_cups import Panel, cup
    from rakelight.schedule.wood_known import of_coats, wood_known

    names = [w.name for w in case.woods(part.name) if w.c_radial_per_pct and w.c_tangential_per_pct]
    if not names or not 0 < thick < wide:
        return ""
    wood = wood_known(case.facts, names[0])
    cut = part.cut if part.cut in ("flat", "rift", "quarter") else "flat"
    faces = [of_coats(case.facts, Counter(x.material for x in s.layers)) for s in films]
    panel = Panel(wood, wide, thick, cut, faces[0], faces[1])
    dry, damp = SEASON_RH
    found = cup(case.facts, panel, emc_pct(ROOM_C, dry), ROOM_C, damp, step_h=_COARSE_H)
    if found.peak_mm.likely < _TOLD_MM:
        return ""
    low, likely, high = (case.shown.length(mm) for mm in found.peak_mm)
    return (
        f". From {100 * dry:.0f} to {100 * damp:.0f} % humidity at once and for good, one that nothing holds would "
        f"likely cup {likely} ({low} to {high}), most after {found.day.likely:.0f} days, and come back: an estimate "
        "of its moisture alone, held to no published measurement"
    )


@rule("oil-in-closed-case", "layers", "Drying oil or oil varnish inside a closed space.")
def oil_in_case(case: Case) -> Iterator[Hit]:
    factor = case.facts.figure("still_air_factor")
    for on in case.faces:
        inside = (
            on.face.closed or on.face.role == "inside" or (on.face.name, on.face.role) == ("inside", "show")
        )
        layer = next((x for x in on.own if _smells(case, x)), None)
        if not inside or layer is None or on.job.part.kind not in ("box", "joined"):
            continue
        row = case.material(layer)
        times = f"{number(factor.value.likely)} times as long in still air"
        says = f"{capital(row.name)} inside a closed space smells for weeks and dries slowly: {times}."
        mend = "Use shellac and wax inside, or leave it bare."
        severity = WARNING if on.face.closed else NOTE
        figures = {"factor": factor.value.likely}
        yield Hit(severity, says, mend, factor.source, on.part, on.face.name, layer.task, figures)


def _smells(case: Case, layer: Layer) -> bool:
    return case.material(layer).mechanism == "oxidative" and layer.kind in ("oil", "film", "colour")


@rule("use-not-stood", "layers", "A use the finish does not stand.")
def use_not_stood(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        if on.face.role != "show":
            continue
        top = _wearing(on.own)
        if top is None:
            continue
        grades = {use: case.material(top).resistance.get(_USES.get(use, "")) for use in case.must_stand(on.job.part)}
        known = {use: grade for use, grade in grades.items() if grade is not None}
        worst = [use for use, grade in known.items() if grade <= case.facts.likely("stands_worst")]
        for use, grade in known.items():
            if grade <= case.facts.likely("stands_fairly"):
                yield _stands(case, on, top, use, grade, [w for w in worst if w != use] if use in worst else [])
        if "water" in case.must_stand(on.job.part):
            yield from _shellac_below(case, on.part, on.face.name, on.own, top)
        if case.piece.lives.startswith("outdoors"):
            yield _outdoors(case, on.part, on.face.name, top)


def _wearing(layers: tuple[Layer, ...]) -> Layer | None:
    """The layer that is worn: the last film, else the last oil; wax does not count."""
    films = [x for x in layers if x.kind == "film"]
    oils = [x for x in layers if x.kind == "oil"]
    return films[-1] if films else oils[-1] if oils else None


def _stands(case: Case, on: OnFace, top: Layer, use: str, grade: int, others: list[str]) -> Hit:
    """How it stands one use; with `others` it stands as badly, it is the wrong finish for the part."""
    row = case.material(top)
    weak = grade <= case.facts.likely("stands_badly")
    also = f", and {' and '.join(others)} no better" if others else ""
    says = f"{capital(row.name)} stands {use} {'badly' if weak else 'only fairly'} ({grade} of 5){also}."
    mend = f"For {use}: {_better(case, use)}."
    severity = ERROR if others else WARNING if weak else NOTE
    figures = {"grade": float(grade)}
    return Hit(severity, says, mend, row.source("resistance"), on.part, on.face.name, top.task, figures)


def _better(case: Case, use: str) -> str:
    grades = [
        (m.resistance.get(_USES[use], 0), m.name) for m in case.facts.materials.values() if "film" in m.roles
    ]
    best = sorted(grades, reverse=True)[:3]
    return " or ".join(name for _, name in best)


def _shellac_below(case: Case, part: str, face: str, layers: tuple[Layer, ...], top: Layer) -> Iterator[Hit]:
    below = next((x for x in layers if x.kind == "film" and x.material.startswith("shellac")), None)
    if below is None or top.material.startswith("shellac"):
        return
    row = case.material(below)
    grade = row.resistance.get("water", 0)
    says = (
        f"{capital(row.name)} lies beneath {case.material(top).name} where water stands: it whitens and "
        "lets go there."
    )
    mend = "Where water stands leave the shellac out and seal with the finish itself, thinned."
    yield Hit(WARNING, says, mend, row.source("resistance"), part, face, below.task, {"grade": float(grade)})


def _outdoors(case: Case, part: str, face: str, top: Layer) -> Hit:
    row = case.material(top)
    grade = row.resistance.get("water", 0)
    severity: Severity = WARNING if grade <= case.facts.likely("stands_fairly") else NOTE
    says = (
        f"{capital(row.name)} outdoors: it stands water {grade} of 5, and every figure here is for indoors."
    )
    mend = "Choose a finish made for outdoors and follow its sheet, or leave the wood bare."
    return Hit(severity, says, mend, row.source("resistance"), part, face, top.task, {"grade": float(grade)})
