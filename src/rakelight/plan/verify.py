"""An independent check of a plan: it tells the plan again from what was laid and holds every rule against it.

It shares no placing code with the planner: only the waits, the order of the steps and the hours of the shop.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise, takewhile

from rakelight.plan.draft import Draft
from rakelight.plan.history import Hist
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.replay import LATE_SCUFF, Deed, Standing, Story, after_a_night, tell
from rakelight.plan.verify_hands import in_his_hours, one_thing_at_a_time
from rakelight.schedule.tasks import Asks, Lay, Task

_SLACK = 1.0  # minute: rounding of hours to whole minutes
#: readinesses no hand test speaks of
_UNTESTED = ("pack", "use")
#: handling that may be done where nothing else is
_CARRYING = ("move", "turn", "points", "judge", "wait")
#: verbs whose brush or pad is not cleaned at the shop's bench: what is wiped off, waxed or trowelled
_NO_CLEANING = ("oil", "wax", "fill")


def verify(problem: Problem, draft: Draft) -> list[str]:
    """Rules the plan breaks, as sentences; empty for a sound plan.

    What has been done is a fact: it happens, and is not judged.
    """
    nodes = nodes_of(problem.work)
    check = _Check(problem, draft, nodes, tell(problem, draft, nodes))
    broken = [f"{key}: is no step of this piece" for key in check.story.unknown]
    for deed in check.story.deeds.values():
        if not deed.laid.done:
            broken += check.of_step(deed)
    broken += one_thing_at_a_time(check.story.deeds.values())
    broken += check.cleaning()
    broken += check.dust()
    broken += check.drying_places()
    broken += check.a_day()
    broken += lots_add_up(problem)
    missing = set(nodes) - set(draft.laid)
    if missing and not draft.stuck:
        broken.append(f"not placed: {', '.join(sorted(missing)[:5])}")
    return broken


def _after_a_failed_test(share: float) -> float:
    """The middle of what is left of a material's odds once the lower share of them is ruled out."""
    from statistics import NormalDist

    return NormalDist().inv_cdf(min(1 - 1e-12, share + (1 - share) * 0.5))


