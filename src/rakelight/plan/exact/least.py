"""A bound on the finish by CP-SAT that needs no plan's waits: order, tables of waits, open hours, one maker, dust.

It leaves rules out (setting up and cleaning, drying places, windows, coats that fuse) and puts none in. So what is
proven of it holds for every plan on whole five minutes; and what it finds, laid out again, may be a better plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from ortools.sat.python import cp_model

from rakelight.plan.bounds import worked
from rakelight.plan.draft import Draft
from rakelight.plan.exact.asked import Asked, Least
from rakelight.plan.exact.days import TICK, up
from rakelight.plan.exact.latest import SCALE, Room, Ticks, below, ticks_on
from rakelight.plan.exact.links import cleaning_of, takes_of
from rakelight.plan.exact.variables import Lin, Segment, Step, Var, Variables
from rakelight.plan.problem import Problem, chain_keys, nodes_of

#: stretches into which work that may be put down is told at the most; of longer work some is left out
MOST_SEGMENTS = 12

#: ticks by which a wait may be rounded: a minute, as the check of a plan has it
_ROUNDING = 0.21

Window = tuple[Var, int, int]


class LeastModel(Variables):
    """The model: any plan that ends by `last` is one of its solutions."""

    def __init__(self, problem: Problem, least: Least, draft: Draft, last: int) -> None:
        super().__init__()
        self.problem, self.draft, self.last = problem, draft, last
        free = least.free
        self.nodes = {k: n for k, n in nodes_of(problem.work).items() if k in free.laid}
        self.room = room = Room(problem, least, last)
        self.least = room.least
        self.tables, self.starts, self.length = room.tables, room.starts, room.length
        self.head, self.late, self.hopeless = room.head, room.late, room.hopeless
        self.unit = room.unit
        self.steps: dict[str, Step] = {}
        self._windows: dict[str, list[Window]] = {}
        self._lines: dict[tuple[int, int, int, float], list[tuple[int, float]]] = {}
        if not self.hopeless:
            self._build()

    def _build(self) -> None:
        self.work: list[cp_model.IntervalVar] = []
        for key in self.nodes:
            self.steps[key] = self._step(key)
        if any(len(s.segments) > 1 for s in self.steps.values()):
            for a, b in self.starts.shut():
                self.work.append(self.cp.new_fixed_size_interval_var(a, b - a, ""))
        first = math.floor(self.least.free.finish) - 1
        self.finish = self.number(first, self.last * TICK, math.ceil(self.draft.finish), "finish")  # in minutes
        for key, step in self.steps.items():
            self.cp.add(self.finish >= TICK * step.end)
            for before in self.nodes[key].before:
                if before in self.steps and not self.least.free.laid[key].done:
                    self.cp.add(step.start >= self.steps[before].end)
        for asked in self.least.asked:
            self._wait(asked)
        self._by_the_clock()
        self._a_day()
        self._sessions()
        for place in self.problem.shop.places:
            self._dust(place)
            self._stand(place)
        self.cp.add_no_overlap(self.work)

    # -- steps -------------------------------------------------------------------------------------

    def _step(self, key: str) -> Step:
        free, task = self.least.free.laid[key], self.nodes[key].task
        if free.done:
            over = free.laid_end if task.lay else free.end
            return Step(free.start // TICK, free.end // TICK, over // TICK)
        head, late, length = self.head[key], self.late[key], self.length[key]
        spans = self.draft.laid[key].spans
        if task.work == "none" or worked(task) <= 0:
            var = self.number(head, late, up(spans[0][0]), key)
            return Step(var, var, var)
        many = min(MOST_SEGMENTS, length // self.unit) if task.splittable and not task.lay else 1
        if many > 1:
            return self._segments(key, many)
        within = None
        if task.lay:
            opens = self.problem.waits.openings(task.lay, free.place)
            within = [
                (math.floor(a * 60 - 1) // TICK, int((b * 60 + 1) // TICK))
                for a, b in zip(opens.starts, opens.ends, strict=True)
            ]
        domain = self.starts.of(length, within).intersection_with(cp_model.Domain(head, late))
        start = self.cp.new_int_var_from_domain(domain, key)
        self.hint(start, up(spans[0][0] + self.draft.laid[key].before_min))
        interval = self.cp.new_fixed_size_interval_var(start, length, key)
        self.work.append(interval)
        on: Lin = start + (self._on(key) if task.lay else length)
        return Step(start, start + length, on, [Segment(start, length, start, interval)])

    def _segments(self, key: str, many: int) -> Step:
        """Stretches in order; those not needed have no length and lie at the end of the one before."""
        length, unit = self.length[key], self.unit
        whole = length // unit <= many  # else some of the stretches in between are left out
        spans = [(up(a), up(b)) for a, b in self.draft.laid[key].spans]
        segments: list[Segment] = []
        sizes: list[Var] = []
        here: Var | None = None
        for n in range(many):
            a, b = spans[n] if n < len(spans) else (spans[-1][1], spans[-1][1])
            late = self.late[key] if n == 0 else self.last
            start = self.number(self.head[key], late, a, f"{key} {n}")
            size = self.number(unit if n == 0 else 0, length, b - a)
            end = self.number(self.head[key] + unit, self.last, b)
            self.cp.add(start + size == end)
            if n == 0:
                self.cp.add_linear_expression_in_domain(start, self.starts.of(unit))
                interval = self.cp.new_interval_var(start, size, end, "")
            else:
                before, here = here, self.yes(b > a)
                interval = self.cp.new_optional_interval_var(start, size, end, here, "")
                self.cp.add(start >= segments[-1].end)
                self.cp.add(size >= unit).only_enforce_if(here)
                self.cp.add(size == 0).only_enforce_if(~here)
                self.cp.add(start == segments[-1].end).only_enforce_if(~here)
                if before is not None:
                    self.cp.add_implication(here, before)
            self.work.append(interval)
            segments.append(Segment(start, size, end, interval))
            sizes.append(size)
        if whole:
            self.cp.add(sum(sizes) == length)
        else:
            self.cp.add(sum(sizes) <= length)
            self.cp.add(sum(sizes) >= math.floor(length * many / (length // unit)))
            self.cp.add(segments[-1].end >= segments[0].start + length)
        end = segments[-1].end
        return Step(segments[0].start, end, end, segments)

    # -- waits -------------------------------------------------------------------------------------

    def windows(self, key: str) -> list[Window]:
        """The open hours in which a step may be over, each with a yes or no."""
        if key not in self._windows:
            self._windows[key] = list(self._over_in(key))
            self.cp.add_exactly_one([yes for yes, _, _ in self._windows[key]])
        return self._windows[key]

    def _over_in(self, key: str) -> Iterator[Window]:
        step = self.steps[key]
        laid = self.draft.laid[key]
        task = self.nodes[key].task
        first, last = self.head[key], min(self.last, self.late[key] if task.lay else self.room.by[key])
        hint = up(laid.spans[0][0] + laid.before_min) if task.lay else up(laid.end)
        for a, b in self.starts.windows:
            a, b = max(a, first), min(b, last)
            if a > b:
                continue
            at = step.start if task.lay else step.end
            yes = self.yes(a <= hint <= b)
            self.cp.add_linear_constraint(at, a, b).only_enforce_if(yes)
            yield (yes, a, b)

    def _wait(self, asked: Asked) -> None:
        """The later the coat, the later the next: in each window by its own least wait."""
        table = self.tables.of(asked)
        before, node = self.steps[asked.before], self.nodes[asked.before]
        unit = 1 if asked.after else TICK  # a date is told in minutes
        after = self.steps[asked.after].start if asked.after else self.finish
        loose = _ROUNDING + (1.0 if asked.after and self._off_grid(asked.after) else 0.0)
        if isinstance(before.on, int):
            self.cp.add(after >= math.ceil(unit * (table[max(0, min(before.on, self.last))] - loose)))
            return
        on = self._on(asked.before) if node.task.lay else 0
        for yes, a, b in self.windows(asked.before):
            ticks = slice(a + on, min(b + on, self.last) + 1)
            reached: Ticks = table[ticks] - loose
            if not len(reached):
                self.cp.add(yes == 0)
                continue
            self.cp.add(after >= math.ceil(unit * float(reached[0]))).only_enforce_if(yes)
            line_key = (id(table), ticks.start, ticks.stop, loose)
            if line_key not in self._lines:  # parts alike ask the same
                self._lines[line_key] = below(self.tables.ticks[ticks], reached)
            for slope, base in self._lines[line_key]:
                line = unit * slope * before.on + math.floor(unit * base)
                self.cp.add(SCALE * after >= line).only_enforce_if(yes)

    def _off_grid(self, key: str) -> bool:
        """Whether a coat may begin between two fives, since setting the gun up takes no whole number of them."""
        extra = cleaning_of(self.problem, self.nodes[key])
        return bool(extra and extra[0] % TICK)

    def _by_the_clock(self) -> None:
        for before, after, minutes in self.least.gaps:
            if not self.least.free.laid[after].done:
                self.cp.add(self.steps[after].start >= self.steps[before].end + math.ceil((minutes - 1) / TICK - 1e-6))
        for before, after in dict.fromkeys(self.least.nights):
            if self.least.free.laid[after].done or self.least.free.laid[before].done:
                continue
            for yes, a, _ in self.windows(before):
                morning = self.problem.hours.after_a_night(a * TICK)
                self.cp.add(self.steps[after].start >= up(morning)).only_enforce_if(yes)

    def _a_day(self) -> None:
        series: dict[tuple[str, int], list[str]] = {}
        for key, node in self.nodes.items():
            if node.task.asks.a_day and not self.least.free.laid[key].done:
                for chain in node.chains:
                    series.setdefault((chain, id(node.task.scheduled)), []).append(key)
        for keys in series.values():
            most = self.nodes[keys[0]].task.asks.a_day or 1
            for a, b in zip(keys, keys[most:], strict=False):
                for yes, at, _ in self.windows(a):
                    midnight = self.problem.hours.next_day(at * TICK)
                    self.cp.add(self.steps[b].start >= up(midnight)).only_enforce_if(yes)

    # -- sessions ----------------------------------------------------------------------------------

    def _sessions(self) -> None:
        """A day with a coat of a material takes setting up before the first and cleaning after the last."""
        groups: dict[tuple[str, str], list[str]] = {}
        minutes: dict[tuple[str, str], tuple[float, float]] = {}
        for key, node in self.nodes.items():
            lay, extra = node.task.lay, cleaning_of(self.problem, node)
            if lay and extra and not self.least.free.laid[key].done:
                groups.setdefault((lay.by, lay.material), []).append(key)
                minutes[lay.by, lay.material] = extra
        for group, keys in groups.items():
            days: dict[int, list[tuple[str, Var]]] = {}
            for key in keys:
                for yes, a, _ in self.windows(key):
                    days.setdefault(self.problem.hours.day(a * TICK), []).append((key, yes))
            for day, rows in days.items():
                self._session(group, day, rows, minutes[group])

    def _session(
        self, group: tuple[str, str], day: int, rows: list[tuple[str, Var]], minutes: tuple[float, float]
    ) -> None:
        before, after = (math.floor(m) // TICK for m in minutes)
        done = {
            self.problem.hours.day(x.start)
            for k, x in self.least.free.laid.items()
            if x.done and (lay := self.nodes[k].task.lay if k in self.nodes else None)
            and (lay.by, lay.material) == group
        }  # fmt: skip
        used = self.yes(any(self._hinted(yes) for _, yes in rows))
        for _, yes in rows:
            self.cp.add_implication(yes, used)
        for size, is_before in ((0 if day in done else before, True), (after, False)):
            if size <= 0:
                continue
            open_ = [[a, b - size] for a, b in self.starts.windows
                     if self.problem.hours.day(a * TICK) == day and b - size >= a]  # fmt: skip
            if not open_:
                continue
            hinted = [k for k, yes in rows if self._hinted(yes)]
            laid = [self.draft.laid[k] for k in hinted]
            at = min((up(x.start) for x in laid), default=open_[0][0]) if is_before else max(
                (up(x.end) - size for x in laid), default=open_[0][0]
            )
            start = self.cp.new_int_var_from_domain(cp_model.Domain.from_intervals(open_), "")
            self.hint(start, at)
            self.work.append(self.cp.new_optional_fixed_size_interval_var(start, size, used, ""))
            for key, yes in rows:
                step = self.steps[key]
                row = step.start >= start + size if is_before else start >= step.start + self._on(key)
                self.cp.add(row).only_enforce_if(yes)

    def _hinted(self, yes: Var) -> bool:
        return bool(self.hints[yes.index][1])

    # -- dust --------------------------------------------------------------------------------------

    def _dust(self, place: str) -> None:
        """Wet surfaces, from when dust must have settled until dust-free, keep dusty work out."""
        free = self.least.free.laid
        wet = [k for k in self.least.wet if k in self.steps and free[k].place == place and not free[k].done]
        dusty = [
            k for k in self.steps
            if self.nodes[k].task.work == "dusty" and free[k].place == place and not free[k].done
        ]  # fmt: skip
        if not wet or not dusty:
            return
        settle = self.problem.settle // TICK
        intervals, demands = [], []
        for key in wet:
            step = self.steps[key]
            size = settle + self._on(key) + self._lag(key, self.least.wet[key])
            intervals.append(self.cp.new_fixed_size_interval_var(step.start - settle, max(1, size), ""))
            demands.append(1)
        for key in dusty:
            for segment in self.steps[key].segments:
                intervals.append(segment.interval)
                demands.append(len(wet))
        self.cp.add_cumulative(intervals, demands, len(wet))

    def _stand(self, place: str) -> None:
        """A coated lot stands until it may be handled, or until its next coat or carrying."""
        capacity = self.problem.shop.places[place].drying_places
        free, scale = self.least.free.laid, 4
        rows: list[tuple[cp_model.IntervalVar, int]] = []
        most: dict[str, int] = {}
        for chain, keys in self._chains().items():
            for at, key in enumerate(keys):
                node = self.nodes[key]
                if not node.task.lay or free[key].done or free[key].place != place:
                    continue
                takes = math.floor(min(takes_of(node, chain), capacity) * scale)
                most[chain] = max(most.get(chain, 0), takes)
                start, full = self.steps[key].start, self._on(key) + self._lag(key, self.least.stands[key])
                rows.append((self._standing(key, start, full, keys[at + 1 : at + 2]), takes))
        if sum(most.values()) > capacity * scale:
            self.cp.add_cumulative([i for i, _ in rows], [d for _, d in rows], int(capacity * scale))

    def _standing(self, key: str, start: Lin, full: int, later: list[str]) -> cp_model.IntervalVar:
        if not later or self.least.free.laid[later[0]].done:
            return self.cp.new_fixed_size_interval_var(start, full, "")
        hint = up(self.draft.laid[key].start)
        stand = min(full, up(self.draft.laid[later[0]].start) - hint)
        until = self.number(0, self.last + full, hint + stand)
        self.cp.add_min_equality(until, [start + full, self.steps[later[0]].start])
        return self.span(start, self.number(0, full, stand), until)

    def _chains(self) -> dict[str, list[str]]:
        """Coats, carryings and joinings of each lot, in order."""
        found: dict[str, list[str]] = {}
        for key, node in self.nodes.items():
            if node.task.lay or node.task.move_to or node.task.do == "join":
                members = [c for m in node.job.begins_after for c in chain_keys(self.problem.jobs[m])]
                for chain in (*node.chains, *(members if node.task.do == "join" else ())):
                    found.setdefault(chain, []).append(key)
        return found

    def _on(self, key: str) -> int:
        """Ticks from when a coat is begun until it is on, at the least."""
        return ticks_on(self.problem, self.nodes[key])

    def _lag(self, key: str, asked: list[Asked]) -> int:
        """Ticks from when a coat is on that it asks at the least, whenever it is laid."""
        on, best = self._on(key), 0
        for one in asked:
            table = self.tables.of(one) - self.tables.ticks
            spans = [table[a + on : min(b + on, self.last) + 1] for _, a, b in self.windows(key)]
            lags = [float(s.min()) for s in spans if len(s)]
            best = max(best, math.floor(min(lags, default=0.0)))
        return best
