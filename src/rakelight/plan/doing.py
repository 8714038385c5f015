"""Places one task after another: when it may begin, where it fits, and what follows from it."""

from __future__ import annotations

import math
from calendar import month_name
from collections.abc import Mapping
from dataclasses import replace

from rakelight.errors import Finding, RakelightError, Severity, Where
from rakelight.plan.asking import Asking
from rakelight.plan.draft import Laid
from rakelight.plan.fitting import GRID, Block, Coat, Fitting, Session, lay_event, on_grid
from rakelight.plan.hands import HELPER
from rakelight.plan.history import Chain, Hist
from rakelight.plan.problem import Node, Problem, chain_keys
from rakelight.plan.rooms import Room
from rakelight.plan.timeline import Busy
from rakelight.plan.waits import Happened, Stay
from rakelight.schedule.steps import Duration, Grit
from rakelight.schedule.tasks import Asks, Task
from rakelight.spread import Spread

_WAYS_OUT = (
    "Warm the place or the piece, dry the air, dry it in a warmer place, or choose a finish that dries cold."
)


#: minutes by which a step may lie idle so that a kept plan stays as it was; where it is ready sooner still, it moves
KEEPS_MIN = 2 * 1440


class Doing:
    """A calendar being filled."""

    def __init__(
        self,
        problem: Problem,
        nodes: Mapping[str, Node],
        alpha: float,
        span_h: float,
        z: Mapping[str, float],
        floors: Mapping[str, float],
    ) -> None:
        self.problem = problem
        self.nodes = nodes
        places = problem.shop.places.values()
        self.rooms = {p.name: Room(p.name, p.drying_places, problem.settle, p.takes_dust) for p in places}
        self.busy = Busy(problem.hours)
        self.helper = problem.helper
        self.helped = Busy(problem.helper.hours) if problem.helper else None
        self.chains: dict[str, Chain] = {}
        self.laid: dict[str, Laid] = {}
        self.waited: dict[str, tuple[Hist, ...]] = {}
        self.stuck: list[Finding] = []
        self.lost: set[str] = set()
        self.added = 0
        self.kept: Mapping[str, int] = {}  # starts to hold to, where a plan was kept
        self.asking = Asking(problem, nodes, z, floors)
        self.fitting = Fitting(problem, self.busy, self.rooms, alpha, round(span_h * 60), self.helped)

    # -- where a part begins --------------------------------------------------------------------

    def chain(self, key: str, node: Node) -> Chain:
        """A lot's chain, begun where work begins, or where its members were joined."""
        if key not in self.chains:
            self.chains[key] = self._begin(node, key)
        return self.chains[key]

    def _begin(self, node: Node, key: str) -> Chain:
        start = self.problem.begin(node.job.part.name)
        place = self.problem.shop.first_place.name
        stays = (Stay(place, min(0.0, start / 60)),)
        bare, shut = Hist((), stays), Hist((), stays, closed=True)
        faces: dict[str, tuple[Hist, ...]] = {
            f.name: (shut if f.closed else bare,) for f in node.job.part.faces
        }
        if key.endswith("#board"):
            faces = {name: (bare,) for t in node.job.tasks if t.board for name in t.faces}
        chain = Chain(place, faces, start, start, bare=bare)
        if node.job.begins_after and not key.endswith("#board"):
            self._join(node, chain)
        return chain

    def _join(self, node: Node, chain: Chain) -> None:
        members = {
            m: [self.chains[k] for k in chain_keys(self.problem.jobs[m]) if k in self.chains]
            for m in node.job.begins_after
        }
        for face, sources in node.job.faces_from.items():
            pasts = {id(h): h for m, f in sources for c in members.get(m, []) for h in c.faces.get(f, ())}
            if pasts:
                chain.faces[face] = tuple(pasts.values())
        ends = [c for cs in members.values() for c in cs]
        if not ends:
            return
        latest = max(ends, key=lambda c: c.last_end)
        chain.free_from = max(c.free_from for c in ends)
        chain.last_end = latest.last_end
        chain.steps["members"] = latest.last_end
        if self.problem.shop.places[latest.place].use != "drying only":
            chain.place = latest.place

    def _leave_members(self, node: Node, minute: int) -> None:
        """What is joined stands as one from then on."""
        for member in node.job.begins_after:
            for key in chain_keys(self.problem.jobs[member]):
                for room in self.rooms.values():
                    room.leave(key, minute)

    # -- placing --------------------------------------------------------------------------------

    def place(self, node: Node) -> None:
        """Put one task on the calendar and let it happen to its part."""
        task = node.task
        if any(b in self.lost for b in node.before):
            self.lost.add(task.id)
            return
        chains = [self.chain(key, node) for key in node.chains]
        done = self.problem.done.get(task.id)
        if done:
            spans, place = done
            place = place or self._place(task, chains[0])
            laid = Laid(spans, place, float(spans[0][0]), task=task, done=True)
        else:
            try:
                laid = self._find(node, chains)
            except RakelightError as bad:
                self._lose(node, bad)
                return
        self._happen(node, chains, laid)

    def _lose(self, node: Node, why: RakelightError) -> None:
        task = node.task
        self.lost.add(task.id)
        where = Where(part=task.part, step=task.step)
        says = f"{task.says}: {why}"
        mend = getattr(why, "mend", _WAYS_OUT + self._untold(self._place(task, self.chains[node.chains[0]])))
        if not any(f.where == where for f in self.stuck):
            self.stuck.append(Finding("no-date", Severity.ERROR, where, says, mend))

    def _untold(self, name: str) -> str:
        """Which months the air of a place is not told for: in one of them it may be otherwise."""
        months = [month_name[m] for m in self.problem.shop.places[name].months_untold]
        if not months:
            return ""
        told = f" Of the air of {name} nothing is told for {', '.join(months)}: "
        return f"{told}they are taken to be like the nearest month that is told. Write them too."

    def _find(self, node: Node, chains: list[Chain]) -> Laid:
        task = node.task
        ends = [self.laid[b].end for b in node.before if b in self.laid]
        begin = max([self.problem.start, *ends, *(c.free_from for c in chains)])
        ready, asked, read = self.asking.ready(node, chains, begin)
        self.waited[task.id] = tuple(read)
        if not math.isfinite(ready):
            raise RakelightError(f"it is never ready ({asked}) within 400 days in this air.")
        kept = self.kept.get(task.id, 0)
        if ready < kept <= ready + KEEPS_MIN:
            ready = float(kept)
        place = self._place(task, chains[0])
        if task.work == "none" or (task.minutes.likely <= 0 and not task.lay):
            moment = self.problem.hours.next_open(math.ceil(ready - 1e-6))
            return Laid(((moment, moment),), place, ready, asked, task)
        if task.splittable and not task.lay:
            earliest, unit = math.ceil(ready - 1e-6), self._unit(node)
            laid = Laid(self.fitting.dry(task, place, earliest, unit), place, ready, asked, task)
            if self.helper and self.helper.may(task):
                spans = self.fitting.dry_by_helper(task, place, earliest, unit, laid.end)
                laid = replace(laid, spans=spans, who=HELPER) if spans else laid
            return laid
        if f"{task.id}/scuff-late" in self.problem.done and not task.asks.abraded:
            return self._abrade_first(node, chains)
        laid = self._block(node, chains, place, ready, asked)
        if task.lay and laid.start > self.asking.window_end(task, chains) + 1:
            return self._abrade_first(node, chains)
        return laid

    def _unit(self, node: Node) -> int:
        """Minutes that must be worked at a stretch: of a glue-up, one joined part where the hours allow it."""
        least = self.problem.least_dry
        if node.task.do != "join":
            return least
        one = on_grid(node.task.minutes.likely / node.job.part.count)
        return one if one <= self.problem.hours.longest else least

    def _block(self, node: Node, chains: list[Chain], place: str, ready: float, asked: str) -> Laid:
        task = node.task
        earliest = math.ceil(ready - 1e-6)
        takes = self._takes(node)
        if not task.lay:
            length = max(GRID, on_grid(task.minutes.likely + task.block_min))
            until = self._handled(chains, task.move_to, earliest) if task.move_to else 0.0
            block = Block(node, place, length, None, takes, until)
            start, who = self.fitting.block(block, earliest), ""
            if self.helper and self.helper.may(task):
                sooner = self.fitting.block_by_helper(block, earliest, start)
                start, who = (start, "") if sooner is None else (sooner, HELPER)
            return Laid(((start, start + length),), place, ready, asked, task, who=who)
        for session in self.fitting.sessions_to_try(task, earliest):
            coat = self._coat(task, chains, place, session)
            start = self.fitting.block(Block(node, place, coat.length, coat, takes), earliest)
            if self.fitting.session(task, start) == session:
                break
        else:  # with room for setting up and cleaning it fits anywhere; what the day does not need is given back
            needed = self.fitting.session(task, start)
            end = start + coat.length - (session.after - needed.after)
            start, session = start + session.before - needed.before, needed
            coat = replace(coat, length=end - start)
        span = (start, start + coat.length)
        return Laid((span,), place, ready, asked, task, before_min=session.before, after_min=session.after)

    def _handled(self, chains: list[Chain], place: str, minute: int) -> float:
        """Minute until which a part carried somewhere takes a drying place there."""
        stay = Stay(place, minute / 60)
        pasts = {id(h): h for c in chains for h in c.all_pasts() if h.events}.values()
        waits, z = self.problem.waits, self.asking.z("handle")
        return 60 * max((h.moved(stay).ready(waits, "handle", z=z) for h in pasts), default=0.0)

    def _abrade_first(self, node: Node, chains: list[Chain]) -> Laid:
        """The window is missed: scuff, let the dust settle, then lay."""
        task = node.task
        minutes = self.problem.facts.labour["scuff"].minutes_per_m2.likely * task.area_m2
        least = self.problem.facts.figure("labour_least_min").value.likely
        carry = self._there_and_back(chains[0])
        says = f"Scuff P320 before {task.step}: the coat beneath is past its recoat time"
        scuff = Task(
            id=f"{task.id}/scuff-late",
            part=task.part,
            step=f"scuff before {task.step}",
            do="scuff",
            says=f"{says}; carried to where dust is made, and back" if carry else says,
            faces=task.faces,
            work="dusty",
            minutes=Spread.exact(max(least, minutes) + carry),
            asks=Asks("sand", task.faces),
            area_m2=task.area_m2,
            board=task.board,
            removes_um=self.problem.facts.figure("scuff_um").value.likely,
            grit=Grit(320).number,
            lot=task.lot,
            pieces=task.pieces,
            splittable=not carry,
        )
        self.added += 1
        scuff_node = replace(node, task=scuff)
        done = self.problem.done.get(scuff.id)
        if done:
            laid = Laid(done[0], done[1] or chains[0].place, float(done[0][0][0]), task=scuff, done=True)
        else:
            laid = self._find(scuff_node, chains)
        laid.scuff_added = True
        self._happen(scuff_node, chains, laid)
        abraded = replace(task, asks=replace(task.asks, abraded=True))
        return self._find(replace(node, task=abraded, before=(scuff.id,)), chains)

    def _there_and_back(self, chain: Chain) -> float:
        """Minutes of carrying a part to where dust is made and back, where it stands in a place that takes none.

        It stays at home in that place: the air of the short way is left out.
        """
        places = self.problem.shop.places
        dusty = self.problem.shop.place_for("dusty", chain.place)
        return places[dusty].carry_min + places[chain.place].carry_min if dusty != chain.place else 0.0

    def _place(self, task: Task, chain: Chain) -> str:
        if task.place:
            return task.place
        if task.do in ("move", "turn", "points", "judge", "wait"):
            return chain.place
        return self.problem.shop.place_for(task.work, chain.place)

    def _takes(self, node: Node) -> float:
        if node.chains[0].endswith("#board"):
            return 1.0
        task, part = node.task, node.job.part
        return part.takes * (task.pieces[1] - task.pieces[0] + 1 if task.lot[1] > 1 else part.count)

    def _coat(self, task: Task, chains: list[Chain], place: str, session: Session) -> Coat:
        work = max(GRID, on_grid(task.minutes.likely + task.block_min + session.before + session.after))
        pasts = {id(h): h for c in chains for h in (c.pasts(task.faces) or [c.bare])}.values()
        waits, z = self.problem.waits, self.asking.slowed

        def ready(readiness: str, start: int) -> float:
            event = lay_event(task, start + work - session.after)
            return 60 * max(
                waits.ready((*h.events, event), self._stays(h, place, start), readiness, closed=h.closed, z=z)
                for h in pasts
            )

        dry: dict[int, float] = {}
        stand: dict[int, float] = {}

        def dust_free(start: int) -> float:
            if start not in dry:
                dry[start] = ready("dust-free", start)
            return dry[start]

        def handle(start: int) -> float:
            if start not in stand:
                stand[start] = ready("handle", start)
            return stand[start]

        return Coat(task, work, session.before, work - session.before - session.after, dust_free, handle)

    @staticmethod
    def _stays(hist: Hist, place: str, start: int) -> tuple[Stay, ...]:
        if hist.stays and hist.stays[-1].place == place:
            return hist.stays
        return (*hist.stays, Stay(place, start / 60))

    # -- consequences ---------------------------------------------------------------------------

    def _happen(self, node: Node, chains: list[Chain], laid: Laid) -> None:
        task = node.task
        busy = self.helped if laid.who and self.helped else self.busy
        self.laid[task.id] = laid
        for chain in chains:
            if laid.place != chain.place and not laid.scuff_added:
                chain.move(Stay(laid.place, laid.start / 60))
        for span in laid.spans:
            if span[1] > span[0]:
                busy.take(span)
            if task.work == "dusty":
                self.rooms[laid.place].raise_dust(span)
        event = _event(task, laid)
        for key, chain in zip(node.chains, chains, strict=True):
            if event:
                chain.happen(task.faces, event)
            if task.move_to:
                chain.move(Stay(task.move_to, laid.end / 60))
            chain.last_end = laid.end
            if task.scheduled and task.do not in ("turn", "move", "points"):
                chain.steps[task.step] = laid.end
            chain.free_from = self._free_from(task.wait_after, laid.end)
            if task.asks.a_day:
                self.fitting.note_coat(task, key, laid.start)
        if task.do == "join":
            self._leave_members(node, laid.start)
        if task.lay:
            dry = self._reach(chains, task.faces, "dust-free")
            if math.isfinite(dry):
                self.rooms[laid.place].lay(laid.start, math.ceil(dry))
        if task.lay or task.move_to:
            self._stand(node, chains, laid)
        if task.lay and not laid.done:
            self.fitting.share_session(task, laid)

    def _free_from(self, wait: Duration | None, end: int) -> int:
        if wait is None:
            return end
        if wait.overnight:
            return self.problem.hours.after_a_night(end)
        return end + math.ceil(wait.hours * 60)

    def _reach(self, chains: list[Chain], faces: tuple[str, ...], readiness: str) -> float:
        pasts = {id(h): h for c in chains for h in c.pasts(faces) if h.events}.values()
        waits, z = self.problem.waits, self.asking.z(readiness)
        return 60 * max((h.ready(waits, readiness, z=z) for h in pasts), default=0.0)

    def _stand(self, node: Node, chains: list[Chain], laid: Laid) -> None:
        until = self._reach(chains, tuple(chains[0].faces), "handle")
        last = max(laid.end, math.ceil(until)) if math.isfinite(until) else laid.end + 7 * 1440
        takes = self._takes(node) / len(chains)
        for key, chain in zip(node.chains, chains, strict=True):
            for room in self.rooms.values():
                room.leave(key, laid.start)
            if last > laid.start:
                self.rooms[chain.place].stand(key, laid.start, last, takes)


def _event(task: Task, laid: Laid) -> Happened | None:
    if task.lay:
        return lay_event(task, laid.laid_end)
    if task.do in ("sand", "scuff", "level", "rub"):
        return Happened(laid.end / 60, task.do, None, task.removes_um)
    return None
