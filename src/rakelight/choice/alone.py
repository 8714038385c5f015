"""Finishes one part may have, as far as the part alone can tell: gear, limits, look, use, rules, and the date."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from rakelight import rules
from rakelight.choice.looks import look_of
from rakelight.choice.model import Alone, Dropped, Fail, Look, Make, Slot
from rakelight.choice.near import apart, unmet
from rakelight.choice.trying import Trying
from rakelight.choice.variations import main_coat, variations
from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts
from rakelight.physics.pores import coats_to, kept
from rakelight.piece.model import Piece
from rakelight.plan.bounds import bound
from rakelight.plan.problem import Problem
from rakelight.schedule.gear import has
from rakelight.schedule.layers import stacks_of_work
from rakelight.schedule.pores_of import MOST_ADVISED, deepest
from rakelight.schedule.tasks import Work

#: makes of one part, the nearest to what is wanted first, of which the rules and the calendar are asked
MOST_ASKED = 16
#: of those that pass, how many go into wholes
MOST_KEPT = 8
#: what a change of the book costs in nearness, and another make of the same schedule: only order what is as near
_CHANGED, _SAME_BASE, _LIKED = 0.2, 0.4, 0.5

#: figures that say how much solvent a shop takes
_SMELLS = {"none": "smell_none_g_per_l", "little": "smell_little_g_per_l"}


@dataclass
class Found:
    """What came of one part."""

    kept: list[Alone] = field(default_factory=list)
    dropped: list[Dropped] = field(default_factory=list)
    seen: list[tuple[Make, Look, list[Fail]]] = field(
        default_factory=list
    )  # every look, with what is not met

    def drop(self, slot: Slot, make: Make, kind: str, why: str) -> None:
        """Keep why a finish is not offered."""
        self.dropped.append(Dropped(make.schedule.title, why, kind, slot.name, key=(make.name,)))


def wished_make(trying: Trying, slot: Slot) -> Make:
    """The finish the piece itself names for a slot."""
    schedule = trying.book.find(slot.wished)
    if schedule is None:
        raise KeyError(slot.wished)
    return Make(schedule, slot.wished, wished=True)


def makes_of(trying: Trying, slot: Slot) -> list[Make]:
    """All that the book and its variations offer for a slot, the wished one first."""
    first = wished_make(trying, slot)
    if slot.begun:
        return [first]
    coats = filler_coats(slot, trying.facts)
    found = [first]
    for schedule in trying.book.all():
        if main_coat(schedule.steps) is None:  # a seal coat alone is for insides
            continue
        found += [
            m for m in variations(schedule, trying.shop.gear, trying.facts, coats) if m.name != first.name
        ]
    return found


def filler_coats(slot: Slot, facts: Facts) -> int:
    """Coats of clear filler that level the pores of a slot's woods to satin; 0 where they never show, or too many."""
    wood = deepest([facts.woods[w] for w in slot.woods if w in facts.woods])
    limit = facts.filler_limits["satin"].likely_um
    if wood is None or wood.pore_depth_um is None or limit is None:
        return 0
    keeps = kept(facts.materials["filler_wb_clear"].solids_volume.likely, facts.likely("fill_eta_trowel"))
    number = coats_to(limit, wood.pore_depth_um.likely, keeps)
    return min(number, MOST_ADVISED)


def look_on_board(trying: Trying, slot: Slot, make: Make) -> Look | None:
    """What a finish looks like on a board of the slot's woods."""
    board = trying.board(slot, make)
    spot = Slot("board", ("board",), (), make.name)
    woods = [trying.facts.woods[w] for w in slot.woods if w in trying.facts.woods]
    return look_of(board.work, board.faces, spot, trying.facts, make.schedule.sheen, woods)


def look_alone(trying: Trying, slot: Slot, make: Make) -> tuple[Piece, Work, Look | None]:
    """The parts of a slot with a finish, and what it looks like on them."""
    piece, work = trying.of_slot(slot, make)
    return (
        piece,
        work,
        look_of(work, stacks_of_work(work, trying.facts), slot, trying.facts, make.schedule.sheen),
    )


