"""The test board: a board of the same wood that goes ahead, and is judged before the piece's own step.

It takes the steps of the part's leading schedule up to the one named, without the part's further steps. Where
the part cures elsewhere the board is carried there at each `wait`, and after the last thing laid before the
step that is judged: a board in the hand sleeps where it is warm, so that it loses no day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rakelight.errors import Where
from rakelight.piece.model import Face, Part
from rakelight.schedule.bench import Ground, Session
from rakelight.schedule.lookup import find_step
from rakelight.schedule.ops import Op, Share, find_op, no_such_step
from rakelight.schedule.sessions import Sessions
from rakelight.schedule.steps import LAYING, Duration, Schedule
from rakelight.schedule.tasks import Asks
from rakelight.spread import Spread
from rakelight.units import MM2_PER_M2

FACE = "board"


def board_sessions(
    part: Part, ops: Sequence[Op], schedule: Schedule, ground: Ground
) -> tuple[list[Session], str]:
    """Sessions of a part's test board, and the name of the piece's step that waits for its pass.

    Parameters: ops, the leading schedule of the part; schedule, it as written. Nothing where no step is so
    named: then a finding says so.
    """
    board = part.test_board
    if board is None:
        return [], ""
    where = Where(file=ground.file, line=board.line or part.line, part=part.name)
    at = find_op(ops, board.through, last=True)
    if at is None or find_step(schedule.steps, board.through, last=True) is None:
        ground.found.append(no_such_step("through", board.through, schedule.name, schedule.steps, where))
        return [], ""
    ahead = [_on_board(op) for op in ops[: at + 1]]
    area = board.long_mm * board.wide_mm / MM2_PER_M2
    wood = replace(
        part, kind="panel", count=1, faces=(Face(FACE, "show", area),), both_faces="on points", extra=()
    )
    sessions = Sessions(wood, ground, board=True)
    wet = max((n for n, op in enumerate(ahead[:-1]) if op.do in LAYING), default=-1)
    sessions.run(ahead[: wet + 1])
    sessions.cure()
    sessions.run(ahead[wet + 1 :])
    sessions.add(
        "judge", "judge", "judge", f"judge it before {ops[at].name}", (), "quiet",
        Spread.exact(ground.likely("labour_least_min")), Asks(at_least=Duration(board.age_h)),
    )  # fmt: skip
    return sessions.rows, ops[at].name


def _on_board(op: Op) -> Op:
    if op.do == "wait" or op.faces:
        return replace(op, shares=(Share((FACE,), replace(op.step, on="all", minutes=None)),))
    return op


def gate(rows: Sequence[Session], board: Sequence[Session], name: str) -> tuple[list[Session], list[Session]]:
    """The piece's sessions and the board's, tied: the step named waits for the pass."""
    if not board:
        return list(rows), []
    judge = board[-1].task
    first = next((row for row in rows if row.task.step == name and row.op and row.op.do != "own"), None)
    if first is None:
        return list(rows), list(board)
    tied = [
        replace(row, task=replace(row.task, follows=(*row.task.follows, judge.id))) if row is first else row
        for row in rows
    ]
    last = replace(board[-1], task=replace(judge, gates=first.task.id))
    return tied, [*board[:-1], last]
