"""Steps that may come on top: further coats where their number is open, and one part laid again."""

from __future__ import annotations

from dataclasses import replace

from rakelight.plan.course import Compiler, Course, Move, Rest, Stand, Want
from rakelight.plan.draft import Draft
from rakelight.plan.problem import Problem
from rakelight.schedule.steps import Count
from rakelight.schedule.tasks import Asks, Task

#: sanding a part back takes this many times its own first sanding or, without one, the laying of the coat.
#: Source: a modelling choice
_BACK_OF_SAND, _BACK_OF_COAT = 0.5, 2.0


def full_course(problem: Problem, draft: Draft) -> Course:
    """A plan made ready to be followed, with all that may come on top of it."""
    compiler = Compiler(problem, draft)
    return _Chances(compiler, compiler.course()).course()


class _Chances:
    def __init__(self, compiler: Compiler, course: Course) -> None:
        self.compiler, self.plain = compiler, course
        self.moves = list(course.moves)
        self.counts: dict[str, tuple[int, int, int]] = {}
        self.redo: list[str] = []
        self.last_of: dict[int, int] = {}  # a step, and the last of those put after it

    def course(self) -> Course:
        """Further coats first, then what is laid again; then all in order of time."""
        for series in self._open_series():
            self._more_coats(series)
        for last in self._last_films():
            self._again(last)
        for n, move in enumerate(self.moves):
            before = tuple(self.last_of.get(b, b) if n not in self._own(b) else b for b in move.before)
            self.moves[n] = replace(move, before=before)
        return self._in_order()

    def _own(self, step: int) -> range:
        """The steps put after one: they keep their own order."""
        return range(len(self.plain.moves), len(self.moves)) if step in self.last_of else range(0)

    def _open_series(self) -> list[list[int]]:
        """Coats of one step on one lot whose number is open and whose last is still to come."""
        found: dict[object, list[int]] = {}
        for n, move in enumerate(self.plain.moves):
            task = move.task
            step = task.scheduled
            if task.lay is None or step is None or step.coats.least == step.coats.most:
                continue
            key = (task.part, step.do, step.name, step.material, task.lot[0], task.board, task.faces)
            found.setdefault(key, []).append(n)
        return [s for s in found.values() if not self.moves[s[-1]].done and self._as_written(s)]

    def _as_written(self, series: list[int]) -> bool:
        """Whether the plan has the likely number: else the maker has told how many it took."""
        task = self.moves[series[0]].task
        return task.scheduled is not None and len(series) == task.scheduled.coats.likely

    def _more_coats(self, series: list[int]) -> None:
        task = self.moves[series[0]].task
        count = task.scheduled.coats if task.scheduled else Count(1, 1, 1)
        group = f"{task.part}/{task.scheduled.name or task.do}" if task.scheduled else task.part
        self.counts[group] = (count.least, count.likely, count.most)
        for ordinal, n in enumerate(series, 1):
            if ordinal > count.least and not self.moves[n].done:
                earlier = series[ordinal - 2] if ordinal > 1 else -1
                self.moves[n] = replace(self.moves[n], group=group, ordinal=ordinal, earlier=earlier)
        last = before = series[-1]
        for ordinal in range(len(series) + 1, count.most + 1):
            wants = self._after(last, "next coat")
            more = replace(
                self.moves[last], key=f"{self.moves[last].key}/more-{ordinal}", before=(before,), wants=wants,
                rests=(), planned=self.moves[last].planned + 0.01 * ordinal, slot=last, group=group,
                ordinal=ordinal, earlier=before, day_before=-1, window=None,
            )  # fmt: skip
            self.moves.append(more)
            before = len(self.moves) - 1
        self.last_of[last] = before

    def _after(self, step: int, readiness: str) -> tuple[Want, ...]:
        """What a readiness asks once a step is done."""
        key, task = self.moves[step].key, self.moves[step].task
        laid = self.compiler.draft.laid[key]
        among = self.compiler.past[key] | {key}
        wants: list[Want] = []
        for hist in self.compiler.after(key, laid):
            wants += self.compiler.wants(hist, readiness, task.lay, False, among)[0]
        return tuple(dict.fromkeys(wants))

    # -- laid again -----------------------------------------------------------------------------

    def _last_films(self) -> list[int]:
        """The last coat of each part that is no wax and still to come."""
        last: dict[str, int] = {}
        for n, move in enumerate(self.plain.moves):
            if move.task.lay and move.task.do != "wax" and not move.task.board and not move.done:
                last[move.task.part] = n
        return list(last.values())

    def _again(self, last: int) -> None:
        move = self.moves[last]
        task, part = move.task, move.task.part
        sands = [m.task.minutes for m in self.plain.moves if m.task.part == part and m.task.do == "sand"
                 and not m.task.board]  # fmt: skip
        minutes = max(sands, key=lambda s: s.likely) * _BACK_OF_SAND if sands else task.minutes * _BACK_OF_COAT
        back = replace(
            task, id=f"{task.id}/sanded-back", do="sand", says=f"Sand back {task.step}", work="dusty", lay=None,
            minutes=minutes, block_min=0.0, asks=Asks("sand", task.faces), also=(), splittable=True, gun=False,
            wait_after=None, scheduled=None,
        )  # fmt: skip
        self.redo.append(part)
        before = self.last_of.get(last, last)
        sand = Move(
            back.id, back, move.planned + 0.5, move.place, (before,), self._after(last, "sand"), redo=part,
            unit=self.compiler.problem.least_dry,
        )
        self.moves.append(sand)
        coat = replace(
            move, key=f"{move.key}/again", before=(len(self.moves) - 1,), wants=(), rests=(), window=None,
            planned=move.planned + 0.6, slot=last, group="", ordinal=0, earlier=-1, redo=part, day_before=-1,
            task=_plain_asks(task),
        )  # fmt: skip
        self.moves.append(coat)
        self.last_of[last] = len(self.moves) - 1

    # -- order ----------------------------------------------------------------------------------

    def _in_order(self) -> Course:
        order = sorted(range(len(self.moves)), key=lambda n: (self.moves[n].planned, n))
        new = {old: at for at, old in enumerate(order)} | {-1: -1}
        kept: dict[int, Want] = {}

        def want(w: Want) -> Want:
            if id(w) not in kept:
                stays = tuple(Stand(s.place, new[s.step], s.at_end) for s in w.stays)
                kept[id(w)] = Want(w.need, tuple(new[e] for e in w.events), stays)
            return kept[id(w)]

        moves = []
        for old in order:
            m = self.moves[old]
            rests = tuple(Rest(r.most, tuple(new[c] for c in r.coats), want(r.want)) for r in m.rests)
            moves.append(replace(
                m, before=tuple(sorted(new[b] for b in m.before)), wants=tuple(want(w) for w in m.wants),
                rests=rests, dry=tuple(want(w) for w in m.dry), window=want(m.window) if m.window else None,
                day_before=new[m.day_before], slot=new[m.slot], earlier=new[m.earlier],
            ))  # fmt: skip
        ends = tuple(
            (tuple(new[self.last_of.get(s, s)] for s in steps), tuple(want(w) for w in wants))
            for steps, wants in self.plain.ends
        )
        return Course(
            self.plain.problem, tuple(moves), ends, self.counts, tuple(self.redo), self.plain.floors
        )


def _plain_asks(task: Task) -> Task:
    return replace(task, asks=Asks(), also=())


__all__ = ["full_course"]