def alone(
    trying: Trying,
    slot: Slot,
    aim: Look | None,
    offset_min: float = 0.0,
    most: int = MOST_ASKED,
    kept: int = MOST_KEPT,
) -> Found:
    """The finishes a slot may have, nearest first, and why the others are out.

    Parameters: aim, the look of the wished finish; offset_min, from a late plan to one at the wanted odds; most, how
    many are asked of rules and calendar; kept, how many go on. What is dropped for its date cannot meet it in any
    whole: with all other parts bare, no plan does.
    """
    found = Found()
    rows: list[_Row] = []
    for make in makes_of(trying, slot):
        why = "" if make.wished else against_limits(trying, make)
        if why:
            found.drop(slot, make, "limits", why)
            continue
        look = look_on_board(trying, slot, make)
        if look is None:
            continue
        fails = unmet(look, trying.want(slot), slot, trying.facts)
        found.seen.append((make, look, fails))
        if fails and not make.wished:
            found.drop(slot, make, fails[0].what, _one_sentence(fails))
            continue
        rows.append(_Row(make, apart(look, trying.want(slot), aim)))
    asked = _asked(trying, slot, rows, most, offset_min)
    for row in rows:
        if row.make not in asked:
            found.drop(slot, row.make, "farther", f"{most} others are nearer to what is wanted, or quicker")
    passed = [one for make in asked if (one := _passed(trying, slot, make, aim, found))]
    if all(one.make.wished for one in passed):
        passed += least_failing(trying, slot, aim, found)
    ranked = _ranked(trying, passed)
    found.kept = _kept(ranked, offset_min, kept)
    names = {one.make.name for one in found.kept}
    for one in ranked:
        if one.make.name not in names:
            found.drop(slot, one.make, "farther", f"{kept} others are nearer to what is wanted, or quicker")
    return found


@dataclass(frozen=True)
class _Row:
    """A make that may be asked, and how far its look is."""

    make: Make
    far: float


