"""One piece's calendar as a model for CP-SAT: steps with start domains, one maker, rooms, waits, sessions, visits.

Waits, wet spans and standing times are numbers read off a plan (`links`). Work that may be put down and taken up is
a row of segments: as many as the plan it starts from has and one more, two at least where its length allows.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from ortools.sat.python import cp_model

from rakelight.plan.draft import Draft
from rakelight.plan.exact.days import TICK, Starts, up
from rakelight.plan.exact.links import Link, Links, cleaning_of, scuff_minutes, takes_of
from rakelight.plan.exact.variables import Lin, Segment, Step, Var, Variables
from rakelight.plan.fitting import on_grid
from rakelight.plan.problem import Node, Problem

DAY = 1440 // TICK


class Model(Variables):
    """The model, its variables and a complete hint.

    `lean`: for the finish alone. Days without a visit are left out, a part stands as long as it does in the plan it
    starts from, and the coats `opened` bring setting up and cleaning along (None: those that do in that plan);
    laying out again puts all of it right.
    """

    def __init__(
        self,
        problem: Problem,
        nodes: Mapping[str, Node],
        draft: Draft,
        links: Links,
        lean: bool = False,
        opened: Collection[str] | None = None,
    ) -> None:
        self.lean, self.opened = lean, opened
        self.problem, self.draft, self.links = problem, draft, links
        self.nodes = {k: n for k, n in nodes.items() if k in draft.laid}
        super().__init__()
        hours = problem.hours
        windows = [(up(a), b // TICK) for a, b in hours.windows]
        self.first = up(problem.start)
        self.last = up(draft.finish) + DAY // 12
        self.starts = Starts(windows, self.first, self.last)
        self.midnight = up(hours.next_day(problem.start)) - DAY
        self.steps: dict[str, Step] = {}
        self.work: list[cp_model.IntervalVar] = []  # of the one maker
        self.late_coats: list[Var] = []
        self.scuffs: dict[str, list[cp_model.IntervalVar]] = {}  # by place
        self.openers: list[Var] = []
        self.rests: list[Var] = []
        if not lean:
            self._open_days()
        self._steps()
        if not lean:
            self._sessions()
        self._order()
        self._windows()
        self._rooms()
        self.cp.add_no_overlap(self.work)
        self._goals()

    def day_of(self, key: str) -> Var:
        """The local day a step begins on."""
        step = self.steps[key]
        if step.day is None:
            at = (up(self.draft.laid[key].start) - self.midnight) // DAY
            days = (self.last - self.midnight) // DAY + 1
            step.day = self.number(min(0, at), max(days, at), at)
            since = step.start - self.midnight - step.day * DAY
            self.cp.add_linear_constraint(since, 0, DAY - 1)
        return step.day

    # -- steps ----------------------------------------------------------------------------------

    def _open_days(self) -> None:
        """A day without a visit is a rest of the maker's in all its open hours."""
        spans: dict[int, list[tuple[int, int]]] = {}
        for a, b in self.starts.windows:
            if b > max(a, self.first):
                spans.setdefault((a - self.midnight) // DAY, []).append((max(a, self.first), b))
        worked = {
            (up(a) - self.midnight) // DAY
            for x in self.draft.laid.values() if not x.done for a, b in x.spans if b > a
        }  # fmt: skip
        for day, open_ in spans.items():
            rest = self.yes(day not in worked, f"rest {day}")
            self.rests.append(rest)
            for a, b in open_:
                self.work.append(self.cp.new_optional_fixed_size_interval_var(a, b - a, rest, ""))

    def _steps(self) -> None:
        shut = False
        for key, node in self.nodes.items():
            laid = self.draft.laid[key]
            task = node.task
            if laid.done:
                on = up(laid.laid_end if task.lay else laid.end)
                self.steps[key] = Step(laid.start // TICK, up(laid.end), on)
            elif task.work == "none" or (task.minutes.likely <= 0 and not task.lay):
                var = self.number(self.first, self.last, up(laid.start), key)
                self.steps[key] = Step(var, var, var)
            elif task.splittable and not task.lay:
                self.steps[key] = self._split(key, node)
                shut = shut or len(self.steps[key].segments) > 1
            else:
                self.steps[key] = self._block(key, node)
        if shut:
            for a, b in self.starts.shut():
                self.work.append(self.cp.new_fixed_size_interval_var(a, b - a, ""))

    def _block(self, key: str, node: Node) -> Step:
        task, laid = node.task, self.draft.laid[key]
        within = None
        if task.lay:
            open_ = self.problem.waits.openings(task.lay, laid.place)
            laying = (laid.laid_end - laid.start - laid.before_min) / 60
            longest = laying if laying <= open_.longest else 0.0
            spans = zip(open_.starts, open_.ends, strict=True)
            within = [(up(a * 60), int(((b - longest) * 60 + 1) // TICK)) for a, b in spans]
        plain = max(1, up(on_grid(task.minutes.likely + task.block_min)))
        extra = cleaning_of(self.problem, node)
        start = self.cp.new_int_var_from_domain(self.starts.of(plain, within), key)
        self.hint(start, up(laid.start))
        if not extra:
            end = start + plain
            segment = Segment(start, plain, start, self.cp.new_fixed_size_interval_var(start, plain, key))
            self.work.append(segment.interval)
            return Step(start, end, end, [segment])
        before, after = extra
        whole = up(on_grid(task.minutes.likely + task.block_min + before + after))
        opened = laid.before_min + laid.after_min > 0
        if self.lean:
            opened = key in self.opened if self.opened is not None else opened
            return self._lean_coat(start, plain, whole if opened else plain, up(after) if opened else 0, within)
        opens = self.yes(opened, f"opens {key}")
        self.cp.add_linear_expression_in_domain(start, self.starts.of(whole, within)).only_enforce_if(opens)
        size = plain + (whole - plain) * opens
        till = self.number(self.first, self.last + DAY, up(laid.end))
        interval = self.span(start, size, till)
        self.work.append(interval)
        on = start + plain + (whole - up(after) - plain) * opens
        return Step(start, till, on, [Segment(start, size, till, interval)], opens=opens)

    def _lean_coat(self, start: Var, plain: int, size: int, after: int, within: list[tuple[int, int]] | None) -> Step:
        """A coat of fixed length."""
        if size != plain:
            self.cp.add_linear_expression_in_domain(start, self.starts.of(size, within))
        interval = self.cp.new_fixed_size_interval_var(start, size, "")
        self.work.append(interval)
        return Step(start, start + size, start + size - after, [Segment(start, size, start, interval)])

    def _split(self, key: str, node: Node) -> Step:
        laid = self.draft.laid[key]
        least = up(self.problem.least_dry)
        length = max(1, up(on_grid(node.task.minutes.likely)))
        most = 1 if length < 2 * least else max(2, len(laid.spans) + 1)
        most = min(most, length // least) if most > 1 else 1
        if node.task.do == "join" or most == 1:
            most = len(laid.spans)
        if most == 1:
            start = self.cp.new_int_var_from_domain(self.starts.of(length), key)
            self.hint(start, up(laid.start))
            interval = self.cp.new_fixed_size_interval_var(start, length, key)
            self.work.append(interval)
            return Step(start, start + length, start + length, [Segment(start, length, start, interval)])
        return self._segments(key, length, most, least)

    def _segments(self, key: str, length: int, most: int, least: int) -> Step:
        """Segments in order; those not needed have no length and lie at the end of the last."""
        spans = [(up(a), up(b)) for a, b in self.draft.laid[key].spans]
        segments: list[Segment] = []
        sizes: list[Var] = []
        for n in range(most):
            a, b = spans[n] if n < len(spans) else (spans[-1][1], spans[-1][1])
            start = self.number(self.first, self.last + DAY, a, f"{key} {n}")
            size = self.number(0, length, b - a)
            end = self.number(self.first, self.last + DAY, b)
            here = self.yes(b > a)
            interval = self.span(start, size, end, here)
            self.work.append(interval)
            self.cp.add(end == start + size)
            self.cp.add(size >= min(least, length)).only_enforce_if(here)
            self.cp.add(size == 0).only_enforce_if(~here)
            if segments:
                self.cp.add(start >= segments[-1].end)
                self.cp.add(start == segments[-1].end).only_enforce_if(~here)
            else:
                self.cp.add(here == 1)
            segments.append(Segment(start, size, end, interval))
            sizes.append(size)
        self.cp.add(sum(sizes) == length)
        return Step(segments[0].start, segments[-1].end, segments[-1].end, segments)

    # -- sessions -------------------------------------------------------------------------------

    def _sessions(self) -> None:
        """The first coat of a material in a day brings setting up and cleaning; each other names one before it."""
        groups: dict[tuple[str, str], list[str]] = {}
        for key, step in self.steps.items():
            lay = self.nodes[key].task.lay
            if lay and isinstance(step.opens, cp_model.IntVar):
                groups.setdefault((lay.by, lay.material), []).append(key)
                self.openers.append(step.opens)
        for keys in groups.values():
            keys.sort(key=lambda k: self.draft.laid[k].start)
            for at, key in enumerate(keys):
                near = keys[max(0, at - 12) : at + 12]
                self._joins(key, [k for k in near if k != key])

    def _joins(self, key: str, others: list[str]) -> None:
        mine = self.steps[key]
        opens = mine.opens
        day, hinted = self.day_of(key), False
        literals: list[Lin] = [opens]
        for other in others:
            theirs = self.steps[other]
            a, b = self.draft.laid[other], self.draft.laid[key]
            is_so = (
                not hinted
                and not (b.before_min or b.after_min)
                and a.start < b.start
                and self.problem.hours.day(a.start) == self.problem.hours.day(b.start)
            )
            hinted = hinted or is_so
            with_ = self.yes(is_so)
            self.cp.add(self.day_of(other) == day).only_enforce_if(with_)
            self.cp.add(mine.start >= theirs.end).only_enforce_if(with_)
            literals.append(with_)
        self.cp.add_exactly_one(literals)  # type: ignore[arg-type]

    # -- order and waits ------------------------------------------------------------------------

    def _order(self) -> None:
        for key, node in self.nodes.items():
            if self.draft.laid[key].done:
                continue
            step = self.steps[key]
            for earlier in node.before:
                if earlier in self.steps:
                    self.cp.add(step.start >= self.steps[earlier].end)
            if key in self.links.floors:
                self.cp.add(step.start >= up(self.links.floors[key]))
        longest: dict[tuple[str, str], Link] = {}
        for link in self.links.waits:
            known = longest.get((link.before, link.after))
            if known is None or link.minutes > known.minutes:
                longest[link.before, link.after] = link
        for (before, after), link in longest.items():
            if before in self.steps and after in self.steps:
                self.cp.add(self.steps[after].start >= self.steps[before].on + up(link.minutes))
        for before, after in sorted(set(self.links.nights)):
            if before in self.steps and after in self.steps and not self.draft.laid[before].done:
                self.cp.add(self.day_of(after) >= self.day_of(before) + 1)
        self._a_day()

    def _a_day(self) -> None:
        series: dict[tuple[str, str], list[str]] = {}
        for key, node in self.nodes.items():
            if node.task.asks.a_day and not self.draft.laid[key].done:
                for chain in node.chains:
                    series.setdefault((chain, node.task.step.rstrip("0123456789 ")), []).append(key)
        for keys in series.values():
            most = self.nodes[keys[0]].task.asks.a_day or 1
            for a, b in zip(keys, keys[most:], strict=False):
                self.cp.add(self.day_of(b) >= self.day_of(a) + 1)

    def _windows(self) -> None:
        """A coat past its window is scuffed first: a piece of dusty work, and its dust must settle."""
        ends: dict[str, list[Link]] = {}
        for link in self.links.windows:
            if link.before in self.steps and link.after in self.steps:
                ends.setdefault(link.after, []).append(link)
        for key, links in ends.items():
            step = self.steps[key]
            had = self.draft.laid.get(f"{key}/scuff-late")
            late = self.yes(had is not None, f"late {key}")
            self.late_coats.append(late)
            for link in links:
                latest = self.steps[link.before].on + int(link.minutes // TICK)
                self.cp.add(step.start <= latest).only_enforce_if(~late)
            minutes = sum(b - a for a, b in had.spans) if had else scuff_minutes(self.problem, self.nodes[key])
            length = max(1, up(minutes))
            begin = self.cp.new_int_var_from_domain(self.starts.of(length), f"scuff {key}")
            self.hint(begin, up(had.start) if had else self.starts.windows[0][0])
            interval = self.cp.new_optional_fixed_size_interval_var(begin, length, late, "")
            self.work.append(interval)
            self.scuffs.setdefault(self.draft.laid[key].place, []).append(interval)
            self.cp.add(step.start >= begin + length + up(self.problem.settle)).only_enforce_if(late)
            for link in links:
                self.cp.add(begin >= self.steps[link.before].on).only_enforce_if(late)

    # -- rooms ----------------------------------------------------------------------------------

    def _rooms(self) -> None:
        for place in self.problem.shop.places.values():
            self._dust(place.name)
            self._stand(place.name, place.drying_places)

    def _dust(self, place: str) -> None:
        """Wet surfaces, from when dust must have settled until dust-free, keep dusty work out; one maker."""
        intervals: list[cp_model.IntervalVar] = []
        demands: list[int] = []
        laid = self.draft.laid
        here = [k for k in self.steps if laid[k].place == place]
        wet = [k for k in here if k in self.links.wet]
        for key in wet:
            step = self.steps[key]
            end = step.on + up(self.links.wet[key])
            begin = step.start - up(self.problem.settle)
            hint = up(laid[key].laid_end) + up(self.links.wet[key])
            if laid[key].done and hint <= self.first:
                continue
            until = self.number(0, self.last + 60 * DAY, hint)
            self.cp.add(until == end)
            size = self.number(1, 60 * DAY, hint - up(laid[key].start) + up(self.problem.settle))
            intervals.append(self.span(begin, size, until))
            demands.append(1)
        for key in here:
            if self.nodes[key].task.work == "dusty" and not laid[key].done:
                for segment in self.steps[key].segments:
                    intervals.append(segment.interval)
                    demands.append(max(1, len(wet)))
        for interval in self.scuffs.get(place, []):
            intervals.append(interval)
            demands.append(max(1, len(wet)))
        if wet:
            self.cp.add_cumulative(intervals, demands, max(1, len(wet)))

    def _stand(self, place: str, capacity: float) -> None:
        """A coated part stands until it may be handled, or until its next coat or move."""
        scale = 4
        rows: list[tuple[cp_model.IntervalVar, int]] = []
        for chain, keys in self._chains().items():
            for at, key in enumerate(keys):
                node, laid = self.nodes[key], self.draft.laid[key]
                where = node.task.move_to or laid.place
                if where != place or laid.done:
                    continue
                takes = min(takes_of(node, chain), capacity)
                step = self.steps[key]
                full = step.on + max(1, up(self.links.stands.get(key, 0.0)))
                stand = up(laid.laid_end) + max(1, up(self.links.stands.get(key, 0.0)))
                later = keys[at + 1] if at + 1 < len(keys) else ""
                soon = False
                if later and not self.draft.laid[later].done:
                    soon = up(self.draft.laid[later].start) < stand
                    stand = min(stand, up(self.draft.laid[later].start))
                if self.lean and not soon and isinstance(step.on, cp_model.LinearExpr):
                    fixed = self.cp.new_fixed_size_interval_var(step.start, stand - up(laid.start), "")
                    rows.append((fixed, round(takes * scale)))
                    continue
                until = self.number(self.first, self.last + 60 * DAY, stand)
                if later and not self.draft.laid[later].done and not self.lean:
                    self.cp.add_min_equality(until, [full, self.steps[later].start])
                else:
                    self.cp.add(until == (self.steps[later].start if soon else full))
                size = self.number(0, 120 * DAY, stand - up(laid.start))
                rows.append((self.span(step.start, size, until), round(takes * scale)))
        if sum(d for _, d in rows) > capacity * scale:
            self.cp.add_cumulative([i for i, _ in rows], [d for _, d in rows], int(capacity * scale))

    def _chains(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for key in sorted(self.links.stands, key=lambda k: self.draft.laid[k].start):
            for chain in self.nodes[key].chains if key in self.nodes else ():
                found.setdefault(chain, []).append(key)
        return found

    # -- what is wanted -------------------------------------------------------------------------

    def _goals(self) -> None:
        last = self.last + 60 * DAY
        self.finish = self.number(0, last, up(self.draft.finish), "finish")
        lates = []
        for step in self.steps.values():
            self.cp.add(self.finish >= step.end)
        for n, target in enumerate(self.problem.targets):
            reached = self.number(0, last, up(self.draft.reached[n]) if n in self.draft.reached else 0)
            for link in self.links.dates[n]:
                if link.before in self.steps:
                    self.cp.add(reached >= self.steps[link.before].on + up(link.minutes))
            self.cp.add(self.finish >= reached)
            by = target.by // TICK
            late = self.number(0, last, max(0, up(self.draft.reached[n]) - by))
            self.cp.add(late >= reached - by)
            lates.append(late)
        self.late: Lin = sum(lates)
        self.added: Lin = sum(self.late_coats)
        self.visits: Lin = len(self.rests) - sum(self.rests)
        self.set_ups: Lin = sum(self.openers)
