"""Which waits of a course need not be asked: those that cannot end later than one that is waited for anyway.

A coat that was waited for until it could be sanded is dry to the touch, and what was waited for before an earlier
step need not be waited for again. Following a plan asks each wait in every scenario, so that it saves most of them;
what comes of it is the same. Where some waits are taken as planned (`drivers`), only one of the same name covers one:
they are as planned together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rakelight.plan.course import Course, Move, Stand, Want
from rakelight.plan.doses import Need
from rakelight.plan.many_hours import MOST_STEPS, STEPS
from rakelight.spread import Z90

#: deviates between which one dose must be no less than another; no draw lies further out
_FAR_Z = 6.0

#: waits that have been waited for, by the step whose coat they speak of
_Heard = dict[int, list[Want]]


def ancestors(moves: Sequence[Move]) -> list[int]:
    """What must be done before each step, as bits: bit n is step n."""
    found: list[int] = [-1] * len(moves)
    for first in range(len(moves)):
        todo = [first]
        while todo:
            at = todo[-1]
            missing = [b for b in moves[at].before if found[b] < 0]
            if missing:
                todo += missing
                continue
            bits = 0
            for b in moves[at].before:
                bits |= found[b] | 1 << b
            found[todo.pop()] = bits
    return found


class Covered:
    """The waits of a course without those that others cover."""

    def __init__(self, course: Course, by_name: bool = False) -> None:
        """Args: by_name, only waits of the same name cover each other."""
        self.by_name = by_name
        self.moves = course.moves
        self.bits = ancestors(course.moves)
        self.ends = course.ends
        self.start = course.problem.start
        self._renewed: dict[int, int] = {}  # by step: the steps that lay its coat anew, as bits
        for n, move in enumerate(course.moves):
            if move.slot >= 0:
                self._renewed[move.slot] = self._renewed.get(move.slot, 0) | 1 << n
        self._said: list[_Heard | None] = [None] * len(course.moves)

    def asked(self, step: int) -> list[Want]:
        """What a step waits for."""
        heard = self._together(self._known(b) for b in self.moves[step].before)
        return [w for w in self._widest(self.moves[step].wants) if not self._covered(w, heard)]

    def dry(self, step: int) -> list[Want]:
        """What must be dust-free once a coat is on: never what was waited for before it, save what it renews."""
        move = self.moves[step]
        heard = self._together([*(self._known(b) for b in move.before), self._own(step)])
        new = {step, move.slot}
        return [w for w in self._widest(move.dry) if new & set(w.events) or not self._covered(w, heard)]

    def last(self, target: int) -> list[Want]:
        """What must be dry once all steps of a target are done."""
        steps, wants = self.ends[target]
        heard = self._together(self._known(k) for k in steps)
        return [w for w in self._widest(wants) if not self._covered(w, heard)]

    def stays(self, event: int, stays: tuple[Stand, ...]) -> tuple[Stand, ...]:
        """Where a part stands from the hour of a coat on: places it had left before are of no use."""
        first = 0
        for n, stay in enumerate(stays[1:], 1):
            if not self._left_before(stay, event):
                break
            first = n
        return stays[first:]

    def _left_before(self, stay: Stand, event: int) -> bool:
        """Whether a part has come to a place before a coat was on, in every scenario."""
        came, coat = self.moves[stay.step], self.moves[event]
        if not came.done:
            return not coat.done and bool(self.bits[event] >> stay.step & 1)
        minute = came.done[-1][1] if stay.at_end else came.done[0][0]
        return minute <= (coat.done[-1][1] - coat.session[1] if coat.done else self.start)

    def _own(self, step: int) -> _Heard:
        """What a step itself waits for: nothing where it may be left out, or where a coat may still be renewed."""
        move = self.moves[step]
        if move.group or move.redo or move.done or move.passed:
            return {}
        heard: _Heard = {}
        for want in move.wants:
            if all(self._settled(e, step) for e in want.events):
                heard.setdefault(want.events[-1], []).append(want)
        return heard

    def _settled(self, event: int, step: int) -> bool:
        """Whether a coat, and all that may renew it, comes before a step."""
        bits = self.bits[step]
        return bool(bits >> event & 1) and not self._renewed.get(event, 0) & ~bits

    def _known(self, step: int) -> _Heard:
        """What has been waited for once a step is done."""
        todo = [step]
        while todo:
            at = todo[-1]
            missing = [b for b in self.moves[at].before if self._said[b] is None]
            if missing:
                todo += missing
                continue
            todo.pop()
            self._said[at] = self._together([*(self._said[b] or {} for b in self.moves[at].before), self._own(at)])
        return self._said[step] or {}

    def _together(self, some: Iterable[_Heard]) -> _Heard:
        given = [s for s in some if s]
        if len(given) == 1:
            return given[0]
        found: _Heard = {}
        for one in given:
            for event, wants in one.items():
                row = found.setdefault(event, [])
                row += [w for w in wants if w not in row]
        return {event: self._widest(row) if len(row) > 1 else row for event, row in found.items()}

    def _widest(self, wants: Sequence[Want]) -> list[Want]:
        """Without those that another of them covers; of two that cover each other the first stays."""
        covers = self._covers
        return [
            w for n, w in enumerate(wants)
            if not any(covers(v, w) and (m < n or not covers(w, v)) for m, v in enumerate(wants) if m != n)
        ]  # fmt: skip

    def _covered(self, want: Want, heard: _Heard) -> bool:
        return any(self._covers(v, want) for v in heard.get(want.events[-1], ()))

    def _covers(self, more: Want, less: Want) -> bool:
        return covers(more, less) and (not self.by_name or more.need.says == less.need.says)


def covers(more: Want, less: Want) -> bool:
    """Whether one wait never ends before another: the same coat and air, and at no deviate a smaller dose."""
    if more is less:
        return True
    a, b = more.need, less.need
    if more.events[-1] != less.events[-1] or more.stays != less.stays[: len(more.stays)]:
        return False
    if a.material != b.material or a.law is not b.law or a.sure is not b.sure:
        return False
    if b.beneath and not (more.events == less.events and _alike(a.beneath, b.beneath)):
        return False
    return _no_less(a, b)


def _alike(some: Sequence[Need], others: Sequence[Need]) -> bool:
    return len(some) == len(others) and all(
        a is b or (a.material == b.material and a.law is b.law and a.dose == b.dose
                   and a.ratio == b.ratio and a.sure is b.sure)
        for a, b in zip(some, others, strict=True)
    )  # fmt: skip


def _no_less(a: Need, b: Need) -> bool:
    """Whether a dose is no less than another at every deviate, however cold it is.

    Doses are straight in the deviate to either side of the middle, or straight in logarithms: ends and middle tell.
    Cold draws out more what is less in doubt of its own (`cold_slowing`): at the most by the ratio of the two
    ratios, as far as an eighth rounded up lies toward the high end, and no further than `MOST_STEPS` eighths.
    """
    more, less = a.dose, b.dose
    cold = 1.0
    if a.law.cold_widens:
        if a.ratio <= 1.0 < b.ratio:
            return False
        cold = max(1.0, a.ratio / b.ratio)
    if more == less and cold == 1.0:
        return True
    if (more.low > 0) is not (less.low > 0):
        return False
    most = MOST_STEPS / STEPS
    return more.at_z(-_FAR_Z) >= less.at_z(-_FAR_Z) and all(
        more.at_z(z) >= less.at_z(z) * cold ** min(most, z / Z90 + 0.5 / STEPS) for z in (0.0, most * Z90, _FAR_Z)
    )