def _asked(trying: Trying, slot: Slot, rows: list[_Row], most: int, offset_min: float) -> list[Make]:
    """The wished one, the nearest that seem to be in time on a board, and the quickest; of each schedule a few."""
    bases: Counter[str] = Counter()
    ranked: list[tuple[float, Make]] = []
    for row in sorted(rows, key=lambda r: (not r.make.wished, r.far + _CHANGED * len(r.make.changed))):
        ranked.append((row.far + _CHANGED * len(row.make.changed) + _SAME_BASE * bases[row.make.base], row.make))
        bases[row.make.base] += 1
    ranked.sort(key=lambda pair: (not pair[1].wished, pair[0]))
    if len(ranked) <= most:
        return [make for _, make in ranked]
    late = {make.name: trying.board_margin(trying.board(slot, make)) + offset_min for _, make in ranked}
    near = [make for _, make in sorted(ranked, key=lambda p: (not p[1].wished, late[p[1].name] > 0, p[0]))]
    quick = [make for _, make in sorted(ranked, key=lambda p: (late[p[1].name], p[0]))]
    found = near[: most - most // 4]
    for make in [*quick, *near]:
        if len(found) < most and make not in found:
            found.append(make)
    return found


def against_limits(trying: Trying, make: Make) -> str:
    """Why a finish is against what holds for the whole shop; "" where it is not."""
    limits, facts = trying.limits, trying.facts
    for step in make.schedule.steps:
        row = facts.materials.get(step.material)
        if row is None:
            continue
        if step.do not in ("wax", "wait") and not has(trying.shop.gear, step.by):
            return f"the shop has nothing to {step.by} it with"
        if step.material in limits.without:
            return f"{row.name} is not to be used"
        if limits.only and step.material not in limits.only:
            return f"{row.name} is not in stock"
        voc = row.voc_g_per_l.likely if row.voc_g_per_l else 0.0
        if limits.smell in _SMELLS and voc > facts.likely(_SMELLS[limits.smell]):
            return f"{row.name} smells more than the shop takes ({voc:.0f} g of solvent in a litre)"
        flash = row.flash_point_c
        if limits.no_flammable and flash and flash.low < facts.likely("flash_refuse_c"):
            return f"the vapour of {row.name} lights too easily for this shop"
    return ""


def _passed(trying: Trying, slot: Slot, make: Make, aim: Look | None, found: Found) -> Alone | None:
    piece, work, look = look_alone(trying, slot, make)
    if look is None:
        return None
    one = Alone(make, look, 0.0 if make.wished else apart(look, trying.want(slot), aim))
    fails = unmet(look, trying.want(slot), slot, trying.facts)
    wrong = stopping(piece, work, trying)
    if (wrong or fails) and not make.wished:
        found.drop(slot, make, fails[0].what if fails else "rules", _one_sentence(fails) or wrong[0].says)
        return None
    others = [other for other in trying.slots if other is not slot and not other.begun]
    problem = trying.asked(trying.dressed({slot.name: make}, others)[1])
    margin = trying.margin(problem, trying.quick(problem, late=True))
    why = _too_late(trying, problem) if margin > 0 else ""
    if why and not make.wished:
        found.drop(slot, make, "date", why)
        return None
    return replace(one, margin_min=margin)


def least_failing(trying: Trying, slot: Slot, aim: Look | None, found: Found) -> list[Alone]:
    """Where nothing but the wished finish is left: those that fail by the least, so that the nearest can be told."""
    warned = {d.key[0] for d in found.dropped if d.kind == "rules"}
    rows = [
        (_short_by(trying, slot, make, fails) + (make.name in warned), len(make.changed), make, look)
        for make, look, fails in found.seen
        if not make.wished
    ]
    rows.sort(key=lambda row: row[:2])
    return [Alone(make, look, apart(look, trying.want(slot), aim)) for _, _, make, look in rows[:_LEAST_FAILING]]


def _short_by(trying: Trying, slot: Slot, make: Make, fails: Iterable[Fail]) -> float:
    late_min = trying.board_margin(trying.board(slot, make))
    return sum(fail.by for fail in fails) + max(0.0, late_min / 1440)


#: finishes that fail, looked at where none passes
_LEAST_FAILING = 3


def _too_late(trying: Trying, problem: Problem) -> str:
    """Why no plan at all meets the date; "" where one might."""
    draft = trying.quick(problem)
    if draft.stuck:
        return draft.stuck[0].says
    if draft.late <= 0:
        return ""
    least = bound(problem, draft)
    if least.late <= 0:
        return ""
    days = max(a - t.by for a, t in zip(least.by_target, problem.targets, strict=True)) / 1440
    return f"even by itself it is {max(1.0, days):.0f} day{'s' * (days >= 1.5)} too late"


def stopping(piece: Piece, work: Work, trying: Trying) -> list[Finding]:
    """What no offered finish may have: a mistake in the work, or a rule that warns."""
    found = [f for f in work.findings if f.severity is Severity.ERROR]
    if not found:
        found = [
            f for f in rules.check(piece, work, trying.shop, trying.facts) if f.severity is not Severity.NOTE
        ]
    return found


def _ranked(trying: Trying, passed: Iterable[Alone]) -> list[Alone]:
    """With what orders those that are as near: changes of the book, one schedule again, and what the maker likes."""
    bases: Counter[str] = Counter()
    ranked = []
    for one in sorted(passed, key=lambda o: (not o.make.wished, o.apart + _CHANGED * len(o.make.changed))):
        liked = _LIKED if one.make.base in trying.limits.likes else 0.0
        rank = one.apart + _CHANGED * len(one.make.changed) + _SAME_BASE * bases[one.make.base] - liked
        ranked.append(replace(one, rank=0.0 if one.make.wished else max(0.0, rank)))
        bases[one.make.base] += 1
    return ranked


def _kept(ranked: list[Alone], offset_min: float, most: int) -> list[Alone]:
    """The wished one, the nearest that seem to be in time, and some of the quickest."""
    first = [one for one in ranked if one.make.wished]
    others = [one for one in ranked if not one.make.wished]
    quick = sorted(others, key=lambda o: (o.margin_min, o.rank))[: max(1, most // 3)]
    near = sorted(others, key=lambda o: (o.margin_min + offset_min > 0, o.rank))
    found = [*first, *near[: max(0, most - len(first) - len(quick))]]
    return [*found, *[o for o in [*quick, *near] if o not in found][: most - len(found)]]


def _one_sentence(fails: Iterable[Fail]) -> str:
    return "; ".join(fail.says for fail in fails)
