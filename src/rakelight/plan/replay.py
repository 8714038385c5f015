"""A plan told again in order of time: what happens on every face of every lot, and where the lots stand.

It reads what was laid and `Job.faces_from` alone, and nothing the planner kept; the check of a plan stands on it.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Hist
from rakelight.plan.problem import Node, Problem, chain_keys, drop_chain
from rakelight.plan.waits import Happened, Stay
from rakelight.schedule.tasks import Job, Task
from rakelight.shop.hours import overnight_until

#: end of the id of a scuff that is put in because a coat comes late
LATE_SCUFF = "/scuff-late"
#: steps that leave something on a face, besides laying
_MARKS = ("sand", "scuff", "level", "rub")
#: steps from which no written time counts
_HANDLING = ("turn", "move", "points")

Faces = Mapping[str, tuple[Hist, ...]]


@dataclass(frozen=True)
class Deed:
    """One step as it was laid, with the task it is and the lots it is on."""

    key: str
    laid: Laid
    task: Task
    job: Job
    chains: tuple[str, ...]
    rank: int
    before: tuple[str, ...] = ()

    @property
    def wet_from(self) -> int:
        """Minute at which laying begins: the gun is set up before."""
        return self.laid.start + self.laid.before_min


@dataclass(frozen=True)
class Lot:
    """How a lot stands at a moment."""

    name: str
    size: int  # parts in it
    takes: float  # drying places for all of it
    place: str
    faces: Faces
    free_from: float = -math.inf  # a written wait holds it until then
    last_end: float = -math.inf
    steps: Mapping[str, int] = field(default_factory=dict)  # steps of the schedule, and when each ended last
    bare: Hist = field(default_factory=lambda: Hist((), ()))
    joined: bool = True  # False: still its members

    def pasts(self, names: tuple[str, ...] = ()) -> list[Hist]:
        """The distinct pasts of some faces, of all where none is named."""
        return list({id(h): h for name in names or self.faces for h in self.faces.get(name, ())}.values())

    def since(self, step: str) -> float:
        """End of the last step of the schedule that has another name; of any work where there is none."""
        return max((end for name, end in self.steps.items() if name != step), default=self.last_end)


@dataclass
class Standing:
    """A lot that stands somewhere with something fresh on it, until it is carried, worked or joined."""

    key: str
    lot: str
    place: str
    start: float
    pasts: tuple[Hist, ...]
    takes: float
    done: bool
    lay: bool  # begun by laying, not by carrying
    cut: float = math.inf  # minute of what ended it

    def until(self, ready: float) -> float:
        """Minute at which it no longer matters, where it is ready at a minute."""
        return min(self.cut, ready)


@dataclass
class Story:
    """The whole plan told again."""

    deeds: dict[str, Deed]
    before: dict[str, tuple[Lot, ...]]  # lots of each step as it begins
    standings: list[Standing]
    unknown: tuple[str, ...] = ()  # what was laid and is no step of the piece


def tell(problem: Problem, draft: Draft, nodes: Mapping[str, Node]) -> Story:
    """Tell a plan again, in order of time."""
    return _Teller(problem, draft, nodes).run()


class _Teller:
    def __init__(self, problem: Problem, draft: Draft, nodes: Mapping[str, Node]) -> None:
        self.problem = problem
        self.place = problem.shop.first_place.name
        start = (Stay(self.place, 0.0),)
        self.roots = {closed: Hist((), start, closed) for closed in (False, True)}
        self.deeds, unknown = _deeds(draft, nodes)
        self.lots = {lot.name: lot for job in problem.jobs.values() for lot in self._lots(job)}
        self.open: dict[str, Standing] = {}
        self.story = Story(self.deeds, {}, [], tuple(unknown))

    def _lots(self, job: Job) -> Iterator[Lot]:
        part = job.part
        sizes = {t.lot[0]: t.pieces[1] - t.pieces[0] + 1 for t in job.tasks if t.lot[1] > 1 and not t.board}
        faces = {f.name: (self.roots[f.closed],) for f in part.faces}
        bare = self.roots[False]
        for number, name in enumerate(chain_keys(job), 1):
            size = sizes.get(number, part.count)
            whole = not job.begins_after
            yield Lot(name, size, size * part.takes, self.place, faces, bare=bare, joined=whole)
        drops = {drop_chain(job, task) for task in job.tasks if task.drop}
        for name in (f"{part.name}#board", *sorted(drops)):
            yield Lot(name, 1, 1.0, self.place, {}, bare=bare)

    def run(self) -> Story:
        for _, _, _, act, deed in sorted(_acts(self.deeds.values()), key=lambda a: a[:4]):
            if act:
                self._happens(deed)
            else:
                self._begins(deed)
        return self.story

    # -- a step begins --------------------------------------------------------------------------

    def _begins(self, deed: Deed) -> None:
        for name in deed.chains:
            if not self.lots[name].joined:
                self._join(deed, name)
        self.story.before[deed.key] = tuple(self.lots[name] for name in deed.chains)
        for name in deed.chains:
            if deed.task.lay:
                self._cut(name, deed.wet_from)
            elif deed.task.do == "move":
                self._cut(name, deed.laid.start)

    def _join(self, deed: Deed, name: str) -> None:
        """Members become one lot: each of its faces has the pasts of all that became it."""
        members = [m for part in deed.job.begins_after for m in self._members(part)]
        faces: dict[str, tuple[Hist, ...]] = dict(self.lots[name].faces)
        for face, came_from in deed.job.faces_from.items():
            found = {id(h): h for part, own in came_from for m in self._members(part) for h in m.faces.get(own, ())}
            faces[face] = tuple(found.values()) or faces.get(face, ())
        places = [m.place for m in members]
        place = deed.laid.place or (places[0] if places else self.place)
        bare = next((m.bare for m in members if m.place == place), self.roots[False])
        free = max((m.free_from for m in members), default=-math.inf)
        last = max((m.last_end for m in members), default=-math.inf)
        for member in members:
            self._cut(member.name, deed.laid.start)
        self.lots[name] = replace(
            self.lots[name], place=place, faces=faces, free_from=free, last_end=last, bare=bare, joined=True
        )

    def _members(self, part: str) -> list[Lot]:
        """Lots of a part; of its own members where it was never joined by a step."""
        job = self.problem.jobs.get(part)
        return [self.lots[name] for name in chain_keys(job)] if job else []

    def _cut(self, name: str, minute: float) -> None:
        standing = self.open.pop(name, None)
        if standing:
            standing.cut = minute

    # -- a step has happened ----------------------------------------------------------------------

    def _happens(self, deed: Deed) -> None:
        for name in deed.chains:
            lot = _after(self.lots[name], deed, self.problem.shop.places)
            if deed.task.wait_after:
                free = self._over(deed)
                lot = replace(lot, free_from=max(lot.free_from, free))
            self.lots[name] = lot
            fresh = deed.task.lay is not None
            carried = deed.task.do == "move" and any(h.events for h in lot.pasts())
            if fresh or carried:
                start = deed.wet_from if fresh else deed.laid.end
                pasts = tuple(h for h in lot.pasts() if h.events)
                standing = Standing(deed.key, name, lot.place, start, pasts, lot.takes, deed.laid.done, fresh)
                self.open[name] = standing
                self.story.standings.append(standing)

    def _over(self, deed: Deed) -> float:
        wait = deed.task.wait_after
        assert wait is not None
        end = deed.laid.end
        return max(end + wait.hours * 60, after_a_night(self.problem, end) if wait.overnight else end)


def after_a_night(problem: Problem, minute: float) -> float:
    """Minute of the first opening after the night that follows a minute."""
    return problem.hours.minute(overnight_until(problem.shop, problem.hours.moment(minute)))


def _deeds(draft: Draft, nodes: Mapping[str, Node]) -> tuple[dict[str, Deed], list[str]]:
    found: dict[str, Deed] = {}
    unknown = []
    for key, laid in draft.laid.items():
        node = nodes.get(key)
        if node:
            found[key] = Deed(key, laid, node.task, node.job, node.chains, 2 * node.rank + 1, node.before)
            continue
        coat = nodes.get(key.removesuffix(LATE_SCUFF)) if key.endswith(LATE_SCUFF) else None
        if coat and laid.task:
            found[key] = Deed(key, laid, laid.task, coat.job, coat.chains, 2 * coat.rank)
        elif not laid.done:
            unknown.append(key)
    return found, unknown


def _acts(deeds: Iterable[Deed]) -> Iterator[tuple[float, int, int, int, Deed]]:
    """Beginnings (0) and what they leave (1), to be put in order: what ends at a minute comes before what begins."""
    for deed in deeds:
        start = deed.laid.start
        end = max(start, deed.laid.laid_end if deed.task.lay else deed.laid.end)
        yield start, 1, deed.rank, 0, deed
        yield (end, 0, deed.rank, 1, deed) if end > start else (end, 1, deed.rank, 1, deed)


def _after(lot: Lot, deed: Deed, places: Container[str]) -> Lot:
    """The lot once a step is done; carried to no known place it stays where it is."""
    task, laid = deed.task, deed.laid
    if task.do == "move" and task.move_to in places:
        stay = Stay(task.move_to, laid.end / 60)
        moved = {name: tuple(h.moved(stay) for h in pasts) for name, pasts in lot.faces.items()}
        lot = replace(lot, place=task.move_to, faces=moved, bare=lot.bare.moved(stay))
    elif task.lay or task.do in _MARKS:
        event = (
            Happened(laid.laid_end / 60, "lay", task.lay)
            if task.lay
            else Happened(laid.end / 60, task.do, removes_um=task.removes_um)
        )
        worked = {name: tuple(h.then(event) for h in lot.faces.get(name) or (lot.bare,)) for name in task.faces}
        lot = replace(lot, faces={**lot.faces, **worked})
    steps = lot.steps
    if task.scheduled is not None and task.do not in _HANDLING:
        steps = {**steps, task.step: max(laid.end, steps.get(task.step, laid.end))}
    return replace(lot, steps=steps, last_end=max(lot.last_end, laid.end))
