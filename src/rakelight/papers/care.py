"""Care sheet for whoever lives with the piece: what the finish is, what harms it, how to clean and mend it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.papers.after_text import after_lines
from rakelight.papers.finish_words import Finished, finished_parts
from rakelight.papers.sheet_words import full_day
from rakelight.papers.wrapping import lower_first
from rakelight.plan.model import Plan
from rakelight.schedule.after_delivery import after_delivery
from rakelight.schedule.tasks import Work
from rakelight.state.model import State

_STANDS = {
    "water": (
        "Water marks it. Wipe up drops at once and put something under cups and vases.",
        "It stands a splash that is wiped up within minutes, not a wet cup left standing.",
        "It stands water that is wiped up the same day.",
    ),
    "alcohol": (
        "Wine, spirits and perfume dissolve or mark it. Keep them off; dab a splash up at once, do not rub.",
        "It stands a splash of wine or spirits that is wiped up at once.",
        "It stands wine and spirits that are wiped up.",
    ),
    "heat": (
        "Heat marks it. Put a board or a thick cloth under anything hotter than the hand can hold.",
        "It stands a warm plate, not a pot from the stove.",
        "It stands a hot cup; put something under a pot from the stove.",
    ),
    "abrasion": (
        "It scratches easily. Lift things, do not push them.",
        "It stands everyday use; grit under a foot or a cup scratches it.",
        "It wears well; grit scratches it all the same.",
    ),
}
_WAXED = "The wax on top wears off first. Wax it anew, thinly, when water no longer beads on it."


@dataclass(frozen=True)
class FinishCare:
    """One finish of the piece: what it is, what it does not stand, how it is kept and mended."""

    parts: str
    finish: str
    stands: tuple[str, ...]
    clean: tuple[str, ...]
    mend: tuple[str, ...]


@dataclass(frozen=True)
class CareSheet:
    """The sheet."""

    piece: str
    use: str  # when it may be used fully, or that the date is open
    finishes: tuple[FinishCare, ...]  # those that ask the same care are one
    common: tuple[str, ...]  # cleaning that all of several finishes ask
    wood: tuple[str, ...]
    note: str
    maker: str


def care_sheet(work: Work, plan: Plan, state: State, facts: Facts, maker: str = "") -> CareSheet:
    """What to tell a buyer: the record's own facts, and no promise.

    Parameters: maker, a name to put on it, "" none. The date of full use stands only where every coat is told as
    done by the maker: a coat that is only counted as planned leaves it open.
    """
    groups: dict[tuple[str, ...], list[Finished]] = {}
    for one in finished_parts(work, facts):
        groups.setdefault(tuple(m.id for m in one.layers), []).append(one)
    finishes, common = _told_once([_care(ones, facts) for ones in groups.values()])
    return CareSheet(
        work.piece.name, _use(work, plan, state), finishes, common, _wood(work, facts),
        "What is written here is what is known of finishes of this kind; a product's own sheet comes first.",
        maker,
    )  # fmt: skip


def _told_once(cares: list[FinishCare]) -> tuple[tuple[FinishCare, ...], tuple[str, ...]]:
    """Finishes that ask the same care as one, and the cleaning they all ask taken out of each."""
    alike: dict[object, list[FinishCare]] = {}
    for care in cares:
        alike.setdefault((care.stands, care.clean, care.mend), []).append(care)
    merged = [_merged(same) for same in alike.values()]
    first = merged[0].clean if len(merged) > 1 else ()
    common = tuple(line for line in first if all(line in care.clean for care in merged))
    kept = [replace(care, clean=tuple(line for line in care.clean if line not in common)) for care in merged]
    return tuple(kept), common


def _merged(same: list[FinishCare]) -> FinishCare:
    if len(same) == 1:
        return same[0]
    finish = "; ".join(f"{care.parts}: {lower_first(care.finish)}" for care in same)
    parts = ", ".join([same[0].parts, *(lower_first(care.parts) for care in same[1:])])
    return replace(same[0], parts=parts, finish=finish)


def _care(ones: list[Finished], facts: Facts) -> FinishCare:
    first = ones[0]
    top = first.body
    bounds = facts.likely("stands_badly"), facts.likely("stands_fairly")
    stands = tuple(
        says[0 if top.resistance[what] <= bounds[0] else 1 if top.resistance[what] <= bounds[1] else 2]
        for what, says in _STANDS.items()
        if what in top.resistance
    )
    names = list(dict.fromkeys(name for one in ones for name in one.names))
    parts = ", ".join(names)
    if top.redissolves.startswith("yes") and top.coats_join.startswith("fuse"):
        stands = (*stands, _SOFTENS)
    return FinishCare(parts[:1].upper() + parts[1:].lower(), first.says, stands, _clean(top), _mend(top, first.waxed))


def _clean(top: Material) -> tuple[str, ...]:
    wet = "barely damp" if top.resistance.get("water", 1) <= 2 else "damp"
    said = [f"Dust with a soft dry cloth. For more, a {wet} cloth along the grain, then dry it at once."]
    said.append(_PLASTIC)
    spirits = "alcohol, " if top.resistance.get("alcohol", 1) <= 3 else ""
    said.append(f"No {spirits}ammonia, solvent, scouring powder or silicone polish: silicone spoils any later repair.")
    return tuple(said)


def _mend(top: Material, waxed: bool) -> tuple[str, ...]:
    said = [_WAXED] if waxed else []
    if top.coats_join == "absorbed":
        said.append("A dry or worn spot takes a thin coat of the same oil, wiped off again. " + _RAG)
    elif top.redissolves.startswith("yes"):
        said.append("New coats of the same melt into the old ones: a finisher can mend a scratch in its place.")
    else:
        said.append(
            "New coats do not melt into the old ones: a scratch is rubbed out, or the whole face is abraded and "
            "coated anew by a finisher."
        )
    return tuple(said)


#: Source: case C40: softeners of plastic go into nearly any finish, cured or not
_PLASTIC = "No soft plastic, vinyl cloth or rubber feet on it, ever: they stick to any finish in time. Felt is well."
#: Source: case C39: what has dried by losing its solvent softens again under warmth and weight
_SOFTENS = "Warmth and weight make it soft again: never face to face in a box, paper between, on edge, out of hot cars."
_RAG = "Rags wet with oil can take fire by themselves: lay each one flat outdoors to dry, or sink it in water."


def _use(work: Work, plan: Plan, state: State) -> str:
    """The date of full use, only where every coat was told."""
    laid = [t for job in work.jobs.values() for t in job.tasks if t.lay and not t.board]
    told = [t for t in laid if (fact := state.done.get(t.id)) and fact.logged and fact.end]
    if not laid or len(told) < len(laid):
        return "The day of full use is open: the maker fills it in when the last coat is laid."
    ready = [r for t in laid for r in plan.placed[t.id].ready if r.for_ == "use"] if plan.placed else []
    highs = [r.high for r in ready]
    if not highs or any(h is None for h in highs):
        return "The day of full use is open: in the air it stands in, no end of the hardening is known."
    likely = max(r.likely for r in ready if r.likely)
    high = max(h for h in highs if h)
    return (
        f"Last coat {full_day(max(state.done[t.id].start for t in told))}. It goes on hardening: full use from "
        f"about {full_day(likely)}, perhaps not before {full_day(high)}. Until then handle it gently, lay nothing "
        "on it for long and do not write on it."
    )


def _wood(work: Work, facts: Facts) -> tuple[str, ...]:
    """How far the widest solid part of each wood moves through the year where the piece will live."""
    after = after_delivery(work, facts)
    return (
        "Wood grows wider in damp air and narrower in dry air, all its life, and hardly at all along the grain.",
        *(after_lines(after, work.piece.unit) if after else ()),
        "Gaps that open in winter close again in summer. Keep it from radiators, stoves and full sun.",
    )
