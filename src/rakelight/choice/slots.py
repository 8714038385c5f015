"""The slots of a piece: uses of one schedule that hang together, and other finishes put in their place."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from rakelight.choice.model import Make, Slot, Spot
from rakelight.piece.model import FinishUse, Part, Piece
from rakelight.schedule.book import Book
from rakelight.schedule.chosen import use_for
from rakelight.schedule.steps import LAYING, Schedule, Step

#: what is added to a schedule's name where parts take it up to the glue-up, and on from there
FIRST, REST = " (before the joining)", " (after the joining)"


@dataclass(frozen=True)
class _Use:
    spot: Spot
    schedule: str
    shows: bool
    parent: str


def slots_of(piece: Piece, begun: Collection[str] = ()) -> tuple[Slot, ...]:
    """What can be decided about a piece, in the order of the file.

    Uses of one schedule belong together where a part is joined into the other, or both into a third. Only what lies
    on a show face is decided about; what a maker wrote for insides and hidden faces stays. Parameters: begun, parts of
    which something is done already.
    """
    uses = _uses(piece)
    groups: list[list[_Use]] = []
    for use in uses:
        near = [g for g in groups if any(_hang_together(use, other, piece) for other in g)]
        joined = [use, *(u for g in near for u in g)]
        groups = [g for g in groups if g not in near] + [joined]
    groups = [g for g in groups if any(u.shows for u in g)]
    order = list(piece.parts)
    groups.sort(key=lambda g: min(order.index(u.spot.part) for u in g))
    names = _names(groups, piece)
    return tuple(_slot(name, group, piece, begun) for name, group in zip(names, groups, strict=True))


def _uses(piece: Piece) -> list[_Use]:
    found = []
    for part in piece.parts.values():
        users = piece.users_of(part.name)
        for key, use in part.finish.items():
            half = "rest" if use.from_step else "first" if use.to_step else ""
            shows = any(f.role == "show" and use_for(part, f, ()) is use for f in part.faces)
            found.append(
                _Use(Spot(part.name, key, half), use.schedule, shows, users[0].name if users else "")
            )
    return found


def _hang_together(one: _Use, other: _Use, piece: Piece) -> bool:
    if one.schedule != other.schedule:
        return False
    a, b = one.spot.part, other.spot.part
    if a == b or b in piece.parts[a].of or a in piece.parts[b].of:
        return True
    fellows = bool(one.parent) and one.parent == other.parent
    return fellows and len(piece.parts[one.parent].of) > 0 and _of_one_frame(piece, one, other)


def _of_one_frame(piece: Piece, one: _Use, other: _Use) -> bool:
    """Parts cut from one wood and joined into one thing; assemblies that only meet in the whole stay apart."""
    a, b = piece.parts[one.spot.part], piece.parts[other.spot.part]
    return not a.joined and not b.joined and bool(set(a.woods) & set(b.woods))


def _names(groups: list[list[_Use]], piece: Piece) -> list[str]:
    names = []
    for group in groups:
        parts = list(dict.fromkeys(u.spot.part for u in group))
        joined = [p for p in parts if piece.parts[p].joined]
        whole = joined[-1:] or (_parent_of_all(group) if len(parts) > 1 else []) or parts[:1]
        names.append(whole[0])
    counts = {n: names.count(n) for n in names}
    told = []
    for name, group in zip(names, groups, strict=True):
        keys = [u.spot.key for u in group if u.spot.part == name]
        plain = counts[name] == 1 or not keys
        told.append(name if plain else f"{name} {keys[0]}")
    return told


def _parent_of_all(group: list[_Use]) -> list[str]:
    parents = {u.parent for u in group}
    return list(parents) if len(parents) == 1 and "" not in parents else []


def _slot(name: str, group: list[_Use], piece: Piece, begun: Collection[str]) -> Slot:
    parts = tuple(dict.fromkeys(u.spot.part for u in group))
    woods = tuple(dict.fromkeys(w for p in parts for w in woods_of_part(piece, p)))
    stands = tuple(dict.fromkeys(s for p in parts for s in (piece.parts[p].must_stand or piece.must_stand)))
    spots = tuple(u.spot for u in group)
    return Slot(name, parts, spots, group[0].schedule, woods, stands, any(p in begun for p in parts))


def woods_of_part(piece: Piece, part: str) -> tuple[str, ...]:
    """Woods of a part, or of all that is joined into it."""
    one = piece.parts[part]
    if one.woods:
        return one.woods
    return tuple(
        dict.fromkeys(w for member in one.of if member in piece.parts for w in woods_of_part(piece, member))
    )


def dressed(
    piece: Piece, book: Book, slots: Collection[Slot], makes: Mapping[str, Make], bare: Collection[Slot] = ()
) -> tuple[Piece, Book]:
    """The piece with other finishes on some slots, and a book that has them.

    Parameters: makes, by name of the slot (a slot not named keeps what the piece says); bare, slots left unfinished.
    """
    parts = dict(piece.parts)
    more: dict[str, Schedule] = {}
    for slot in slots:
        make = makes.get(slot.name)
        if make is not None:
            for spot in slot.spots:
                parts[spot.part] = _put(parts[spot.part], spot, make.schedule, more)
            parts |= {name: _board_for(parts[name], make.schedule) for name in slot.parts}
    for slot in bare:
        for spot in slot.spots:
            part = parts[spot.part]
            finish = {k: u for k, u in part.finish.items() if k != spot.key}
            parts[spot.part] = replace(part, finish=finish, extra=(), test_board=None)
    return replace(piece, parts=parts), book.with_more(more.values())


def _put(part: Part, spot: Spot, schedule: Schedule, more: dict[str, Schedule]) -> Part:
    before = part.finish.get(spot.key)
    named = schedule
    if spot.half:
        at = split_at(schedule.steps)
        steps = schedule.steps[:at] if spot.half == "first" else schedule.steps[at:]
        if not steps:
            return replace(part, finish={k: u for k, u in part.finish.items() if k != spot.key})
        sheen = "" if spot.half == "first" else schedule.sheen
        end = FIRST if spot.half == "first" else REST
        named = replace(schedule, name=schedule.name + end, steps=steps, sheen=sheen)
    more[named.name] = named
    use = FinishUse(named.name, line=before.line if before else part.line)
    return replace(part, finish={**part.finish, spot.key: use})


def split_at(steps: tuple[Step, ...]) -> int:
    """Where a schedule is parted for a glue-up: after the last of its coats, before wait, rub and wax."""
    return max(
        (n + 1 for n, step in enumerate(steps) if step.do in LAYING and step.do != "wax"), default=len(steps)
    )


def _board_for(part: Part, schedule: Schedule) -> Part:
    """A test board goes through the first coat of what is laid now, where it named a step of another schedule."""
    if part.test_board is None:
        return part
    names = {step.name or step.do for step in schedule.steps}
    words = part.test_board.through.rstrip("0123456789 ")
    if words in names or part.test_board.through in names:
        return part
    laid = next((s for s in schedule.steps if s.do in ("coat", "oil")), schedule.steps[-1])
    return replace(part, test_board=replace(part.test_board, through=laid.name or laid.do))
