"""A piece, its schedules and a shop become sessions of work in order, part by part: what a calendar lays out.

How schedules of several faces become one order: `merging`. Waits, turning, carrying: `sessions`. Lots:
`lots`. The test board: `board`. Joined parts: `joining`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from rakelight.errors import Finding, Severity, Where
from rakelight.facts.load import Facts
from rakelight.piece.model import Part, Piece
from rakelight.schedule.bench import Ground, Session
from rakelight.schedule.board import board_sessions, gate
from rakelight.schedule.book import Book
from rakelight.schedule.chosen import Group, faces_on, groups_of, known_on, ops_of, unknown_face
from rakelight.schedule.file import read_steps
from rakelight.schedule.film_of import Skin
from rakelight.schedule.gear import check_gear
from rakelight.schedule.joining import (
    add_join,
    bring_to_join,
    coated,
    faces_from,
    finished_faces,
    joined_skins,
    wait_for_fellows,
)
from rakelight.schedule.lots import in_lots, lots_of
from rakelight.schedule.merging import merge, put_in
from rakelight.schedule.minutes import shaped_faces
from rakelight.schedule.ops import Op, expand
from rakelight.schedule.own_counts import own_steps
from rakelight.schedule.own_waits import OwnWait, tied_to_own, waits_for_own
from rakelight.schedule.redone import DoneAgain, Happened, as_it_went
from rakelight.schedule.sessions import Sessions
from rakelight.schedule.steps import Schedule
from rakelight.schedule.tasks import DustTest, Job, Work
from rakelight.shop.model import Shop


class Taken(Protocol):
    """What unrolling must know of what has happened; a `State` is one."""

    @property
    def coats_taken(self) -> Mapping[str, int]:
        """Coats a step took in fact, by "part/step"."""

    @property
    def skipped(self) -> frozenset[str]:
        """Ids of sessions left out for good."""

    @property
    def again(self) -> Sequence[DoneAgain]:
        """Sessions put in a second time."""

    @property
    def done(self) -> Mapping[str, Happened]:
        """Sessions done, by id."""

    @property
    def pores(self) -> Mapping[str, DustTest]:
        """Dust tests of filled pores, by "part/step"."""


@dataclass
class _Unrolling:
    """What is gathered while parts are unrolled, members first."""

    piece: Piece
    book: Book
    ground: Ground
    taken: Mapping[str, int]
    went: Taken | None = None
    jobs: dict[str, Job] = field(default_factory=dict)
    skins: dict[str, dict[str, Skin]] = field(default_factory=dict)
    uses: dict[str, dict[str, Schedule]] = field(default_factory=dict)
    waits: list[OwnWait] = field(default_factory=list)  # for steps of the maker's own
    beside: dict[str, float] = field(default_factory=dict)  # joined part -> drying places its members take


def unroll(piece: Piece, book: Book, shop: Shop, facts: Facts, state: Taken | None = None) -> Work:
    """The exact sessions of every part, in order, members before what they are joined into.

    Parameters: book, where schedules are found; state, coats taken in fact in place of the likely number,
    sessions left out and sessions done again. Ids are the same from one unrolling to the next. What cannot be
    done stands in `Work.findings`; what can is unrolled all the same.
    """
    ground = Ground(shop, facts, file=piece.file)
    run = _Unrolling(piece, book, ground, state.coats_taken if state else {}, state)
    for part in in_order(piece):
        _one(part, run)
    for name in piece.schedules:
        if not any(use.schedule == name for part in piece.parts.values() for use in part.finish.values()):
            ground.found += book.why(name)  # told though no part uses it
    dust = state.pores if state else {}
    jobs, found = tied_to_own(wait_for_fellows(run.jobs), run.waits, piece.parts)
    ground.found += found
    return Work(piece, jobs, tuple(_once(ground.found)), dust=dust)


def in_order(piece: Piece) -> list[Part]:
    """Parts in the order of the file, members before what they are joined into; a circle is left out."""
    done: dict[str, Part] = {}
    waiting = dict(piece.parts)
    while waiting:
        ready = [p for p in waiting.values() if all(m in done or m not in piece.parts for m in p.of)]
        if not ready:
            break
        for part in ready:
            done[part.name] = waiting.pop(part.name)
    return list(done.values())


def _one(part: Part, run: _Unrolling) -> None:
    ground = run.ground
    _check_places(part, run)
    finished = finished_faces(part, run.uses)
    groups, found = groups_of(part, run.book, finished, run.piece.file)
    ground.found += found
    groups = [_own_numbers(group, part, run) for group in groups] if ground.facts.shop else groups
    coats = _coats_taken(part, run.taken)
    lists: list[tuple[Group, list[Op]]] = []
    for group in groups:
        ops, found = ops_of(group, part, coats, run.piece.file)
        ground.found += found
        lists.append((group, ops))
    order, found = put_in(merge([ops for _, ops in lists]), _extras(part, run, coats), part, run.piece.file)
    ground.found += found
    _check_ops(part, order, run)
    sessions = Sessions(
        part,
        ground,
        shaped_faces(part, run.piece.parts),
        joined_skins(part, run.skins) if part.joined else None,
    )
    order = _joined_in(sessions, part, order, ground)
    sessions.run(order)
    sessions.finish()
    if run.piece.users_of(part.name):
        bring_to_join(sessions, ground)
    rows, board = _with_board(part, sessions.rows, lists, ground)
    _keep(part, groups, rows, board, sessions, run, finished)


def _own_numbers(group: Group, part: Part, run: _Unrolling) -> Group:
    """The schedule with the numbers of coats this shop takes on the wood that governs."""
    steps = own_steps(group.schedule.steps, governing_wood(part, run), run.ground.facts)
    return replace(group, schedule=replace(group.schedule, steps=steps))


def _joined_in(sessions: Sessions, part: Part, order: list[Op], ground: Ground) -> list[Op]:
    """The joining comes before all other work on a joined part."""
    if part.joined:
        add_join(sessions, part, ground)
    return order


def _with_board(
    part: Part, rows: list[Session], lists: list[tuple[Group, list[Op]]], ground: Ground
) -> tuple[list[Session], list[Session]]:
    if part.test_board is None or not lists:
        return rows, []
    group, ops = max(lists, key=lambda pair: len(pair[1]))
    board, name = board_sessions(part, ops, group.schedule, ground)
    return gate(rows, board, name)


def _keep(
    part: Part,
    groups: list[Group],
    rows: list[Session],
    board: list[Session],
    sessions: Sessions,
    run: _Unrolling,
    finished: Iterable[str],
) -> None:
    """Make tasks of the sessions, in lots, and note what the part hands on."""
    users = [u.name for u in run.piece.users_of(part.name)]
    user = users[0] if users and not part.joined else ""
    lots = lots_of(part, rows, run.ground, run.beside.get(user, 0.0))
    if user and any(row.wet for row in rows):
        run.beside[user] = run.beside.get(user, 0.0) + lots.largest * part.takes
    uses: dict[str, Schedule] = {name: group.schedule for group in groups for name in group.names}
    tasks = tuple(in_lots(part, [*board, *rows], lots))
    went = run.went
    if went and (went.skipped or went.again):
        tasks = tuple(as_it_went(tasks, went.skipped, went.again, went.done, run.ground.facts))
    run.jobs[part.name] = Job(
        part=part,
        tasks=tasks,
        wood=governing_wood(part, run),
        begins_after=tuple(m for m in part.of if m in run.jobs),
        faces_from=faces_from(part),
        cures_in=sessions.cures_in,
        uses=uses,
    )
    handed = {name: schedule for name in finished if (schedule := _handed(part, name, run))}
    run.uses[part.name] = handed | uses
    run.skins[part.name] = sessions.skins


def _handed(part: Part, name: str, run: _Unrolling) -> Schedule | None:
    face = part.face(name)
    return next((s for m, f in (face.members if face else ()) if (s := run.uses.get(m, {}).get(f))), None)


def governing_wood(part: Part, run: _Unrolling) -> str:
    """The wood that asks most: open-grained before closed, then oily, else the first named."""
    woods = list(part.woods)
    for member in part.of:
        woods += [run.jobs[member].wood] if member in run.jobs else []
    known = [run.ground.facts.woods[w] for w in woods if w in run.ground.facts.woods]
    if not known:
        return woods[0] if woods else ""
    return max(known, key=lambda w: (w.open_grained, w.oily.startswith("yes"))).name


def _coats_taken(part: Part, taken: Mapping[str, int]) -> dict[str, int]:
    prefix = f"{part.name}/"
    return {k.removeprefix(prefix): n for k, n in taken.items() if k.startswith(prefix)}


def _extras(part: Part, run: _Unrolling, coats: Mapping[str, int]) -> list[Op]:
    """The part's further steps; those that name faces are for any face that may be finished."""
    steps, found = read_steps(part.extra, run.ground.facts, extra=True)
    run.ground.found += found
    where = Where(file=run.piece.file, part=part.name)
    run.waits += [OwnWait(part.name, s, replace(where, line=s.line)) for s in steps if waits_for_own(s)]
    faces_for = {}
    faces = tuple(f for f in part.faces if f.coated)
    for index, step in enumerate(steps):
        if not known_on(step, part):
            run.ground.found.append(unknown_face(step, part, replace(where, line=step.line)))
        faces_for[index] = coated(faces) if step.do == "own" and step.on == "all" else faces_on(step, faces)
    return expand(steps, faces_for, coats, extra=True)


def _check_places(part: Part, run: _Unrolling) -> None:
    if part.cures_in and part.cures_in not in run.ground.shop.places:
        where = Where(file=run.piece.file, line=part.line, part=part.name)
        run.ground.found.append(_no_place("cures_in", part.cures_in, where, run.ground.shop))


def _check_ops(part: Part, order: list[Op], run: _Unrolling) -> None:
    """Places of `move` steps, and gear for every way of laying."""
    for op in order:
        where = Where(file=run.piece.file, line=op.step.line, part=part.name, step=op.name)
        if op.do == "move" and op.step.to not in run.ground.shop.places:
            run.ground.found.append(_no_place("to", op.step.to, where, run.ground.shop))
    run.ground.found += check_gear(part, order, run.ground.shop, run.ground.facts, run.book, run.piece.file)


def _no_place(key: str, said: str, where: Where, shop: Shop) -> Finding:
    says = f'{key} = "{said}": the shop has no place called so.'
    return Finding(
        "unknown-place", Severity.ERROR, where, says, f"Places of the shop: {', '.join(shop.places)}."
    )


def _once(found: Iterable[Finding]) -> list[Finding]:
    kept: list[Finding] = []
    for finding in found:
        if finding not in kept:
            kept.append(finding)
    return kept
