"""A batch split: so many of the alike parts by the date, the others after it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from rakelight.choice.costs import Rates
from rakelight.choice.judging import judged
from rakelight.choice.model import Option, Rescue
from rakelight.choice.solvents import worse_solvent
from rakelight.choice.trying import Trying
from rakelight.piece.model import Part, Piece
from rakelight.schedule.unroll import unroll
from rakelight.shop.hours import hours_between

#: the kind of this way out
BATCH = "batch"
#: shares of a batch that are tried
_SHARES = (0.75, 0.5, 0.34, 0.25)
#: odds by which a split must better those of the whole
_TENTH = 0.1


def split(trying: Trying, whole: Option, wished: Option, rates: Rates) -> Rescue | None:
    """The largest part of a batch that a finish has ready by the date, where the whole batch is late.

    A batch: every part that stands by itself in the end is one of several alike. Of one such part so many are done
    first; of several the quickest. Where none has the wanted odds, the one that betters them most. None where the
    piece is no batch, where more than the date fails, where the parts are begun in lots, or where it gains nothing.
    """
    if any(fail.what not in ("date", "odds") for fail in whole.fails) or not _batch(trying):
        return None
    best: tuple[Option, Mapping[str, int]] | None = None
    for keep in _keeps(trying, whole):
        other = _if_in_time(trying, whole, keep)
        if other is None:
            continue
        option = judged(other, {s.name: whole.makes[s.name] for s in other.slots}, rates, wished)
        if any(fail.what not in ("date", "odds") for fail in option.fails):
            continue
        if best is None or option.fits or option.odds >= best[0].odds + _TENTH:
            best = option, keep
        if option.fits:
            break
    on_time = whole.short_likely_days == 0
    if best is None or (on_time and best[0].odds < whole.odds + _TENTH):
        return None
    return _told(trying, whole, wished, *best)


def _batch(trying: Trying) -> bool:
    ends = trying.piece.ends
    if not ends or any(part.count < 2 for part in ends):
        return False
    begun = {key.split("/")[0] for key in trying.state.done}
    tasks = (t for name in begun if name in trying.problem.work.jobs for t in trying.problem.work.jobs[name].tasks)
    return not any(task.lot[1] > 1 for task in tasks)


def _keeps(trying: Trying, whole: Option) -> Iterator[dict[str, int]]:
    """What may be kept of a batch, the most first: how many of each part that stands by itself."""
    ends = trying.piece.ends
    if len(ends) == 1:
        (part,) = ends
        yield from ({part.name: n} for n in dict.fromkeys(max(1, int(part.count * share)) for share in _SHARES))
        return

    def ready(part: Part) -> float:
        names = _with_members(trying.piece, part.name)
        last = max((p.end for k, p in whole.plan.placed.items() if k.split("/")[0] in names), default=None)
        return last.timestamp() if last else 0.0

    quickest = sorted(ends, key=ready)
    yield from ({p.name: p.count for p in quickest[:number]} for number in range(len(ends) - 1, 0, -1))


def _with_members(piece: Piece, name: str) -> set[str]:
    found = {name}
    for member in piece.parts[name].of:
        found |= _with_members(piece, member) if member in piece.parts else set()
    return found


def _if_in_time(trying: Trying, whole: Option, keep: Mapping[str, int]) -> Trying | None:
    """The trial of what is kept, where it is likely to be in time."""
    piece = kept_of(trying.piece, keep)
    if piece is None:
        return None
    slots = tuple(s for s in trying.slots if all(name in piece.parts for name in s.parts))
    other = replace(trying, piece=piece, slots=slots)
    work = unroll(piece, trying.book, trying.shop, trying.facts, trying.state)
    targets = tuple(
        replace(t, parts=parts)
        for t in trying.problem.targets
        if (parts := tuple(p for p in t.parts if p in work.jobs))
    )
    other = replace(other, problem=replace(trying.problem, work=work, targets=targets))
    draft = other.twice(other.asked(other.dressed({s.name: whole.makes[s.name] for s in slots})[1]))
    return other if targets and not draft.stuck and draft.late <= 0 else None


def kept_of(piece: Piece, keep: Mapping[str, int]) -> Piece | None:
    """A piece with fewer of its parts, members in proportion; None where that is no whole number of them."""
    counts: dict[str, int] = {}
    todo = [(name, number) for name, number in keep.items()]
    while todo:
        name, number = todo.pop()
        part = piece.parts[name]
        counts[name] = counts.get(name, 0) + number
        for member in part.of:
            share = piece.parts[member].count * number / part.count
            if not share.is_integer() or len(piece.users_of(member)) > 1:
                return None
            todo.append((member, int(share)))
    parts = {n: replace(p, count=counts[n]) for n, p in piece.parts.items() if counts.get(n)}
    return replace(piece, parts=parts)


def _told(trying: Trying, whole: Option, wished: Option, option: Option, keep: Mapping[str, int]) -> Rescue:
    later = ""
    if whole.likely:
        day = whole.likely
        later = f", the others by about {day:%a} {day.day} {day:%b}"
    ends = {p.name: p for p in trying.piece.ends}
    kept = " and ".join(
        f"{ends[name].shown}, {number} of {ends[name].count}" if number < ends[name].count
        else f"{ends[name].shown}, all {number}"
        for name, number in keep.items()
    )  # fmt: skip
    titles = dict.fromkeys(make.schedule.title for make in whole.makes.values() if not make.wished)
    laid = f" ({', '.join(titles)})" if titles else ""
    saves = hours_between(option.likely, wished.likely) / 24 if option.likely and wished.likely else 0.0
    warns = worse_solvent(option, wished, trying.shop, trying.facts) if titles else ()
    says = f"{kept} first{laid}{later}"
    return Rescue(says, saves, option.fits, option.odds, warns, option.likely, option.short_days, BATCH)