@dataclass
class _Check:
    problem: Problem
    draft: Draft
    nodes: Mapping[str, Node]
    story: Story
    known: dict[tuple[object, ...], float] = field(default_factory=dict)
    nights: dict[float, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.z = {material: _after_a_failed_test(share) for material, share in self.draft.floors.items()}

    # -- one step -------------------------------------------------------------------------------

    def of_step(self, deed: Deed) -> list[str]:
        """All rules of one step that is planned."""
        return [
            f"{deed.key}: {says}"
            for rule in (
                self._in_hours, self._whole, self._time_enough, self._in_order, self._put_in, self._clock,
                self._tested, self._waited, self._in_time, self._air, self._place,
            )
            for says in rule(deed)
        ]  # fmt: skip

    def _in_hours(self, deed: Deed) -> Iterator[str]:
        if deed.laid.start < self.problem.begin(deed.job.part.name):
            yield "begins before the work may begin"
        if any(b < a for a, b in deed.laid.spans) or any(c < b for (_, b), (c, _) in pairwise(deed.laid.spans)):
            yield "its stretches of work are not in order"
        yield from in_his_hours(self.problem, deed)

    def _whole(self, deed: Deed) -> Iterator[str]:
        task, spans = deed.task, deed.laid.spans
        if len(spans) < 2:
            return
        if not task.splittable:
            yield "a block is broken up"
        elif task.do == "join":
            each = task.minutes.likely / max(1, deed.job.part.count)
            if each <= self.problem.hours.longest:
                held = sum(math.floor((b - a) / each + 1e-6) for a, b in spans) if each else 1
                if held < max(1, deed.job.part.count):
                    yield "one that is joined is broken off half done"
        elif any(b - a < self.problem.least_dry for a, b in spans):
            yield f"taken up for less than {self.problem.least_dry} minutes"

    def _time_enough(self, deed: Deed) -> Iterator[str]:
        laid, task = deed.laid, deed.task
        worked = sum(b - a for a, b in laid.spans) - laid.before_min - laid.after_min
        if worked + _SLACK < task.minutes.likely + task.block_min:
            yield "has less time than its work takes"

    def _in_order(self, deed: Deed) -> Iterator[str]:
        for key in deed.before:
            earlier = self.draft.laid.get(key)
            if earlier is None:
                yield f"begins though {key} is not placed"
            elif earlier.end > deed.laid.start:
                yield f"begins before {key} ends"
        for judge in deed.job.tasks:
            judged = self.draft.laid.get(judge.id) if judge.gates == deed.key else None
            if judged and judged.end > deed.laid.start:
                yield f"begins before the test board is judged ({judge.id})"

    def _put_in(self, deed: Deed) -> Iterator[str]:
        """A scuff put in stands after the coat beneath and before its own coat."""
        if deed.key in self.nodes:
            return
        coat = deed.key.removesuffix(LATE_SCUFF)
        own = self.draft.laid.get(coat)
        if own is None or deed.laid.end > own.start:
            yield f"is not over before {coat}, which it is for"
        for task in deed.job.tasks:
            if task.id == coat:
                break
            laid = self.draft.laid.get(task.id)
            same = laid and task.lay and set(task.faces) & set(self.nodes[coat].task.faces)
            if same and set(self.nodes[task.id].chains) & set(deed.chains) and laid and laid.laid_end > deed.laid.start:
                yield f"begins before {task.id} beneath is laid"

    def _clock(self, deed: Deed) -> Iterator[str]:
        """Times written, by the clock."""
        for lot in self.story.before[deed.key]:
            if deed.laid.start + _SLACK < lot.free_from:
                yield "begins before the wait written after the step before is over"
            for asks in (deed.task.asks, *deed.task.also):
                since = lot.since(deed.task.step)
                if asks.at_least is None or not math.isfinite(since):
                    continue
                until = since + asks.at_least.hours * 60
                if asks.at_least.overnight:
                    until = max(until, self._night(since))
                if deed.laid.start + _SLACK < until:
                    yield "begins before the time written has passed"

    def _night(self, minute: float) -> float:
        if minute not in self.nights:
            self.nights[minute] = after_a_night(self.problem, minute)
        return self.nights[minute]

    def _tested(self, deed: Deed) -> Iterator[str]:
        trial = self.problem.trials.get(deed.key)
        if trial and not trial.passed and deed.laid.start < max(trial.minute, trial.again or 0):
            yield "begins before the hand test that failed is to be made again"

    def _waited(self, deed: Deed) -> Iterator[str]:
        trial = self.problem.trials.get(deed.key)
        if trial and trial.passed:
            return
        settled = {r for key in deed.before for r in self._settled(key)}
        asked = [a for a in (deed.task.asks, *deed.task.also) if a.readiness and a.readiness not in settled]
        if deed.key not in self.nodes:
            asked.append(Asks("sand", deed.task.faces))
        for asks in asked:
            names = asks.faces or deed.task.faces
            over = asks.over or deed.task.lay
            for lot in self.story.before[deed.key]:
                pasts = lot.pasts(names) if names or deed.task.do == "join" else []
                ready = max((self._ready(h, asks.readiness, over, asks.clamps) for h in pasts), default=-math.inf)
                if deed.wet_from + _SLACK < ready:
                    yield f"begins {ready - deed.wet_from:.0f} minutes before it is ready to {asks.readiness}"

    def _settled(self, key: str) -> set[str]:
        """Readinesses that a passed test before a carrying has settled for what it is carried to as well."""
        trial, node = self.problem.trials.get(key), self.nodes.get(key)
        if not trial or not trial.passed or node is None or node.task.do != "move":
            return set()
        return {a.readiness for a in (node.task.asks, *node.task.also)}

    def _in_time(self, deed: Deed) -> Iterator[str]:
        """A coat that comes too late is scuffed under first."""
        task = deed.task
        if task.lay is None:
            return
        scuffed = task.asks.abraded or deed.key + LATE_SCUFF in self.draft.laid
        for lot in self.story.before[deed.key]:
            most, since = task.asks.at_most, lot.since(task.step)
            if most and math.isfinite(since) and not scuffed:
                end = since + most.hours * 60
                end = max(end, self._night(since)) if most.overnight else end
                if deed.wet_from > end + _SLACK:
                    yield "comes later than the time written, with no scuff put in"
            for hist in lot.pasts(task.faces) if task.faces else []:
                if not hist.events:
                    continue
                window = 60 * self.problem.waits.window_end(hist.events, hist.stays, task.lay)
                if deed.wet_from > window + _SLACK:
                    yield "comes after the coat beneath may be coated without scuffing, with no scuff put in"

    def _air(self, deed: Deed) -> Iterator[str]:
        """A coat is laid only where it is warm and dry enough until the last of it is dust-free."""
        lay, waits = deed.task.lay, self.problem.waits
        if lay and deed.laid.place in self.problem.shop.places:
            long_h = (deed.laid.laid_end - deed.wet_from) / 60
            near = [(deed.wet_from + shift) / 60 for shift in (_SLACK, -_SLACK)]
            if not any(waits.may_lay(lay, deed.laid.place, hour, long_h) for hour in near):
                yield "is laid in air too cold or too damp for it"

    def _place(self, deed: Deed) -> Iterator[str]:
        task, laid, places = deed.task, deed.laid, self.problem.shop.places
        if laid.place not in places:
            yield f"is done in {laid.place or 'no place'}, which the shop does not have"
            return
        if task.do == "move" and task.move_to not in places:
            yield f"is carried to {task.move_to or 'no place'}, which the shop does not have"
        place = places[laid.place]
        for lot in self.story.before[deed.key]:
            if lot.place != laid.place and not self._carried_for_it(deed, lot.place):
                yield f"is done in {laid.place} while it stands in {lot.place}"
        if task.work == "wet" and not place.takes_wet:
            yield f"is wet work in {place.name}, which takes none"
        elif task.work in ("dusty", "dirty") and not place.takes_dust:
            yield f"is {task.work} work in {place.name}, which takes none"
        elif place.use == "drying only" and task.do not in _CARRYING and place.name != task.place:
            yield f"is work in {place.name}, where things only dry"

    def _carried_for_it(self, deed: Deed, stands_in: str) -> bool:
        """Whether a scuff that was put in has the time to carry the part to where dust is made, and back."""
        places = self.problem.shop.places
        if deed.key in self.nodes or places[stands_in].takes_dust:
            return False
        rate = self.problem.facts.labour["scuff"].minutes_per_m2.likely
        needed = rate * deed.task.area_m2 + places[deed.laid.place].carry_min + places[stands_in].carry_min
        return sum(b - a for a, b in deed.laid.spans) + _SLACK >= needed

    def _ready(
        self, hist: Hist, readiness: str, over: Lay | None = None, clamps: bool = False, tested: bool = True
    ) -> float:
        """Minute at which a past is ready; each asked once."""
        z = self.z if tested and self.z and readiness not in _UNTESTED else None
        key = (id(hist), readiness, id(over), clamps, z is not None)
        if key not in self.known:
            self.known[key] = 60 * hist.ready(self.problem.waits, readiness, over, clamps, z)
        return self.known[key]

    # -- the whole plan ---------------------------------------------------------------------------

    def cleaning(self) -> list[str]:
        """A gun is set up before its first coat of a day and material; gun, brush or pad cleaned after the last."""
        groups: dict[tuple[int, str, str], list[Deed]] = {}
        for deed in self.story.deeds.values():
            by = self._tool(deed.task)
            if by and deed.task.lay:
                day = self.problem.hours.day(deed.laid.start)
                groups.setdefault((day, deed.task.lay.material, by), []).append(deed)
        gun = self.problem.shop.gear.gun
        brush = self.problem.facts.figure("brush_clean_min").value.likely
        found = []
        for (_, _, by), deeds in groups.items():
            deeds.sort(key=lambda d: d.laid.start)
            first, last = deeds[0], deeds[-1]
            spray = by == "gun"
            if spray and gun and not first.laid.done and first.laid.before_min < gun.set_up_min:
                found.append(f"{first.key}: the gun is not set up before it")
            clean = (gun.clean_min if gun else 0.0) if spray else brush
            if not last.laid.done and last.laid.after_min < clean:
                found.append(f"{last.key}: no time to clean the {by} after the last coat of the day")
        return found

    def _tool(self, task: Task) -> str:
        if task.gun:
            return "gun"
        wet = task.lay is not None and task.lay.by in ("brush", "pad") and task.do not in _NO_CLEANING
        return task.lay.by if wet and task.lay else ""

    def _stands(self, standing: Standing, readiness: str, tested: bool = True) -> float:
        """Minute until which a lot stands there, not yet ready."""
        if standing.cut <= standing.start:
            return standing.cut
        ready = (self._ready(h, readiness, tested=tested) for h in standing.pasts)
        return standing.until(max(ready, default=-math.inf))

    def dust(self) -> list[str]:
        """Dusty work keeps away from what is wet, and from the hour before it is laid."""
        made: dict[str, list[tuple[float, float, Deed]]] = {}  # by place, in order of its start
        for deed in self.story.deeds.values():
            if deed.task.work == "dusty":
                at = deed.laid.place or self.story.before[deed.key][0].place
                made.setdefault(at, []).extend((a, b, deed) for a, b in deed.laid.spans)
        for rows in made.values():
            rows.sort(key=lambda row: row[:2])
        longest = {place: max(b - a for a, b, _ in rows) for place, rows in made.items()}
        settle = self.problem.settle
        found = []
        for wet in self.story.standings:
            dry = self._stands(wet, "dust-free", tested=False)
            if dry <= wet.start and not wet.lay:
                continue
            start = wet.start - settle if wet.lay else wet.start
            dry = max(dry, self.story.deeds[wet.key].laid.laid_end) if wet.lay else dry
            rows = made.get(wet.place, [])
            first = bisect_left(rows, start - longest.get(wet.place, 0.0) - _SLACK, key=_begins)
            for a, b, deed in rows[first : bisect_left(rows, dry, lo=first, key=_begins)]:
                if a + _SLACK < dry and b > start + _SLACK and not (deed.laid.done and wet.done):
                    found.append(f"{deed.key}: makes dust while {wet.key} is wet or just before it")
        return list(dict.fromkeys(found))

    def drying_places(self) -> list[str]:
        """No more stands and dries in a place than it has drying places; a lot too large for all stands alone."""
        by_place: dict[str, list[tuple[float, float, Standing]]] = {}
        for one in self.story.standings:
            until = self._stands(one, "handle")
            if until > one.start + _SLACK and one.place in self.problem.shop.places:
                by_place.setdefault(one.place, []).append((one.start, until, one))
        found = []
        for name, rows in by_place.items():
            room = self.problem.shop.places[name].drying_places
            rows.sort(key=lambda row: row[:2])
            here: list[tuple[float, float, Standing]] = []  # begun and not yet over
            for at, row in enumerate(rows):
                start, _, one = row
                here = [*(r for r in here if r[1] > start + _SLACK), row]
                later = takewhile(lambda r, start=start: r[0] == start, rows[at + 1 :])  # type: ignore[misc]
                there = {o.lot: o.takes for _, _, o in [*here, *later]}
                if not one.done and len(there) > 1 and sum(there.values()) > room + 1e-6:
                    lots = ", ".join(sorted(there))
                    found.append(f"{one.key}: {name} has {room} drying places and holds more ({lots})")
        return found

    def a_day(self) -> list[str]:
        """Most coats of a step in a day."""
        counts: dict[tuple[str, int, int], int] = {}
        found = []
        for deed in sorted(self.story.deeds.values(), key=lambda d: (d.laid.start, d.rank)):
            most = deed.task.asks.a_day
            if not most:
                continue
            for chain in deed.chains:
                series = (chain, id(deed.task.scheduled), self.problem.hours.day(deed.laid.start))
                counts[series] = counts.get(series, 0) + 1
                if counts[series] > most and not deed.laid.done:
                    found.append(f"{deed.key}: more than {most} coats in a day")
        return found


def _begins(row: tuple[float, float, Deed]) -> float:
    return row[0]


def lots_add_up(problem: Problem) -> list[str]:
    """The lots of each step are the whole part, no piece left out and none twice."""
    found = []
    for job in problem.jobs.values():
        steps: dict[str, list[Task]] = {}
        for task in job.tasks:
            if not task.board and task.do != "judge":
                steps.setdefault(task.id.split("/lot-")[0], []).append(task)
        for key, tasks in steps.items():
            pieces = [n for t in tasks for n in range(t.pieces[0], t.pieces[1] + 1)]
            if sorted(pieces) != list(range(1, job.part.count + 1)):
                found.append(f"{key}: its lots come to {len(pieces)} pieces, and there are {job.part.count}")
    return found
