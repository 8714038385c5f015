"""Rules: what may not go over what, or not without something between."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.facts.opinions import opinion
from rakelight.facts.records import Pair
from rakelight.physics.drying import REFERENCE_C
from rakelight.rules.case import Case
from rakelight.rules.joints import Joint, joints, special
from rakelight.rules.registry import ERROR, NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, days, spread_words
from rakelight.schedule.over import BARRIER, may_go_over


def _hit(case: Case, joint: Joint, severity: object, says: str, mend: str, **figures: float) -> Hit:
    return Hit(
        severity,  # type: ignore[arg-type]
        says,
        mend,
        joint.pair.source if joint.pair else None,
        joint.on.part,
        joint.on.face.name,
        joint.over.task,
        figures,
    )


def _names(case: Case, joint: Joint) -> str:
    return f"{capital(case.material(joint.over).name)} over {case.material(joint.under).name}"


def _other(case: Case, under: str, over: str) -> str:
    """The other opinion, where makers disagree."""
    found = opinion(case.facts, under, over)
    return found.says if found else ""


def _because(pair: Pair | None) -> str:
    return pair.reason.rstrip(".") if pair and pair.reason else ""


@rule(
    "over-never",
    "layers",
    "A coat over something it may never lie on, neither directly nor through a barrier.",
)
def over_never(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if joint.verdict != "never" or special(case, joint) == "alcohol-dye-over-shellac":
            continue
        what = _names(case, joint)
        if joint.through == "barrier":
            what += ", with a barrier between,"
        says = f"{what} does not hold: {_because(joint.pair)}."
        mend = (
            f"Leave one of the two out, or strip the {case.material(joint.under).name} first; no barrier "
            "helps."
        )
        yield _hit(case, joint, ERROR, says, mend)


@rule("over-needs-barrier", "layers", "A coat that needs a barrier between it and what lies beneath.")
def over_needs_barrier(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if joint.verdict != "needs-barrier" or joint.through == "barrier" or special(case, joint):
            continue
        says = f"{_names(case, joint)} needs a barrier between: {_because(joint.pair)}."
        yield _hit(case, joint, WARNING, says, barrier_words(case, joint), **_hours(case, joint))


def barrier_words(case: Case, joint: Joint) -> str:
    """How to put a barrier between, with both waits."""
    answer = may_go_over(case.facts, joint.under.material, joint.over.material, joint.over.by)
    first, then = answer.wait_h, answer.then_h
    if then is None:
        below = may_go_over(case.facts, joint.under.material, BARRIER)
        above = may_go_over(case.facts, BARRIER, joint.over.material, joint.over.by)
        first, then = below.wait_h, above.wait_h
    before = f" {spread_words(first)} after the {case.material(joint.under).name}" if first else ""
    after = f", then {spread_words(then)} before the next coat" if then else ""
    return f"Brush one thin coat of dewaxed shellac{before}{after} (at {_at(case)})."


def _at(case: Case) -> str:
    """Warmth the tables' times are told at."""
    return case.shown.temp(REFERENCE_C)


def _hours(case: Case, joint: Joint) -> dict[str, float]:
    return {"wait_h": joint.pair.wait_h} if joint.pair and joint.pair.wait_h is not None else {}


@rule("over-needs-abrading", "layers", "A coat that only holds on what was abraded first.")
def over_needs_abrading(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if joint.verdict != "needs-abrading" or joint.over.abraded_before or joint.through == "barrier":
            continue
        says = f"{_names(case, joint)} needs a scuff first: {_because(joint.pair)}."
        hours = joint.pair.wait_h if joint.pair else None
        wait = f", no sooner than {days(hours)} after it (at {_at(case)})" if hours else ""
        yield _hit(
            case,
            joint,
            WARNING,
            says,
            f'Write {{ do = "scuff", grit = 320 }} before it{wait}.',
            **_hours(case, joint),
        )


@rule("over-unknown", "layers", "A pair of which no table says anything.")
def over_unknown(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if joint.pair is not None or joint.through or joint.under.material == joint.over.material:
            continue
        says = f"{_names(case, joint)}: no source here says whether it holds."
        yield _hit(
            case,
            joint,
            NOTE,
            says,
            "Lay both on an offcut, wait a week, cut a small grid and pull tape off it.",
        )


@rule("alcohol-dye-over-shellac", "layers", "Alcohol dye and shellac by brush or pad: one drags the other.")
def alcohol_dye(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if (
            joint.verdict == "never"
            and special(case, joint) == "alcohol-dye-over-shellac"
            and not joint.through
        ):
            says = f"{_names(case, joint)} by hand lifts it: {_because(joint.pair)}."
            yield _hit(case, joint, ERROR, says, "Spray that first coat as a mist, or use a water dye.")


@rule("no-barrier-oil-water-borne", "layers", "Water-borne finish on oil or oil colour with nothing between.")
def oil_under_water_borne(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if special(case, joint) != "no-barrier-oil-water-borne" or joint.through == "barrier":
            continue
        answer = may_go_over(case.facts, joint.under.material, joint.over.material, joint.over.by)
        wait = f" (it asks {spread_words(answer.wait_h)} at {_at(case)})" if answer.wait_h else ""
        other = _other(case, joint.under.material, joint.over.material)
        says = (
            f"{_names(case, joint)} with no barrier between{wait}: {_because(joint.pair)}. {other}".rstrip()
        )
        mend = (
            f"{barrier_words(case, joint)} Or try it first: same wood, same colour coat and wait, a week "
            "old, "
            "cut a small grid and pull tape off it before the piece is touched."
        )
        yield _hit(case, joint, WARNING, says, mend, **_hours(case, joint))


@rule(
    "waxed-shellac-under-urethane", "layers", "Shellac with its wax beneath varnish, urethane or water-borne."
)
def waxed_shellac(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        if special(case, joint) != "waxed-shellac-under-urethane" or joint.verdict != "needs-barrier":
            continue
        if joint.through == "barrier":
            continue
        other = _other(case, joint.under.material, joint.over.material)
        says = f"{_names(case, joint)}: the wax in it weakens the hold. {other}".rstrip()
        mend = "Use dewaxed shellac, which costs nothing more; or lay one thin coat of it between."
        yield _hit(case, joint, WARNING, says, mend, **_hours(case, joint))


@rule("coats-not-abraded", "layers", "Varnish coats laid on each other without a scuff between.")
def coats_not_abraded(case: Case) -> Iterator[Hit]:
    for joint in joints(case):
        lower = case.material(joint.under)
        both = joint.under.do == "coat" and joint.over.do == "coat" and not joint.through
        if not both or joint.over.abraded_before or joint.verdict != "ok":
            continue
        if lower.mechanism != "oxidative" or lower.coats_join != "witness" or joint.under.kind != "film":
            continue
        severity = WARNING if joint.under.laid_um >= case.facts.likely("scuff_spared_um") else NOTE
        window = lower.time_h.get("recoat_max_without_abrading")
        within = f" They bond only inside {spread_words(window)} (at {_at(case)})." if window else ""
        other = _other(case, joint.under.material, joint.under.material)
        says = f"Coats of {lower.name} lie on each other with no scuff between.{within} {other}".rstrip()
        yield _hit(case, joint, severity, says, "Write scuff = 320 on the coats.")
